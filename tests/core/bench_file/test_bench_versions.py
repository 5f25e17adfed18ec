"""Older files become the current format step by step: shown with an invented version 0."""

from __future__ import annotations

import copy
import json
from pathlib import Path

import numpy as np
import pytest
from benches import full_bench

from fairlead.core.bench_file import bench_from_bytes, bench_to_bytes, decode, load_bench
from fairlead.core.bench_file.format import VERSION, checksum
from fairlead.core.bench_file.migrate import Version, known_versions, to_current
from fairlead.core.bench_file.parse import parse
from fairlead.core.errors import ReadError

FORMAT_1 = Path(__file__).parents[2] / "data" / "benches" / "format-1-every-field.fairlead"
RULES_0 = {
    "type": "object",
    "additionalProperties": False,
    "required": ["fairlead", "limit", "rest"],
    "properties": {
        "fairlead": {"const": 0},
        "checksum": {"type": "string"},
        "limit": {"type": "number", "minimum": 1},
        "rest": {"type": "object"},
    },
}


def upgrade_0(document):
    """In the invented version 0 the limit had another name and everything else lay deeper."""
    return {"fairlead": 1, "limit_swr": document["limit"], **document["rest"]}


@pytest.fixture
def versions():
    from fairlead.core.bench_file.schema import Schema  # noqa: PLC0415

    return {0: Version(Schema(RULES_0), upgrade_0), **known_versions()}


@pytest.fixture
def document_0():
    rest = parse(FORMAT_1.read_bytes(), "x")
    for key in ("fairlead", "checksum", "limit_swr"):
        del rest[key]
    return {"fairlead": 0, "limit": 1.5, "rest": rest}


def test_an_older_document_becomes_the_current_one(versions, document_0):
    current = to_current(document_0, "old.fairlead", versions)
    expected = to_current(parse(FORMAT_1.read_bytes(), "x"), "x")
    assert current.keys() == expected.keys()
    assert checksum(current) == checksum(expected)


def test_an_older_file_opens_as_the_same_bench(versions, monkeypatch):
    """Through the whole way from bytes, with the points where version 0 has them as well."""
    monkeypatch.setattr(decode, "to_current", lambda *a: to_current(*a, versions))
    document = json.loads(FORMAT_1.read_bytes())
    del document["checksum"]
    sweeps = document.pop("sweeps")
    old = {
        "fairlead": 0,
        "limit": document.pop("limit_swr"),
        "rest": {k: v for k, v in document.items() if k != "fairlead"} | {"sweeps": sweeps},
    }
    # Here the points lie deeper than any known version has them: they stay lists on the way.
    assert bench_from_bytes(json.dumps(old).encode(), "old.fairlead") == load_bench(FORMAT_1)


def test_an_older_document_is_checked_by_its_own_schema_and_checksum(versions, document_0):
    wrong = copy.deepcopy(document_0) | {"limit": "x"}
    with pytest.raises(ReadError, match="limit is a text, not a number"):
        to_current(wrong, "old.fairlead", versions)
    with pytest.raises(ReadError, match="its checksum does not match"):
        to_current({**document_0, "checksum": "sha256:0"}, "old.fairlead", versions)
    right = {**document_0, "checksum": checksum(document_0)}
    assert to_current(right, "old.fairlead", versions)


def test_what_an_upgrade_makes_is_checked_too(versions, document_0):
    del document_0["rest"]["z0_ohm"]
    with pytest.raises(ReadError, match='"z0_ohm" is missing'):
        to_current(document_0, "old.fairlead", versions)


def test_this_program_knows_all_versions_up_to_its_own():
    assert list(known_versions()) == list(range(1, VERSION + 1))
    *older, newest = known_versions().values()
    assert newest.upgrade is None
    assert all(version.upgrade is not None for version in older)


def test_the_checksum_is_as_described():
    """Computed here a second way, from the words of the description in the schema."""
    import hashlib  # noqa: PLC0415

    document = json.loads(bench_to_bytes(full_bench()))
    stated = document.pop("checksum")
    for sweep in document["sweeps"]:
        numbers = b"".join(
            np.float64(x).astype("<f8").tobytes() for r in sweep["points"] for x in r
        )
        sweep["points"] = hashlib.sha256(numbers).hexdigest()
    text = json.dumps(document, sort_keys=True, separators=(",", ":"))
    assert stated == "sha256:" + hashlib.sha256(text.encode("ascii")).hexdigest()
