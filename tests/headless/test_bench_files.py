"""The verbs take benches wherever they take sweeps; what a bench says is then the default."""

from __future__ import annotations

import json
import os
from dataclasses import replace

import numpy as np
import pytest
from benches import full_bench
from circuits import SeriesCircuit
from PySide6.QtGui import QImage

from fairlead.core.bands import Band
from fairlead.core.bench_file import save_bench
from fairlead.core.document.bench import Bench
from fairlead.core.document.picture_request import PictureRequest
from fairlead.core.reading.reading import Reading
from fairlead.core.sweep import Sweep


def reading(label, f0_hz):
    frequency_hz = np.linspace(46e6, 58e6, 241)
    gamma = SeriesCircuit(f0_hz, 62.0, 8.0).reflection(frequency_hz)
    return Reading(Sweep(frequency_hz, gamma), label, f"{label}.s1p")


@pytest.fixture
def bench(tmp_path):
    """Dry and wet, the second one the reference, with a band, a limit and a picture of its own."""
    made = Bench().with_readings([reading("dry", 51e6), reading("wet", 50.5e6)])
    made = replace(
        made.with_reference(2).with_condition(2, "after rain").with_limit(1.5),
        band=Band(50e6, 52e6, "6 m"),
        has_own_band=True,
        picture=PictureRequest(width_mm=100, height_mm=80, dpi=100, title="From the bench"),
    )
    save_bench(made, tmp_path / "club.fairlead")
    return made


def figures(fairlead, *arguments):
    done = fairlead("figures", *arguments, "--as", "json")
    assert (done.status, done.errors) == (0, [])
    return json.loads(done.out)


def test_band_limit_and_reference_of_the_bench_are_the_defaults(fairlead, bench):
    found = figures(fairlead, "club.fairlead")
    assert found["band"] == {"name": "6 m", "low_hz": 50e6, "high_hz": 52e6}
    assert found["limit_swr"] == 1.5
    assert found["reference"] == "wet"
    assert [sweep["label"] for sweep in found["sweeps"]] == ["dry", "wet"]
    assert [sweep["file"] for sweep in found["sweeps"]] == ["dry.s1p", "wet.s1p"]
    assert [change["label"] for change in found["changes"]] == ["dry"]
    assert len(bench.entries) == 2


@pytest.mark.usefixtures("bench")
def test_options_come_before_what_the_bench_says(fairlead):
    options = ("--band", "49:53MHz", "--limit", "3", "--reference", "dry", "--z0", "75")
    found = figures(fairlead, "club.fairlead", *options)
    assert found["band"] == {"name": None, "low_hz": 49e6, "high_hz": 53e6}
    assert (found["limit_swr"], found["reference"], found["z0_ohm"]) == (3.0, "dry", 75.0)


@pytest.mark.usefixtures("bench")
def test_sweeps_beside_a_bench_join_it_under_labels_of_their_own(fairlead, write):
    write("wet.s1p", f0_hz=50.2e6)
    write("iced.s1p", f0_hz=49.8e6)
    found = figures(fairlead, "wet.s1p", "iced.s1p", "club.fairlead")
    assert [sweep["label"] for sweep in found["sweeps"]] == ["dry", "wet", "wet (2)", "iced"]
    assert (found["reference"], found["limit_swr"]) == ("wet", 1.5)


def test_of_two_benches_the_first_has_the_say(fairlead, bench, tmp_path):
    save_bench(bench.with_limit(4.0).with_label(1, "unit 7"), tmp_path / "other.fairlead")
    found = figures(fairlead, "club.fairlead", "other.fairlead")
    labels = [sweep["label"] for sweep in found["sweeps"]]
    assert labels == ["dry", "wet", "unit 7", "wet (2)"]
    assert found["limit_swr"] == 1.5
    text = fairlead("figures", "club.fairlead", "other.fairlead").out
    # Each of the two in the table, and what changed in the one that is no reference.
    assert text.count("after rain") == 3


def test_a_bench_is_known_by_its_content(fairlead, bench, tmp_path):
    (tmp_path / "club.fairlead").rename(tmp_path / "club.txt")
    assert figures(fairlead, "club.txt")["reference"] == "wet"
    assert bench.reference.label == "wet"


@pytest.mark.parametrize(
    ("name", "content", "reason"),
    [
        ("b.fairlead", b"# Hz S RI R 50\n1 0 0\n2 0 0\n", "the file is not a Fairlead bench"),
        ("b.txt", b'{"fairlead": 99}', "comes from a newer version of Fairlead"),
        ("b.fairlead", b'{"fairlead": 1,\n', "the file is damaged or cut short"),
        ("b.txt", b'{"other": "json"}', ""),
    ],
)
def test_a_bench_that_cannot_be_read_is_one_line_and_the_rest_is_done(
    fairlead, write, tmp_path, name, content, reason
):
    (tmp_path / name).write_bytes(content)
    done = fairlead("figures", name, write("dry.s1p"), "--as", "json")
    assert done.status == 1
    (line,) = done.errors
    assert line.startswith(name)
    assert reason in line
    assert [sweep["label"] for sweep in json.loads(done.out)["sweeps"]] == ["dry"]


def test_a_missing_bench_is_one_line(fairlead):
    done = fairlead("figures", "none.fairlead")
    assert done.status == 1
    assert done.errors == ["none.fairlead: no such file; check the name and the folder"]


def test_the_picture_is_as_the_bench_asks(fairlead, bench, tmp_path):
    assert bench.picture.dpi == 100
    assert fairlead("picture", "club.fairlead", "-o", "a.png").status == 0
    image = QImage(str(tmp_path / "a.png"))
    assert (image.width(), image.height()) == (round(100 / 25.4 * 100), round(80 / 25.4 * 100))
    assert fairlead("picture", "club.fairlead", "-o", "b.svg", "--title", "Mine").status == 0
    assert "Mine" in (tmp_path / "b.svg").read_text("utf-8")
    assert fairlead("picture", "club.fairlead", "-o", "c.svg").status == 0
    assert "From the bench" in (tmp_path / "c.svg").read_text("utf-8")
    done = fairlead("picture", "club.fairlead", "-o", "d.png", "--width-mm", "120", "--dpi", "50")
    assert done.status == 0
    assert QImage(str(tmp_path / "d.png")).width() == round(120 / 25.4 * 50)


def test_check_speaks_of_the_sweeps_and_the_band_of_a_bench(fairlead, bench, tmp_path):
    save_bench(bench.with_band(Band(57e6, 60e6)), tmp_path / "club.fairlead")
    done = fairlead("check", "club.fairlead", "--as", "json")
    assert (done.status, done.errors) == (0, [])
    found = json.loads(done.out)["sweeps"]
    assert [sweep["label"] for sweep in found] == ["dry", "wet"]
    assert [[warning["code"] for warning in sweep["warnings"]] for sweep in found] == [
        ["band-not-covered"]
    ] * 2
    # Notices of the reader are kept in the bench.
    save_bench(full_bench(), tmp_path / "full.fairlead")
    assert "defaults-applied: no R given" in fairlead("check", "full.fairlead").out


@pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="no named pipes here")
def test_a_named_pipe_does_not_block(fairlead_process, tmp_path):
    os.mkfifo(tmp_path / "pipe")
    assert fairlead_process("figures", "pipe").status == 1


def test_an_empty_bench_has_no_figures(fairlead, tmp_path):
    save_bench(Bench(), tmp_path / "empty.fairlead")
    done = fairlead("figures", "empty.fairlead")
    assert (done.status, done.out) == (0, "")


def test_sweeps_alone_load_nothing_of_the_benches(fairlead_process, write):
    """The start stays quick."""
    code = (
        "import sys; from fairlead.app.__main__ import main; main(['figures', *sys.argv[1:]]);"
        "print(*[name for name in sys.modules if 'bench_file' in name], file=sys.stderr)"
    )
    assert fairlead_process(write("dry.s1p"), code=code).errors == [""]
