"""``fairlead trend``: text, Markdown, CSV, JSON, and wrong usage."""

from __future__ import annotations

import csv
import io
import json

import numpy as np
import pytest
from circuits import SeriesCircuit

from fairlead.core.bench_file import save_bench
from fairlead.core.document.bench import Bench
from fairlead.core.document.entry import Circumstances
from fairlead.core.reading.reading import Reading
from fairlead.core.sweep import Sweep

GRID_HZ = np.linspace(46e6, 56e6, 121)
DATES = ("2024-05-01", "2024-11-01", "2025-05-01", "2025-11-01")


@pytest.fixture
def files(tmp_path):
    """Four visits with their dates in the head, 30 kHz lower each time, and one without a date."""
    for number, date in enumerate((*DATES, "")):
        gamma = SeriesCircuit(51e6 - 30e3 * number + 800 * (-1) ** number, 42.0, 9.0)
        lines = [f"! Measured: {date}" if date else "! no date", "# HZ S RI R 50"]
        for f, g in zip(GRID_HZ.tolist(), gamma.reflection(GRID_HZ).tolist(), strict=True):
            lines.append(f"{f!r} {g.real!r} {g.imag!r}")
        (tmp_path / f"visit-{number}.s1p").write_text("\n".join(lines) + "\n")
    return [f"visit-{number}.s1p" for number in range(5)]


def test_text_has_the_sentence_the_table_and_what_was_left_out(fairlead, files):
    done = fairlead("trend", *files, "--band", "50:52MHz")
    assert (done.status, done.errors) == (0, [])
    lines = done.out.splitlines()
    assert lines[1].startswith("Best match falls: −6")
    assert "kHz a year, from 4 sweeps (95 %, from the scatter)." in lines[1]
    assert "\nBest match (MHz)  " in done.out
    assert "1 left out: visit-4 has no date." in done.out
    assert "fewer than 6 dates" in done.out
    q = fairlead("trend", *files, "--figure", "q")
    assert "Q: no trend shows" in q.out


def test_markdown_csv_and_json(fairlead, files):
    marked = fairlead("trend", *files, "--as", "markdown").out
    assert "| Trend | n | A year |" in marked
    assert "\nBest match falls: " in marked
    lines = list(csv.DictReader(io.StringIO(fairlead("trend", *files, "--as", "csv").out)))
    best = [line for line in lines if line["figure"] == "best_match_hz"]
    assert [line["label"] for line in best] == [f"visit-{number}" for number in range(4)]
    told = json.loads(fairlead("trend", *files, "--as", "json", "--sweeps", "visit-[1-4]").out)
    assert told["figures"]["best_match_hz"]["n"] == 3
    assert told["left_out"]["no_date"] == ["visit-4"]


def test_with_the_analyzers_error_a_small_trend_is_none(fairlead, files):
    done = fairlead("trend", *files, "--band", "50:52MHz", "--directivity", "30dB")
    assert "Best match: no trend shows" in done.out
    assert "the scatter and the analyzer's bound leave open" in done.out


def test_a_temperature_noted_on_a_bench(fairlead, tmp_path):
    readings = [
        Reading(Sweep(GRID_HZ, SeriesCircuit(51e6, 42.0, 9.0).reflection(GRID_HZ)), f"v{i}", "")
        for i in range(4)
    ]
    bench = Bench().with_readings(readings)
    for key, (date, warm) in enumerate(zip(DATES, (4, 15, 3, 16), strict=True), 1):
        noted = Circumstances(taken_at=date, weather=f"{warm} °C")
        bench = bench.with_circumstances(key, noted)
    save_bench(bench, str(tmp_path / "roof.fairlead"))
    done = fairlead("trend", "roof.fairlead", "--beside", "temperature")
    assert "With the temperature held: " in done.out
    wrong = fairlead("trend", "roof.fairlead", "--beside", "%")
    assert wrong.status == 2
    assert 'they state "Temperature (°C)"' in wrong.errors[-1]


@pytest.mark.parametrize("form", ["text", "markdown"])
def test_without_dates_it_says_so(fairlead, files, form):
    done = fairlead("trend", files[-1], "--as", form)
    assert done.status == 0
    assert done.out.count("No trend: no sweep states its date") == 1
    assert "1 left out: visit" in done.out


def test_a_picture_is_written_at_true_size(fairlead, files, tmp_path):
    done = fairlead("trend", *files, "-o", "trend.png", "--title", "Our roof", "--grey")
    assert (done.status, done.errors, done.out) == (0, [], "")
    data = (tmp_path / "trend.png").read_bytes()
    assert data.startswith(b"\x89PNG")
    assert b"Our roof" in data
    kept = fairlead("trend", *files, "-o", files[0].replace(".s1p", ".pdf"))
    assert kept.status == 0
    none = fairlead("trend", files[-1], "-o", "none.png")
    assert none.status == 1
    assert "not written, because no sweep states its date" in none.errors[-1]
    lost = fairlead("trend", *files, "-o", "nowhere/trend.png")
    assert lost.status == 1
    for wrong, words in ((("-o", "x.doc"), "use a name ending in"), (("--grey",), "need -o")):
        refused = fairlead("trend", *files, *wrong)
        assert refused.status == 2
        assert words in refused.errors[-1]


def test_wrong_usage_and_no_sweep(fairlead, files):
    wrong = fairlead("trend", *files, "--figure", "beauty")
    assert wrong.status == 2
    assert "it can be best_match_hz, " in wrong.errors[-1]
    nobody = fairlead("trend", *files, "--sweeps", "roof-*")
    assert nobody.status == 2
    assert 'there is no sweep "roof-*"' in nobody.errors[-1]
    assert fairlead("trend", "gone.s1p", "--sweeps", "x", "--beside", "m").status == 1
    none = fairlead("trend", *files, "--beside", "temperature")
    assert "they state nothing" in none.errors[-1]


def test_one_date_is_no_trend_and_nothing_more_is_said(fairlead, files):
    done = fairlead("trend", files[0])
    assert (done.status, done.errors) == (0, [])
    assert done.out.splitlines()[1:] == [
        "Best match: no trend, because a trend needs this figure on at least two dates."
    ]
