"""Groups on paper: envelope, mean, legend, the figures with their deviation."""

from __future__ import annotations

import numpy as np
import pytest
from circuits import SeriesCircuit
from printed_benches import Ruler

from fairlead.app.printing.group_part import MEAN_MM, REMARK
from fairlead.app.printing.layout import lay_out
from fairlead.app.printing.shapes import Area, Clipped, Line
from fairlead.core.bands import Band
from fairlead.core.document.bench import Bench
from fairlead.core.document.entry import Circumstances
from fairlead.core.document.groups import with_group, with_group_visibility
from fairlead.core.document.picture_request import PictureRequest
from fairlead.core.errors import FairleadError
from fairlead.core.reading.reading import Reading
from fairlead.core.sweep import Sweep

GRID_HZ = np.linspace(46e6, 58e6, 121)
MATCHES_HZ = (50.6e6, 51.0e6, 51.4e6)
KEYS = (2, 3, 4)


def bench():
    readings = [("old", SeriesCircuit(52e6, 60.0, 8.0))]
    readings += [(f"unit {i}", SeriesCircuit(hz, 48.0, 8.0)) for i, hz in enumerate(MATCHES_HZ, 1)]
    made = Bench().with_readings(
        Reading(Sweep(GRID_HZ, circuit.reflection(GRID_HZ)), label, "")
        for label, circuit in readings
    )
    return with_group(made.with_band(Band(50e6, 52e6)), KEYS, "Kit")


def laid_out(made, **changes):
    return lay_out(made, PictureRequest(**changes), Ruler())


def flat(shapes):
    for shape in shapes:
        yield from flat(shape.shapes) if isinstance(shape, Clipped) else (shape,)


def areas(part):
    return [shape for shape in flat(part.shapes) if isinstance(shape, Area)]


def heavy(part):
    return [
        shape
        for shape in flat(part.shapes)
        if isinstance(shape, Line) and shape.pen.width_mm == MEAN_MM
    ]


def texts(figure):
    return [shape.text for shape in flat(figure.shapes) if hasattr(shape, "text")]


def test_the_envelope_reaches_from_the_least_to_the_largest_of_the_circuits():
    plot = laid_out(bench()).plot
    (area,) = areas(plot)
    x = plot.frequency.x(50.6e6)
    column = area.points[np.abs(area.points[:, 0] - x) < 0.05]
    sizes = [
        abs(SeriesCircuit(hz, 48.0, 8.0).reflection(np.array([50.6e6])))[0] for hz in MATCHES_HZ
    ]
    wanted = [plot.axis.y_of_position(max(sizes)), plot.axis.y_of_position(min(sizes))]
    assert [column[:, 1].min(), column[:, 1].max()] == pytest.approx(wanted, abs=0.1)
    assert heavy(plot)


def test_the_chart_has_the_mean_reflection():
    chart = laid_out(bench()).smith
    points = np.concatenate([line.points for line in heavy(chart)])
    means = np.mean([SeriesCircuit(hz, 48.0, 8.0).reflection(GRID_HZ) for hz in MATCHES_HZ], axis=0)
    places = np.array([chart.place(complex(gamma)) for gamma in means])
    away = np.min(np.hypot(*(points[:, None, :] - places[None, :, :]).transpose(2, 0, 1)), axis=1)
    # Between points of the grid the curve runs on.
    assert away.max() < 1.0


def test_the_legend_names_it_with_figures_and_says_what_is_shaded():
    figure = laid_out(bench(), width_mm=200, height_mm=130)
    said = texts(figure)
    assert "Kit (3 units)" in said
    assert "51.00 (sd 0.40)" in said
    assert any(REMARK in line or REMARK.split(";")[0] in line for line in said)


def test_it_is_black_and_grey_without_colour():
    figure = laid_out(bench(), grey=True)
    colours = {line.pen.colour for line in (*heavy(figure.plot), *heavy(figure.smith))}
    assert colours <= {"#000000", "#707070"}


def test_a_hidden_group_is_neither_drawn_nor_named():
    made = bench()
    figure = laid_out(with_group_visibility(made, made.groups[0].key, is_visible=False))
    assert not areas(figure.plot)
    assert not heavy(figure.plot)
    assert "Kit (3 units)" not in texts(figure)


def test_a_group_whose_sweeps_are_all_hidden_is_a_picture_of_its_own():
    made = bench()
    for entry in made.entries:
        made = made.with_visibility(entry.key, is_visible=False)
    figure = laid_out(made)
    assert areas(figure.plot)
    assert "Kit (3 units)" in texts(figure)
    assert "unit 1" not in texts(figure)
    with pytest.raises(FairleadError, match="no sweep to draw"):
        laid_out(with_group_visibility(made, made.groups[0].key, is_visible=False))


def test_dates_in_the_legend_do_not_make_the_units_another_population():
    made = bench()
    for day, key in enumerate(KEYS, 1):
        made = made.with_circumstances(key, Circumstances(taken_at=f"2026-05-0{day}"))
    assert areas(laid_out(made, legend="date").plot)


def test_what_became_different_is_named_and_not_drawn():
    made = bench().with_condition(2, "dry").with_condition(3, "iced")
    figure = laid_out(made)
    assert not areas(figure.plot)
    assert "Kit (3 units)" in texts(figure)


def test_a_view_without_a_mean_has_none():
    figure = laid_out(bench(), view="phase")
    assert not areas(figure.plot)
    assert heavy(figure.smith)
