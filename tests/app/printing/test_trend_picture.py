"""The picture of a trend: where its points, bars, band, rings and words are."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from circuits import SeriesCircuit, complex_noise

from fairlead.app.printing.shapes import (
    Area,
    Box,
    CircleArc,
    Clipped,
    Line,
    Mark,
    StraightLine,
    Text,
)
from fairlead.app.printing.trace_style import COLOUR_INK
from fairlead.app.printing.trend_picture import lay_out_trend
from fairlead.core.bands import Band
from fairlead.core.comparison.knowledge import compare_known
from fairlead.core.document.bench import Bench
from fairlead.core.figure_table import FIGURES
from fairlead.core.over_time.beside import Beside
from fairlead.core.over_time.trends import over_time
from fairlead.core.reading.reading import Reading
from fairlead.core.sweep import Sweep
from fairlead.core.uncertainty.interval import Interval, Intervals

GRID_HZ = np.linspace(46e6, 58e6, 121)
BEST = next(spec for spec in FIGURES if spec.key == "best_match_hz")
TEMPERATURE = Beside("temperature", "°C")
SIZE_MM = (180.0, 100.0)


def bench_of(matches_hz):
    readings = []
    for i, f0_hz in enumerate(matches_hz):
        gamma = SeriesCircuit(f0_hz, 46.0, 7.0).reflection(GRID_HZ)
        gamma = gamma + complex_noise(GRID_HZ.size, 0.002, i)
        date = f"{2018 + i}-04-12"
        readings.append(Reading(Sweep(GRID_HZ, gamma), f"roof {date[:4]}", "", taken_at=date))
    return Bench().with_readings(readings).with_band(Band(50e6, 52e6))


@pytest.fixture(scope="module")
def rows():
    """Seven visits, the fourth far off the others."""
    bench = bench_of([50.83e6 - 10e3 * i - 90e3 * (i == 3) + 2e3 * (-1) ** i for i in range(7)])
    for entry in bench.entries:
        noted = replace(entry.circumstances, weather=f"{entry.key % 4 + 3} °C")
        bench = bench.with_circumstances(entry.key, noted)
    return bench, compare_known(bench)


def every(shapes, kind):
    for shape in shapes:
        if isinstance(shape, Clipped):
            yield from every(shape.shapes, kind)
        elif isinstance(shape, kind):
            yield shape


def laid_out(rows, ruler, beside=None, **more):
    bench, found = rows
    ink = COLOUR_INK
    trends = over_time(found, beside)
    return lay_out_trend(bench, BEST, trends, SIZE_MM, ink, "#0072b2", ruler, **more)


def test_points_lie_at_their_dates_and_values(rows, ruler):
    page = laid_out(rows, ruler)
    marks = list(every(page.shapes, Mark))
    assert len(marks) == 7
    assert {mark.shape for mark in marks} == {"circle"}
    steps = np.diff([mark.x for mark in marks])
    # A year is a year, give or take a leap day.
    assert steps == pytest.approx(np.full(6, steps.mean()), rel=0.01)
    # The fourth is the lowest.
    assert max(marks, key=lambda mark: mark.y) is marks[3]
    (ring,) = every(page.shapes, CircleArc)
    assert (ring.x, ring.y) == (marks[3].x, marks[3].y)
    (band,) = every(page.shapes, Area)
    (line,) = every(page.shapes, Line)
    # The band is narrowest in the middle, and the line lies in it.
    widths = band.points[119:59:-1, 1] - band.points[:60, 1]
    assert 20 < int(np.argmin(np.abs(widths))) < 40
    assert line.points[:, 1] == pytest.approx((band.points[:60, 1] + band.points[119:59:-1, 1]) / 2)


def test_everything_stays_on_the_page(rows, ruler):
    for beside in (None, TEMPERATURE):
        page = laid_out(rows, ruler, beside)
        whole = Box(0, 0, *SIZE_MM)
        for text in every(page.shapes, Text):
            assert whole.holds(text.box), text.text
        texts = [text.text for text in every(page.shapes, Text)]
        assert texts[0] == "Best match (MHz) over time"
        said = " ".join(texts)
        assert "Ringed: a studentised residual" in said
        assert "roof 2021 stands out and stays in the line" in said
        assert page.description.startswith("Best match")
        assert ("Temperature (°C)" in said) == (beside is not None)
        assert len(list(every(page.shapes, Mark))) == (7 if beside is None else 14)


def test_without_words_the_plot_is_all(rows, ruler):
    page = laid_out(rows, ruler, title="", has_words=False)
    said = " ".join(text.text for text in every(page.shapes, Text))
    assert "Ringed" not in said
    assert "Best match (MHz)" in said


def test_own_title_and_caption(rows, ruler):
    page = laid_out(rows, ruler, title="Our\nroof", caption="Invented.")
    texts = [text.text for text in every(page.shapes, Text)]
    assert texts[0] == "Our roof"
    assert "Invented." in texts


def test_conditions_have_markers_of_their_own(rows, ruler):
    bench, found = rows
    found = [
        replace(row, entry=replace(row.entry, condition="dry" if row.entry.key < 4 else ""))
        for row in found
    ]
    page = laid_out((bench, found), ruler)
    marks = [mark.shape for mark in every(page.shapes, Mark)]
    assert sorted(marks) == ["circle"] * 4 + ["square"] * 5
    texts = [text.text for text in every(page.shapes, Text)]
    assert {"dry", "not stated"} <= set(texts)
    long = [
        replace(row, entry=replace(row.entry, condition=f"a long condition {row.entry.key}" * 3))
        for row in found
    ]
    page = laid_out((bench, long), ruler)
    assert len(list(every(page.shapes, Mark))) < 14


def test_a_bar_without_an_end_does_not_hide_the_points(rows, ruler):
    bench, found = rows
    wide = Intervals(Interval(40e6, float("inf")))
    found = [replace(row, intervals={"best_match_hz": wide}) for row in found]
    page = laid_out((bench, found), ruler)
    marks = list(every(page.shapes, Mark))
    assert max(mark.y for mark in marks) - min(mark.y for mark in marks) > 20
    bars = [bar for bar in every(page.shapes, StraightLine) if bar.x1 == marks[0].x == bar.x2]
    assert max(abs(bar.y2 - bar.y1) for bar in bars) > 40
    bare = [replace(row, intervals={}) for row in found]
    assert "Bars" not in laid_out((bench, bare), ruler).description


def test_one_date_is_a_point_and_none_is_words(rows, ruler):
    bench, found = rows
    one = laid_out((bench, found[:1]), ruler)
    assert len(list(every(one.shapes, Mark))) == 1
    assert list(every(one.shapes, Line)) == []
    two = laid_out((bench, found[:2]), ruler)
    assert list(every(two.shapes, Area)) == []
    assert "Shaded" not in two.description
    nothing = laid_out((bench, ()), ruler)
    assert list(every(nothing.shapes, Mark)) == []
    assert "No trend" in nothing.description
