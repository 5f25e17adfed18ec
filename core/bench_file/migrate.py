"""Migrates older versions of the format to the current one, step by step; refuses newer ones.

To make version n + 1: keep ``schema-n.json`` as it is, write ``schema-(n+1).json``, raise
`VERSION`, and give version n here the function that turns its document into
one of version n + 1. Every version is checked against its own schema first, so that function can
rely on what the schema says.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from typing import TYPE_CHECKING, Any

from fairlead.core.bench_file.format import CHECKSUM_KEY, VERSION_KEY, checksum
from fairlead.core.bench_file.parse import BACKUP, no_bench, set_arrays
from fairlead.core.bench_file.schema import MismatchError, Schema, read_schema
from fairlead.core.errors import ReadError

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping

    from fairlead.core.bench_file.parse import Document


@dataclass(frozen=True, slots=True)
class Version:
    """One version of the format.

    Attributes
    ----------
    schema : Schema
    upgrade : callable, optional
        Takes a document of this version and returns one of the next; None for the current one.
    """

    schema: Schema
    upgrade: Callable[[Document], Document] | None = None


@cache
def known_versions() -> Mapping[int, Version]:
    """All versions that this program can read, by number; the last is the one it writes."""
    return {
        1: Version(read_schema(1), _upgrade_1),
        2: Version(read_schema(2), _upgrade_2),
        3: Version(read_schema(3)),
    }


def _upgrade_1(document: Document) -> Document:
    """Version 2 added steps, planes, instruments, groups, a log and pictures.

    The picture's plot could only be of the SWR, and it had no text about changes.
    """
    new: Document = {"plane": None, "instrument_key": None, "picture_key": None, "steps": []}
    return {
        **document,
        VERSION_KEY: 2,
        "picture": {**document["picture"], "view": "swr", "changes": "if-room"},
        "sweeps": [{**sweep, **new} for sweep in document["sweeps"]],
        "instruments": [],
        "groups": [],
        "log": [],
        "pictures": [],
    }


def _upgrade_2(document: Document) -> Document:
    """Version 3 added markers, and the picture's choice to draw them and of its frequency axis.

    What joined version 2 on the way, and was missing in its first files, is there from now on.
    """
    first: Document = {"plan": None, "same_radiation": []}
    return {
        **first,
        **document,
        VERSION_KEY: 3,
        "picture": {
            "changes": "if-room",
            **document["picture"],
            "markers": True,
            "log_frequency": False,
        },
        "markers": [],
    }


def to_current(
    document: Document, file: str, versions: Mapping[int, Version] | None = None
) -> Document:
    """Check a document and bring it to the current version.

    Parameters
    ----------
    document : dict
        As parsed.
    file : str
        Name for error messages.
    versions : mapping, optional
        `known_versions` by default.

    Raises
    ------
    ReadError
        For a newer or unknown version, a document that breaks its schema, or a wrong checksum.
    """
    versions = known_versions() if versions is None else versions
    number = _number(document, file, max(versions))
    if number not in versions:
        raise ReadError(file, f"a bench has no format {number}", BACKUP)
    document = _checked(document, versions[number].schema, file)
    if CHECKSUM_KEY in document and document.pop(CHECKSUM_KEY) != checksum(document):
        raise ReadError(
            file,
            "the file was changed or damaged after it was saved: its checksum does not match",
            f'{BACKUP}; if you changed it on purpose, remove its line "{CHECKSUM_KEY}"',
        )
    while (upgrade := versions[number].upgrade) is not None:
        number += 1
        document = upgrade(document)
        set_arrays(document)
        document = _checked(document, versions[number].schema, file)
    return document


def _number(document: Document, file: str, newest: int) -> int:
    number: Any = document.get(VERSION_KEY)
    if isinstance(number, float) and number.is_integer():
        number = int(number)
    if isinstance(number, bool) or not isinstance(number, int):
        raise no_bench(file)
    if number > newest:
        raise ReadError(
            file,
            "the file comes from a newer version of Fairlead "
            f"({_format(number)}, this one reads up to {newest})",
            "update Fairlead; the file is left as it is",
        )
    return number


def _format(number: int) -> str:
    return f"format {number}" if number < 1_000_000 else "its format number has too many digits"


def _checked(document: Document, schema: Schema, file: str) -> Document:
    try:
        normalised: Document = schema.normalised(document)
    except MismatchError as error:
        raise ReadError(
            file, str(error), f"correct it there if you changed the file by hand, else {BACKUP}"
        ) from None
    return normalised
