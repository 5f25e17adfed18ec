"""The schema in the repository and our check of it say the same; jsonschema is the oracle."""

from __future__ import annotations

import copy
import json
from importlib import resources

import numpy as np
import pytest
from benches import full_bench
from hypothesis import given
from hypothesis import strategies as st
from jsonschema import Draft202012Validator
from jsonschema.validators import extend

from fairlead.core.bench_file import bench_to_bytes, points
from fairlead.core.bench_file.format import VERSION
from fairlead.core.bench_file.schema import (
    ANNOTATIONS,
    KNOWN_KEYWORDS,
    MismatchError,
    Schema,
    read_schema,
)

FILE = resources.files("fairlead.core.bench_file").joinpath(f"schema-{VERSION}.json")
RULES = json.loads(FILE.read_text("utf-8"))
PARAMETERS = RULES["$defs"]["step"]["properties"]["parameters"]
OURS = read_schema(VERSION)
GOOD = json.loads(bench_to_bytes(full_bench(3)))
WHOLE_ORACLE = Draft202012Validator(RULES)
KNOWN_GOOD = set()
"""Which part of `GOOD` was found to hold which rule; both by identity."""


def once(keyword):
    """The rule of that keyword; parts of `GOOD`, which all documents share, are judged once."""

    def rule(validator, value, instance, schema):
        judged = (keyword, id(value), id(instance))
        if judged in KNOWN_GOOD:
            return
        faults = list(Draft202012Validator.VALIDATORS[keyword](validator, value, instance, schema))
        if is_learning and isinstance(instance, dict | list) and not faults:
            KNOWN_GOOD.add(judged)
        yield from faults

    return rule


is_learning = True
ORACLE = extend(
    Draft202012Validator, {keyword: once(keyword) for keyword in ("properties", "items", "$ref")}
)(RULES)
assert ORACLE.is_valid(GOOD)
is_learning = False

LEAVES = [
    *(None, True, False, "", "x", "sha256:" + "0" * 64, "sha256:" + "G" * 64, 0, 1, -1, 2, 1.0),
    *(1.5, 0.0, -0.0, 5e-324, 1e308, float("inf"), -float("inf"), 10**400, -(10**400), 2**31),
    *(2**31 - 1, [], {}, [[1.0, 2.0, 3.0]], [[1.0, 2.0], [3.0, 4.0]], {"fairlead": 1}),
    *("reflection", "magnitude", [1, 2, 3], [1, 2], [True, 1.0, 1.0], ["1", 1, 1], [1, None]),
]


def ours_accepts(document, *, with_arrays=False):
    if with_arrays:
        sweeps = []
        for sweep in document["sweeps"]:
            array = points.from_lists(sweep["points"])
            sweeps.append(sweep if array is None else sweep | {"points": array})
        document = document | {"sweeps": sweeps}
    try:
        OURS.normalised(document)
    except MismatchError:
        return False
    return True


def test_the_schema_is_a_schema_and_uses_what_we_know():
    Draft202012Validator.check_schema(RULES)

    def check(rules):
        assert set(rules) <= KNOWN_KEYWORDS | ANNOTATIONS
        for key in ("properties", "$defs"):
            for inner in rules.get(key, {}).values():
                check(inner)
        for key in ("items", "if", "then", "else", "additionalProperties"):
            if isinstance(rules.get(key), dict):
                check(rules[key])

    check(RULES)


def test_every_key_is_described_by_the_schema_and_no_object_is_open():
    def check(rules):
        if rules.get("type") == "object":
            # Only the parameters of a step are open: each kind of step checks its own.
            assert rules["additionalProperties"] is False or rules is PARAMETERS
            # What was written before these keys were there has none of them and still opens.
            late = {
                "checksum",
                "bounds",
                "advice",
                "traced",
                "line_share",
                "picture_curve",
                "trace",
                "transparent",
            }
            assert set(rules["properties"]) - set(rules["required"]) <= late
        for inner in [*rules.get("properties", {}).values(), *rules.get("$defs", {}).values()]:
            check(inner)

    check(RULES)


def test_both_accept_what_we_write():
    assert len(KNOWN_GOOD) > 20
    assert WHOLE_ORACLE.is_valid(GOOD)
    assert ORACLE.is_valid(GOOD)
    assert ours_accepts(GOOD)
    assert ours_accepts(GOOD, with_arrays=True)


def places(value, path=()):
    yield path
    if isinstance(value, dict):
        for key, item in value.items():
            yield from places(item, (*path, key))
    elif isinstance(value, list):
        for index, item in enumerate(value):
            yield from places(item, (*path, index))


PLACES = [path for path in places(GOOD) if path]


def changed(document, path, change):
    """The document with one change; what does not lie on the way to it is shared."""
    document = copy.copy(document)
    *way, last = path
    inner = document
    for step in way:
        inner[step] = copy.copy(inner[step])
        inner = inner[step]
    change(inner, last)
    return document


def put(leaf):
    def change(inner, last):
        inner[last] = leaf

    return change


def remove(inner, last):
    del inner[last]


def add(inner, _last):
    if isinstance(inner, dict):
        inner["unheard-of"] = 1
    else:
        inner.append(1)


def check_agreement(document):
    expected = ORACLE.is_valid(document)
    assert ours_accepts(document) is expected, list(ORACLE.iter_errors(document))
    if isinstance(document.get("sweeps"), list) and all(
        isinstance(sweep, dict) and "points" in sweep for sweep in document["sweeps"]
    ):
        assert ours_accepts(document, with_arrays=True) is expected


def is_like_an_earlier_one(path):
    """Whether the same key stands in an earlier item of its list; points differ from each other."""
    items = [step for step in path if isinstance(step, int)]
    return "points" not in path and any(items)


@pytest.mark.unmeasured
@pytest.mark.parametrize("path", PLACES, ids=lambda path: ".".join(map(str, path)))
def test_each_place_is_judged_alike(path):
    """Every place of a full bench removed, joined by a stranger, and taken by any other value.

    In a second sweep or group by every fourth value: the rules are those of the first.
    """
    leaves = LEAVES[::4] if is_like_an_earlier_one(path) else LEAVES
    for change in (remove, add, *map(put, leaves)):
        check_agreement(changed(GOOD, path, change))


@pytest.mark.unmeasured
@given(st.randoms(use_true_random=False))
def test_several_faults_at_once_are_judged_alike(choice):
    document = GOOD
    for _ in range(choice.randint(1, 3)):
        path = choice.choice([path for path in places(document) if path])
        change = choice.choice([remove, add, *map(put, LEAVES)])
        document = changed(document, path, change)
    assert WHOLE_ORACLE.is_valid(document) is ORACLE.is_valid(document)
    check_agreement(document)


@pytest.mark.parametrize("document", [None, True, 1, "x", [], [GOOD]])
def test_what_is_no_object_is_refused_by_both(document):
    assert not ORACLE.is_valid(document)
    assert not ours_accepts(document)


def test_what_passes_has_one_form():
    document = changed(GOOD, ("limit_swr",), put(2))
    document = changed(document, ("next_key",), put(7.0))
    normalised = OURS.normalised(document)
    assert type(normalised["limit_swr"]) is float
    assert type(normalised["next_key"]) is int


@pytest.mark.parametrize(
    ("path", "leaf", "message"),
    [
        (("sweeps", 0, "style", "dash"), -1, "sweeps[0].style.dash is too small: -1"),
        (("sweeps", 0, "style", "dash"), 1.5, "sweeps[0].style.dash is 1.5, not a whole number"),
        (("sweeps", 1, "z0_ohm"), "50", "sweeps[1].z0_ohm is a text, not a number"),
        (("sweeps", 1, "z0_ohm"), 0, "sweeps[1].z0_ohm is too small: 0"),
        (("z0_ohm",), 10**400, "z0_ohm is too large: inf"),
        (("next_key",), 10**400, "next_key is too large: a number with hundreds of digits"),
        (("band", "name"), 6, "band.name is 6, not a text"),
        (("band", "colour"), 6, "the key 'colour' is unknown in band"),
        (("colour",), 6, "the key 'colour' is unknown"),
        (("fairlead",), 1, f"fairlead is not {VERSION}"),
        (("checksum",), "md5:0", "checksum is 'md5:0', which is not allowed"),
        (("sweeps", 0, "quantity"), "U", 'sweeps[0].quantity is not "reflection" or "magnitude"'),
        (("sweeps", 0, "points"), [[1, 2, 3]], "sweeps[0].points has 1 items, fewer than 2"),
        (("sweeps", 0, "points", 1), [1, 2], "sweeps[0].points[1] has 2 items, fewer than 3"),
        (("sweeps", 1, "points", 2), [1, 2, 3], "sweeps[1].points[2] has 3 items, more than 2"),
        (("sweeps", 0, "points", 1, 2), None, "sweeps[0].points[1][2] is null, not a number"),
        (("sweeps",), {}, "sweeps is an object, not a list"),
        (("has_own_band",), 1, "has_own_band is 1, not true or false"),
    ],
)  # fmt: skip
def test_a_fault_is_named_with_its_place(path, leaf, message):
    with pytest.raises(MismatchError) as caught:
        OURS.normalised(changed(GOOD, path, put(leaf)))
    assert str(caught.value) == message


@pytest.mark.parametrize(
    ("array", "message"),
    [
        ([[1.0, 2.0, 3.0]], "sweeps[0].points has 1 items, fewer than 2"),
        ([[1.0, 2.0], [3.0, 4.0]], "sweeps[0].points[0] has 2 items, fewer than 3"),
        ([[1.0, 2, 3], [4, np.inf, 6]], "sweeps[0].points[1][1] is too large: inf"),
        ([[1.0, 2, 3], [-np.inf, 5, 6]], "sweeps[0].points[1][0] is too small: -inf"),
    ],
)
def test_a_fault_in_an_array_is_named_with_its_place(array, message):
    with pytest.raises(MismatchError) as caught:
        OURS.normalised(changed(GOOD, ("sweeps", 0, "points"), put(np.array(array))))
    assert str(caught.value) == message


def test_missing_keys_are_named():
    with pytest.raises(MismatchError) as caught:
        OURS.normalised(changed(GOOD, ("picture", "dpi"), remove))
    assert str(caught.value) == '"dpi" is missing in picture'
    with pytest.raises(MismatchError) as caught:
        OURS.normalised(changed(GOOD, ("picture",), remove))
    assert str(caught.value) == '"picture" is missing'


def test_a_schema_may_leave_things_open():
    """Rules that ours does not use today but an older or a later one may."""
    schema = Schema(
        {
            "type": "object",
            "properties": {"rows": {"items": {"type": "array"}}, "any": {}},
            "if": {"required": ["any"]},
            "then": {"properties": {"any": {"type": ["integer", "null"]}}},
        }
    )
    rows = np.ones((2, 2))
    assert schema.normalised({"rows": rows, "more": "x"}) == {"rows": rows, "more": "x"}
    assert schema.normalised({"any": 2.0}) == {"any": 2}
    with pytest.raises(MismatchError, match="any is a text, not a whole number"):
        schema.normalised({"any": "x"})
