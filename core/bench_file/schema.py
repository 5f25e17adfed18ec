"""Checks a document against the schema of its version: the schema in the repository decides.

This is a small part of JSON Schema (draft 2020-12), as much as our schemas use. It differs from a
general validator in two ways: points may be arrays, checked all at once, and what passes comes back
with its numbers normalised (1.0 for an integer is 1, 50 for a number is 50.0), so that the same
content always has the same form.
"""

from __future__ import annotations

import json
import math
import re
from importlib import resources
from typing import TYPE_CHECKING, Any

import numpy as np

from fairlead.core.reading.number import shown

if TYPE_CHECKING:
    from collections.abc import Mapping

    from fairlead.core.arrays import FloatArray

Rules = dict[str, Any]

KNOWN_KEYWORDS = frozenset(
    {"$ref", "const", "enum", "type", "pattern", "minimum", "exclusiveMinimum", "maximum"}
    | {"required", "properties", "additionalProperties", "items", "minItems", "maxItems"}
    | {"if", "then", "else"}
)
ANNOTATIONS = frozenset({"$schema", "$defs", "title", "description"})

_NAMES = {
    "object": "an object",
    "array": "a list",
    "string": "a text",
    "number": "a number",
    "integer": "a whole number",
    "boolean": "true or false",
    "null": "null",
}


class MismatchError(ValueError):
    """How a document violates the schema, as text."""


class Schema:
    """One version's schema.

    Parameters
    ----------
    root : mapping
        Parsed JSON Schema that uses `KNOWN_KEYWORDS` and `ANNOTATIONS` only.
    """

    def __init__(self, root: Mapping[str, Any]) -> None:
        self._root = root

    def normalised(self, document: Any) -> Any:
        """The document with its numbers normalised.

        Raises
        ------
        MismatchError
            For the first violation, with its path: ``sweeps[2].style.colour``.
        """
        return self._normalised(document, self._root, "")

    def _normalised(self, value: Any, rules: Mapping[str, Any], at: str) -> Any:
        if "$ref" in rules:
            value = self._normalised(value, self._definition(rules["$ref"]), at)
        value = _chosen(value, rules, at)
        if "type" in rules:
            value = _of_type(value, rules["type"], at)
        if isinstance(value, np.ndarray):
            _check_array(value, rules, at, self._row_rules(rules))
        elif isinstance(value, dict):
            value = self._normalised_object(value, rules, at)
        elif isinstance(value, list):
            value = self._normalised_list(value, rules, at)
        elif isinstance(value, str):
            _check_text(value, rules, at)
        elif isinstance(value, (int, float)):
            _check_bounds(value, rules, at)
        if "if" in rules:
            branch = "then" if self._fits(value, rules["if"]) else "else"
            value = self._normalised(value, rules.get(branch, {}), at)
        return value

    def _definition(self, reference: str) -> Rules:
        definition: Rules = self._root["$defs"][reference.removeprefix("#/$defs/")]
        return definition

    def _fits(self, value: Any, rules: Mapping[str, Any]) -> bool:
        try:
            self._normalised(value, rules, "")
        except MismatchError:
            return False
        return True

    def _row_rules(self, rules: Mapping[str, Any]) -> Rules:
        """Rules for the rows of an array, those of the numbers in them under "items"."""
        row: Rules = dict(rules.get("items", {}))
        if "$ref" in row.get("items", {}):
            row["items"] = self._definition(row["items"]["$ref"])
        return row

    def _normalised_object(self, value: Rules, rules: Mapping[str, Any], at: str) -> Rules:
        known: Mapping[str, Any] = rules.get("properties", {})
        for key in rules.get("required", ()):
            if key not in value:
                raise MismatchError(f'"{key}" is missing{_within(at)}')
        others = rules.get("additionalProperties", {})
        if others is False:
            for key in value:
                if key not in known:
                    raise MismatchError(f"the key {shown(key)} is unknown{_within(at)}")
        return {
            key: self._normalised(item, known.get(key, others), f"{at}.{key}" if at else key)
            for key, item in value.items()
        }

    def _normalised_list(self, value: list[Any], rules: Mapping[str, Any], at: str) -> list[Any]:
        _check_length(len(value), rules, at)
        if "items" not in rules:
            return value
        item_rules = rules["items"]
        return [
            self._normalised(item, item_rules, f"{at}[{index}]") for index, item in enumerate(value)
        ]


def read_schema(version: int) -> Schema:
    """The schema of a version, from the file beside this module."""
    text = resources.files(__package__).joinpath(f"schema-{version}.json").read_text("utf-8")
    return Schema(json.loads(text))


def _chosen(value: Any, rules: Mapping[str, Any], at: str) -> Any:
    """The value, or the choice it equals; choices are texts and numbers."""
    choices = [rules["const"]] if "const" in rules else rules.get("enum")
    if choices is None:
        return value
    # In JSON, unlike in Python, true is not 1.
    if not isinstance(value, (bool, np.ndarray)) and value in choices:
        return choices[choices.index(value)]
    names = " or ".join(json.dumps(choice) for choice in choices)
    raise MismatchError(f"{_place(at)} is not {names}")


def _of_type(value: Any, names: str | list[str], at: str) -> Any:
    """The value, as a float or an int where that is what it should be."""
    for name in [names] if isinstance(names, str) else names:
        if name == "integer" and _kind(value) == "number" and _is_whole(value):
            return int(value)
        if name == "number" and _kind(value) == "number":
            return _to_float(value)
        if name == _kind(value):
            return value
    wanted = names if isinstance(names, str) else names[0]
    found = _short(value) if _kind(value) == "number" else _NAMES[_kind(value)]
    raise MismatchError(f"{_place(at)} is {found}, not {_NAMES[wanted]}")


def _kind(value: Any) -> str:
    if value is None:
        return "null"
    if isinstance(value, bool):
        return "boolean"
    if isinstance(value, (int, float)):
        return "number"
    if isinstance(value, str):
        return "string"
    return "object" if isinstance(value, dict) else "array"


def _is_whole(value: float) -> bool:
    return isinstance(value, int) or value.is_integer()


def _to_float(value: float) -> float:
    try:
        return float(value)
    except OverflowError:
        return math.inf if value > 0 else -math.inf


def _check_text(value: str, rules: Mapping[str, Any], at: str) -> None:
    if "pattern" in rules and re.search(rules["pattern"], value) is None:
        raise MismatchError(f"{_place(at)} is {shown(value)}, which is not allowed")


def _check_bounds(value: float, rules: Mapping[str, Any], at: str) -> None:
    if isinstance(value, bool):
        return
    # The other way round a NaN, which a bench may hold by mistake, would pass.
    if ("minimum" in rules and not value >= rules["minimum"]) or (
        "exclusiveMinimum" in rules and not value > rules["exclusiveMinimum"]
    ):
        raise MismatchError(f"{_place(at)} is too small: {_short(value)}")
    if "maximum" in rules and not value <= rules["maximum"]:
        raise MismatchError(f"{_place(at)} is too large: {_short(value)}")


def _short(value: float) -> str:
    try:
        return f"{value:g}"
    except OverflowError:
        return "a number with hundreds of digits"


def _check_length(length: int, rules: Mapping[str, Any], at: str) -> None:
    if length < rules.get("minItems", 0):
        raise MismatchError(f"{_place(at)} has {length} items, fewer than {rules['minItems']}")
    if length > rules.get("maxItems", math.inf):
        raise MismatchError(f"{_place(at)} has {length} items, more than {rules['maxItems']}")


def _check_array(rows: FloatArray, rules: Mapping[str, Any], at: str, row_rules: Rules) -> None:
    """A whole table by its size, its least and its largest number."""
    _check_length(len(rows), rules, at)
    _check_length(rows.shape[1], row_rules, f"{at}[0]")
    if "items" in row_rules:
        for extreme in (rows.argmin(), rows.argmax()):
            row, column = divmod(int(extreme), rows.shape[1])
            place = f"{at}[{row}][{column}]"
            _check_bounds(float(rows[row, column]), row_rules["items"], place)


def _place(at: str) -> str:
    return at or "the whole"


def _within(at: str) -> str:
    return f" in {at}" if at else ""
