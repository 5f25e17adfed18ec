"""Lines in pixels: parts of them, distances, and drawing whatever a file may hold."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import example, given, settings
from plots import rgb
from PySide6.QtCore import Qt
from PySide6.QtGui import QImage, QPainter, QPen
from sweeps import any_sweeps

from fairlead.app.drawing.screen_map import ScreenMap
from fairlead.app.plots.curves import CurveSet
from fairlead.app.plots.pens import curve_pen, mix
from fairlead.app.plots.projection import QuantityProjection, SmithProjection
from fairlead.app.plots.screen_line import ScreenLine
from fairlead.core.analysis.analyses import Analyses
from fairlead.core.document.bench import Bench
from fairlead.core.document.entry import Style
from fairlead.core.reading.reading import Reading
from fairlead.core.reflection import above_one
from fairlead.core.sweep import ScalarSweep, Sweep
from fairlead.core.views.swr import SWR

WHOLE = np.array([[0.0], [300.0], [0.0], [200.0]])


def line_through(*points):
    x, y = np.array(points, dtype=float).T
    joined = np.isfinite(y[1:]) & np.isfinite(y[:-1])
    return ScreenLine.through(np.arange(x.size), x, y, joined)


def painted(draw):
    image = QImage(300, 200, QImage.Format.Format_RGB32)
    image.fill(Qt.GlobalColor.white)
    painter = QPainter(image)
    draw(painter)
    painter.end()
    return image


def dark_columns(image, y):
    return [x for x in range(300) if image.pixelColor(x, y).lightness() < 128]


def test_a_stretch_begins_and_ends_between_points():
    line = line_through((0, 100), (100, 100), (200, 100))
    image = painted(
        lambda p: line.stroke_lots(p, QPen(Qt.GlobalColor.black, 1), np.array([True]), (0.5, 1.25))
    )
    columns = dark_columns(image, 100)
    assert (columns[0], columns[-1]) == (pytest.approx(50, abs=1), pytest.approx(125, abs=1))
    assert line.box(0.5, 1.25) == (50, 125, 100, 100)


def test_dashes_stay_in_place_when_only_a_part_is_drawn():
    line = line_through(*((float(x), 100.0) for x in range(0, 300, 5)))
    pen = curve_pen(mix("#000000", "#ffffff", 1.0), 2.0, Style(0, 1, 0))
    whole = painted(lambda p: line.stroke(p, pen, WHOLE))
    lots = np.ones(line.lots.shape[1], dtype=bool)
    part = painted(lambda p: line.stroke_lots(p, pen, lots, (17.4, 39.8)))
    inside = range(90, 197)
    assert [whole.pixel(x, 100) for x in inside] == [part.pixel(x, 100) for x in inside]
    assert 0 < len(dark_columns(whole, 100)) < 290


def test_nothing_is_drawn_across_a_gap():
    line = line_through((0, 50), (100, 50), (150, np.nan), (200, 50), (290, 50))
    image = painted(lambda p: line.stroke(p, QPen(Qt.GlobalColor.black, 1), WHOLE))
    columns = dark_columns(image, 50)
    assert not set(range(102, 198)) & set(columns)
    assert {50, 250} <= set(columns)
    assert line.distance(150, 50)[0] == pytest.approx(50)
    assert line.lonely.tolist() == []


def test_a_point_between_two_gaps_is_lonely():
    line = line_through((0, np.nan), (100, 50), (200, np.nan))
    assert line.lonely.tolist() == [1]
    assert line.distance(100, 50)[0] == np.inf


def test_the_distance_is_that_from_the_nearest_piece():
    line = line_through((0, 0), (100, 0), (100, 100))
    assert line.distance(50, 7) == (7, 0)
    assert line.distance(103, 60) == (3, 1)
    # Beyond an end the end counts.
    assert line.distance(-3, -4) == (5, 0)


@pytest.mark.parametrize("dash", [0, 1])
def test_a_line_that_leaves_the_screen_by_miles_is_cut_and_quick(dash):
    line = line_through((150, 100), (1e9, 100), (150, -1e11), (-1e9, 1e9), (-1e9, 5e8))
    pen = curve_pen(mix("#000000", "#ffffff", 1.0), 2.0, Style(0, dash, 0))
    # Without the cut this takes minutes.
    image = painted(lambda p: line.stroke(p, pen, WHOLE))
    columns = dark_columns(image, 100)
    assert min(columns) >= 148
    assert max(columns) > 285


@pytest.mark.usefixtures("qapp")
@settings(max_examples=60)
@given(any_sweeps())
@example(Sweep([1e6, 2e6, 3e6], [0.1, 9e8 - 1e8j, -0.2j]))
@example(ScalarSweep([1e6, 2e6, 3e6], [0.1, 1e9, 0.2]))
def test_whatever_can_be_a_sweep_can_be_drawn_and_pointed_at(sweep):
    """At every zoom: no warning, no overflow, no endless dashes."""
    bench = Bench().with_readings([Reading(sweep, "any", "")])
    bench = bench._with_entry(1, style=Style(0, 1, 0))
    low_hz, high_hz = float(sweep.frequency_hz[0]), float(sweep.frequency_hz[-1])
    middle_hz, width_hz = (low_hz + high_hz) / 2, high_hz - low_hz
    for projection, x_ranges, y_range in (
        (
            QuantityProjection(SWR),
            ((low_hz, high_hz), (middle_hz, middle_hz + width_hz / 1e4)),
            (0, 0.8),
        ),
        (SmithProjection(), ((-1.2, 1.2), (0.3, 0.301)), (-0.8, 0.8)),
    ):
        curves = CurveSet(projection, Analyses())
        curves.update(bench, frozenset())
        for x_range in x_ranges:
            curves.set_screen(ScreenMap.between(x_range, y_range, (300, 200)), is_fine=True)
            for curve in curves:
                line = curves.line(curve)
                painted(lambda p, line=line: line.stroke(p, _pen(), WHOLE))
                x, _ = curves.pixels(curve, curves.marks(curve))
                assert np.isfinite(x).all()
                found = curves.nearest(150, 100, 1e9)
                if isinstance(projection, QuantityProjection) and found is not None:
                    magnitude = np.abs(sweep.magnitude[found.index])
                    assert not above_one(magnitude) or line.joined.any()


def _pen():
    return curve_pen(mix("#000000", "#ffffff", 1.0), 1.7, Style(0, 1, 0))


def test_paler_tones_lie_between_colour_and_paper():
    assert rgb(mix("#ff0000", "#ffffff", 0.5).name()) == (255, 128, 128)
