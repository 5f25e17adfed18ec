"""Plots and printed picture look as they did: pictures in tests/data/pictures.

After a wanted change: `FAIRLEAD_RENEW_PICTURES=1 pytest tests/rendering/test_reference_pictures.py`
and look at what `git diff` names.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from circuits import SeriesCircuit
from mouse import run_events
from plots import LOW_HZ, circuit_sweep, scalar_sweep
from printed_benches import Ruler, bench_of, reading, scalar_reading
from PySide6.QtCore import QPointF
from PySide6.QtGui import QImage, QPainter
from reference_pictures import check, no_letters, pixels, unlike, with_line

from fairlead.app.document.view_state import Hover
from fairlead.app.look.palette import DARK, LIGHT
from fairlead.app.printing.fonts import UNITS_PER_MM
from fairlead.app.printing.layout import lay_out
from fairlead.app.printing.paint import paint_picture
from fairlead.app.printing.shapes import Clipped, Text
from fairlead.core.bands import Band
from fairlead.core.document.picture_request import PictureRequest
from fairlead.core.reading import Reading
from fairlead.core.sweep import Sweep
from fairlead.core.views.registry import view_named

pytest_plugins = ["plot_fixtures"]

PX_A_MM = 5


def above_one_sweep():
    """A circuit, with eleven points that reflect more than was sent."""
    sweep = circuit_sweep(143e6, 90.0, 5.0)
    reflection = sweep.reflection.copy()
    reflection[150:161] *= 1.04 / np.abs(reflection[150:161])
    return Sweep(sweep.frequency_hz, reflection)


@pytest.fixture
def drawn(plots, monkeypatch):
    """Every kind of curve: two usual ones, one of few points, one above 1, one without phase."""
    no_letters(monkeypatch)
    plots.resize(900, 420)
    plots.setSizes([520, 374])
    plots.add(
        circuit_sweep(145e6),
        circuit_sweep(146.5e6, 70.0),
        circuit_sweep(144e6, 25.0, 6.0, points=13),
        above_one_sweep(),
        scalar_sweep(147e6),
        names=["dry", "wet", "by hand", "noisy", "meter"],
    )
    plots.edits.set_band(Band(144e6, 146e6))
    run_events(4)
    return plots


def grabbed(plots):
    """Both plots in one image; axis titles left out."""
    for axis in (plots.swr._item.getAxis("left"), plots.swr._item.getAxis("bottom")):
        axis.label.hide()
    for plot in (plots.swr, plots.smith):
        plot._screen_changed()
        plot._curves_changed()
        plot.viewport().repaint()
    run_events(4)
    image = QImage(plots.width(), plots.height(), QImage.Format.Format_RGB32)
    image.fill(0xFFFFFFFF)
    painter = QPainter(image)
    for plot in (plots.swr, plots.smith):
        painter.drawImage(QPointF(plot.pos()), plot.grab().toImage())
    painter.end()
    return image


def printed(bench, **request):
    """The figure on paper, without its letters."""
    wanted = PictureRequest(**{"width_mm": 150.0, "height_mm": 90.0} | request)
    figure = lay_out(bench, wanted, Ruler())
    bare = _Bare(figure.width_mm, figure.height_mm, tuple(without_letters(figure.shapes)))
    image = QImage(
        round(wanted.width_mm * PX_A_MM),
        round(wanted.height_mm * PX_A_MM),
        QImage.Format.Format_RGB32,
    )
    painter = QPainter(image)
    painter.scale(PX_A_MM / UNITS_PER_MM, PX_A_MM / UNITS_PER_MM)
    paint_picture(painter, bare, ())
    painter.end()
    return image


class _Bare:
    """What the painter asks of a figure."""

    def __init__(self, width_mm, height_mm, shapes):
        self.width_mm, self.height_mm, self.shapes = width_mm, height_mm, shapes


def without_letters(shapes):
    """The shapes but texts; a text with white behind it leaves the white out as well."""
    for shape in shapes:
        if isinstance(shape, Clipped):
            yield replace(shape, shapes=tuple(without_letters(shape.shapes)))
        elif not isinstance(shape, Text):
            yield shape


def printed_bench():
    few = np.linspace(46e6, 58e6, 13)
    many = np.linspace(46e6, 58e6, 241)
    gamma = SeriesCircuit(54e6, 80.0, 5.0).reflection(many)
    gamma[30:36] *= 1.05 / np.abs(gamma[30:36])
    return bench_of(
        reading(0),
        reading(3),
        reading(5, frequency_hz=few),
        Reading(Sweep(many, gamma), "noisy", ""),
        scalar_reading(6),
    )


def test_the_window(drawn, tmp_path):
    drawn.view_state.set_hover(Hover(drawn.bench.entries[1].key, 60))
    check(grabbed(drawn), "window-light", tmp_path)


def test_the_window_in_the_dark_zoomed_with_a_selection(drawn, tmp_path):
    drawn.view_state.set_theme(DARK)
    drawn.view_state.set_selection(frozenset({drawn.bench.entries[0].key}))
    drawn.swr.zoom_to_band()
    drawn.smith.zoom_to_band()
    run_events(4)
    check(grabbed(drawn), "window-dark-zoomed", tmp_path)


def test_the_chart_zoomed_far_in(drawn, tmp_path):
    for _ in range(9):
        drawn.smith.zoom_in()
    drawn.edits.set_limit(1.5)
    run_events(4)
    check(grabbed(drawn), "window-chart-ruled", tmp_path)


@pytest.mark.parametrize("view", ["swr-change", "shape"])
def test_the_window_compares(drawn, tmp_path, view):
    drawn.view_state.set_quantity(view_named(view))
    run_events(4)
    check(grabbed(drawn), f"window-{view}", tmp_path)


@pytest.mark.parametrize("view", ["return-loss-change", "shape"])
def test_the_printed_figure_compares(tmp_path, view):
    check(printed(printed_bench(), view=view), f"printed-{view}", tmp_path)


def test_the_printed_picture(tmp_path):
    check(printed(printed_bench()), "printed", tmp_path)


def test_the_printed_figure_in_grey_and_upright(tmp_path):
    bench = printed_bench().with_limit(3.0)
    image = printed(bench, grey=True, width_mm=90.0, height_mm=120.0)
    check(image, "printed-grey-column", tmp_path)


def test_a_line_too_many_and_a_line_too_few_are_both_seen(drawn, tmp_path, monkeypatch):
    monkeypatch.delenv("FAIRLEAD_RENEW_PICTURES", raising=False)
    image = grabbed(drawn)
    wanted = pixels(image)
    for colour in (LIGHT.grid_minor, LIGHT.curves[0]):
        changed = pixels(with_line(image, colour))
        assert np.count_nonzero(unlike(changed, wanted)) > 60
        assert not unlike(wanted, wanted).any()
    # The wanted picture has the hover's ring and this one has not.
    drawn.view_state.set_hover(None)
    with pytest.raises(pytest.fail.Exception, match="window-light") as caught:
        check(grabbed(drawn), "window-light", tmp_path)
    assert str(tmp_path) in str(caught.value)
    assert {path.name for path in tmp_path.iterdir()} == {
        "window-light-result.png",
        "window-light-difference.png",
    }


def test_the_sweeps_of_the_pictures_begin_where_the_plots_do(drawn):
    assert all(entry.sweep.frequency_hz[0] == LOW_HZ for entry in drawn.bench.entries)
