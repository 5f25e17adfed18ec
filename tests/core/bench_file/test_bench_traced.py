"""A tracing is kept with its picture, and its sweeps come back as traced."""

from __future__ import annotations

import json
from dataclasses import replace

import numpy as np
import pytest
from jsonschema import Draft202012Validator

from fairlead.core.bench_file import bench_from_bytes, bench_to_bytes
from fairlead.core.bench_file.format import VERSION
from fairlead.core.bench_file.migrate import known_versions
from fairlead.core.document.bench import Bench
from fairlead.core.document.entry import Entry
from fairlead.core.document.session import KeptPicture
from fairlead.core.errors import ReadError
from fairlead.core.picture_trace.axes import AxisPoint, FrequencyAxis, ValueAxis
from fairlead.core.picture_trace.trace import Curve, PictureTrace
from fairlead.core.sweep import ScalarSweep
from fairlead.core.traced import Traced

SHA = "ab" * 32
TRACE = PictureTrace(
    picture_sha256=SHA,
    width=640,
    height=480,
    frequency=FrequencyAxis((AxisPoint(10, 20, 50e6), AxisPoint(600, 20, 54e6, 0.2)), "log"),
    values=(ValueAxis("swr", (AxisPoint(10, 20, 3.0), AxisPoint(10, 400, 1.0)), "linear"),),
    curves=(
        Curve("dry", "swr", ((100.5, 90.25),), (((1, 2), (30, 4)),), ((5, 6, 7, 8),), 1.5),
        Curve("wet", "return_loss_db"),
    ),
    corners=((0, 0), (600, 0), (600, 400), (0, 400)),
    region=(0, 0, 600, 400),
    z0_ohm=75.0,
)


def traced_bench():
    hz = np.linspace(50e6, 54e6, 20)
    traced = Traced(np.linspace(0.001, 0.01, 20), (3, 9), 1234.5, 2.5, SHA)
    sweep = ScalarSweep(hz, np.linspace(0.5, 0.2, 20), 75.0, traced=traced)
    picture = KeptPicture(1, "plot.png", "image/png", b"\x89PNG", TRACE)
    entry = Entry(2, sweep, "plot", picture_key=1, picture_curve=0)
    return Bench((entry,), reference_key=2, next_key=3, pictures=(picture,))


def test_tracing_and_traced_sweep_come_back():
    again = bench_from_bytes(bench_to_bytes(traced_bench()), "a.fairlead")
    assert again == traced_bench()
    assert again.pictures[0].trace == TRACE
    assert again.entries[0].measured.traced == traced_bench().entries[0].measured.traced
    assert again.entries[0].caption == "plot (traced from a picture)"


def test_the_published_schema_accepts_it():
    schema = known_versions()[VERSION].schema
    document = json.loads(bench_to_bytes(traced_bench()))
    Draft202012Validator(schema._root).validate(document)


@pytest.mark.parametrize(
    ("change", "words"),
    [
        ({"sigma": [0.1], "lost_after": []}, "20 frequencies but 1 uncertainties"),
        ({"lost_after": [19]}, "a gap of a traced curve"),
    ],
)
def test_what_contradicts_itself_is_refused_in_one_line(change, words):
    document = json.loads(bench_to_bytes(traced_bench()))
    del document["checksum"]
    document["sweeps"][0]["traced"] |= change
    with pytest.raises(ReadError, match=words):
        bench_from_bytes(json.dumps(document).encode(), "a.fairlead")


def test_an_entry_traced_from_a_picture_says_so_whatever_else_it_says():
    entry = replace(traced_bench().entries[0], condition="wet")
    assert entry.title == "plot (traced from a picture)"
    assert entry.caption == "plot (wet, traced from a picture)"
    assert entry.measured_caption == "plot (wet, traced from a picture)"
