"""Files of format 2, written by the program before there were markers, open as they were."""

from __future__ import annotations

import json
from dataclasses import replace
from pathlib import Path

import pytest
from benches import full_bench

from fairlead.core.bench_file import bench_from_bytes, bench_to_bytes, load_bench
from fairlead.core.bench_file.format import VERSION
from fairlead.core.errors import ReadError

FOLDER = Path(__file__).parents[2] / "data" / "benches"


def test_every_field_of_format_2_comes_back():
    bench = full_bench()
    picture = replace(bench.picture, markers=True, log_frequency=False, transparent=False)
    # Nor were there tracings.
    entries = tuple(replace(entry, picture_curve=None) for entry in bench.entries)
    pictures = tuple(replace(one, trace=None) for one in bench.pictures)
    expected = replace(
        bench, entries=entries, pictures=pictures, markers=(), picture=picture, next_key=8
    )
    assert load_bench(FOLDER / "format-2-every-field.fairlead") == expected


@pytest.mark.parametrize("key", ["plan", "same_radiation", "advice"])
def test_what_joined_format_2_on_the_way_may_be_missing_there_and_is_written_now(key):
    document = json.loads((FOLDER / "format-2-every-field.fairlead").read_bytes())
    del document["checksum"], document[key]
    bench = bench_from_bytes(json.dumps(document).encode(), "x")
    assert not bench.markers
    again = json.loads(bench_to_bytes(bench))
    assert again["fairlead"] == VERSION
    assert key in again


def test_a_marker_in_a_file_of_format_2_is_refused():
    document = json.loads((FOLDER / "format-2-every-field.fairlead").read_bytes())
    del document["checksum"]
    document["markers"] = []
    with pytest.raises(ReadError, match="the key 'markers' is unknown"):
        bench_from_bytes(json.dumps(document).encode(), "x")
