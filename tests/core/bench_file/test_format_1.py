"""Files that the program wrote in format 1 open as they were, and are written as format 2.

They stand in tests/data/benches as version 0.1.0 made them of the invented samples.
"""

from __future__ import annotations

import json
from dataclasses import replace
from importlib import resources
from pathlib import Path

import numpy as np
import pytest
from benches import full_bench
from jsonschema import Draft202012Validator

from fairlead.core.bench_file import bench_from_bytes, bench_to_bytes, load_bench
from fairlead.core.bench_file.format import VERSION
from fairlead.core.document.groups import with_group
from fairlead.core.errors import ReadError
from fairlead.core.reading.opening import open_sweeps

FOLDER = Path(__file__).parents[2] / "data" / "benches"
FILES = sorted(FOLDER.glob("format-1-*.fairlead"))
SCHEMAS = resources.files("fairlead.core.bench_file")
SCHEMA_1 = json.loads(SCHEMAS.joinpath("schema-1.json").read_text("utf-8"))

# Version 3 brought them.
NEW_IN_PICTURE = {"markers": True, "log_frequency": False, "transparent": False}


def without_what_is_new(bench):
    """A bench as format 1 knew it."""
    new = {
        "steps": (),
        "plane": None,
        "instrument_key": None,
        "picture_key": None,
        "picture_curve": None,
    }
    return replace(
        bench,
        entries=tuple(replace(entry, **new) for entry in bench.entries),
        instruments=(),
        groups=(),
        log=(),
        plan=None,
        pictures=(),
        same_radiation=(),
        markers=(),
        picture=replace(bench.picture, view="swr", changes="if-room", **NEW_IN_PICTURE),
    )


def test_there_are_files():
    assert len(FILES) == 4


@pytest.mark.parametrize("path", FILES, ids=lambda path: path.stem)
def test_it_opens_and_says_the_same(path):
    old = json.loads(path.read_text("utf-8"))
    assert old["fairlead"] == 1
    Draft202012Validator(SCHEMA_1).validate(old)
    bench = load_bench(path)
    new = json.loads(bench_to_bytes(bench))
    assert new["fairlead"] == VERSION
    for key in old.keys() - {"fairlead", "checksum", "sweeps", "picture"}:
        assert new[key] == old[key]
    assert new["picture"] == {
        **old["picture"],
        "view": "swr",
        "changes": "if-room",
        **NEW_IN_PICTURE,
    }
    for before, after in zip(old["sweeps"], new["sweeps"], strict=True):
        assert before.items() <= after.items()
        assert (after["steps"], after["plane"]) == ([], None)
    assert bench_from_bytes(bench_to_bytes(bench), "again") == bench


def test_every_field_of_format_1_comes_back():
    path = FOLDER / "format-1-every-field.fairlead"
    expected = replace(without_what_is_new(full_bench()), next_key=7)
    assert load_bench(path) == expected


def test_the_numbers_are_those_of_the_samples():
    """The file holds every eighth point of the samples."""
    bench = load_bench(FOLDER / "format-1-samples.fairlead")
    entry = next(entry for entry in bench.entries if entry.label == "ground-plane-wet")
    assert entry.condition == "wet"
    assert entry.circumstances.notes == 'first line\nsecond "line"'
    sample = Path(__file__).parents[3] / "samples" / "ground-plane-wet.s1p"
    (reading,) = open_sweeps(sample)
    np.testing.assert_array_equal(entry.sweep.reflection, reading.sweep.reflection[::8])


def test_a_damaged_old_file_is_refused_as_ever():
    data = (FOLDER / "format-1-samples.fairlead").read_bytes()
    with pytest.raises(ReadError, match="its checksum does not match"):
        bench_from_bytes(data.replace(b'"limit_swr": 1.5', b'"limit_swr": 1.6'), "x")


@pytest.mark.parametrize("key", ["steps", "groups"])
def test_a_key_of_format_2_in_format_1_is_refused(key):
    document = json.loads((FOLDER / "format-1-plain.fairlead").read_bytes())
    del document["checksum"]
    (document if key == "groups" else document["sweeps"][0])[key] = []
    with pytest.raises(ReadError, match=f"the key '{key}' is unknown"):
        bench_from_bytes(json.dumps(document).encode(), "x")


def test_a_file_of_format_2_from_before_groups_could_be_made_opens():
    """Written of two invented samples when the window could not make a group yet."""
    bench = load_bench(FOLDER / "format-2-before-groups.fairlead")
    assert [entry.label for entry in bench.entries] == ["kit-unit-1", "kit-unit-2"]
    assert bench.groups == ()
    made = with_group(bench, {1, 2}, "Kit")
    again = bench_from_bytes(bench_to_bytes(made), "x")
    assert again == made
    assert again.groups[0].style == made.groups[0].style
