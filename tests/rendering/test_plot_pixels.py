"""What both plots really show: colours at the pixels of known points."""

from __future__ import annotations

import cmath
import math

import numpy as np
import pytest
from mouse import run_events
from plots import Pixels, circuit_sweep, magnitude, scalar_sweep
from PySide6.QtCore import QEvent, QPoint, QPointF
from PySide6.QtGui import QContextMenuEvent
from PySide6.QtWidgets import QApplication, QGraphicsTextItem

from fairlead.app.document.view_state import Hover
from fairlead.app.look.palette import DARK, LIGHT
from fairlead.core.bands import Band
from fairlead.core.document.entry import Style
from fairlead.core.sweep import Sweep

pytest_plugins = ["plot_fixtures"]

BLUE, VERMILION = LIGHT.curves[0], LIGHT.curves[1]


@pytest.fixture
def solid(filled):
    """Both sweeps without dashes, so that every pixel of a curve must show its colour."""
    for number, entry in enumerate(filled.bench.entries):
        filled.document.apply(filled.bench.with_style(entry.key, Style(number, 0, 0)))
    run_events(4)
    return filled


def on_curve(plots, number, index):
    entry = plots.bench.entries[number]
    rho = float(abs(entry.sweep.reflection[index]))
    return plots.swr.position_of(float(entry.sweep.frequency_hz[index]), rho)


def on_chart(plots, number, index):
    return plots.on_smith(plots.bench.entries[number].sweep.reflection[index])


def numbers_at_the_top(plots):
    """The picture of the number above the rim, "+j" and the reference impedance."""
    place = plots.on_smith(1j).toPoint()
    return Pixels(plots.smith).image.copy(place.x() - 30, place.y() - 25, 60, 22)


@pytest.mark.parametrize("index", [10, 60, 110, 190])
def test_a_curve_has_its_colour_where_its_points_are(solid, index):
    pixels = Pixels(solid.swr)
    assert pixels.shows(on_curve(solid, 0, index), BLUE)
    assert pixels.shows(on_curve(solid, 1, index), VERMILION)
    # And not where it has no business.
    assert not pixels.shows(on_curve(solid, 0, index) + QPointF(0, 25), BLUE, 3)


def test_a_hidden_sweep_is_not_drawn(solid):
    solid.edits.set_visible([solid.bench.entries[0].key], is_visible=False)
    assert not Pixels(solid.swr).shows(on_curve(solid, 0, 190), BLUE, 2)
    assert not Pixels(solid.smith).shows(on_chart(solid, 0, 100), BLUE, 2)
    assert Pixels(solid.swr).shows(on_curve(solid, 1, 190), VERMILION)


def test_edge_and_limit_lines_stand_where_the_document_says(solid):
    pixels = Pixels(solid.swr)
    for edge in ("low", "high"):
        assert pixels.shows(solid.edge_at(edge, 3.2), LIGHT.band)
    assert pixels.shows(solid.limit_at(), LIGHT.limit)
    solid.edits.set_band(Band(141e6, 142e6))
    solid.edits.set_limit(3.0)
    pixels = Pixels(solid.swr)
    assert pixels.shows(solid.on_swr(141e6, 3.2), LIGHT.band)
    assert not pixels.shows(solid.on_swr(144e6, 3.2), LIGHT.band, 2)
    assert pixels.shows(solid.on_swr(148e6, 3.0), LIGHT.limit)
    assert not pixels.shows(solid.on_swr(148e6, 2.0), LIGHT.limit, 2)


def test_the_band_is_shaded_between_its_edges_only(solid):
    pixels = Pixels(solid.swr)
    inside = pixels.at(solid.on_swr(145.1e6, 3.3))
    assert inside != pixels.at(solid.on_swr(143.1e6, 3.3))
    assert pixels.at(solid.on_swr(143.1e6, 3.3)) == (255, 255, 255)


def test_the_stretch_in_the_band_stands_out_on_the_smith_chart(solid):
    pixels = Pixels(solid.smith)
    # 145 MHz is inside, 142.5 MHz outside.
    inside, outside = on_chart(solid, 1, 90), on_chart(solid, 1, 20)
    assert pixels.count(inside, VERMILION, 4) >= 12
    assert pixels.count(outside, VERMILION, 4) == 0
    # Outside it is there, paler.
    assert not pixels.shows(outside, LIGHT.base, 0, 90)


def test_moving_an_edge_recolours_the_smith_chart(solid):
    place = on_chart(solid, 1, 110)  # 145.5 MHz
    assert Pixels(solid.smith).count(place, VERMILION, 4) >= 12
    solid.swr_mouse.drag(
        [solid.edge_at("high"), solid.on_swr(145.6e6, 2.8), solid.on_swr(144.7e6, 2.8)]
    )
    assert Pixels(solid.smith).count(place, VERMILION, 4) == 0
    solid.edits.undo()
    assert Pixels(solid.smith).count(place, VERMILION, 4) >= 12


def test_what_a_drag_repaints_in_small_parts_equals_the_whole_painted_anew(filled):
    filled.add(
        *(circuit_sweep(143e6 + 4e5 * i, 20.0 + 9 * i, 9.0, 801, 0.002, i) for i in range(8))
    )
    filled.smith.show_whole_chart()
    start = filled.edge_at("low")
    steps = [start + QPointF(70 * math.sin(i / 3), 0) for i in range(30)]
    filled.swr_mouse.drag([start, *steps])
    parts = Pixels(filled.smith).image
    filled.smith._in_band.renew()
    filled.smith.viewport().repaint()
    assert Pixels(filled.smith).image == parts


def test_the_screen_shows_what_a_whole_repaint_would(filled, qapp):
    """Every change asks for just the pixels that it changes: none may be left stale."""
    filled.view_state.set_hover(Hover(filled.bench.entries[0].key, 150))
    start, bar = filled.edge_at("low"), filled.bar_at()
    filled.swr_mouse.drag([start, start + QPointF(-60, 0), start + QPointF(35, 0)])
    filled.swr_mouse.drag([bar, bar + QPointF(25, 0)])
    filled.swr_mouse.drag([filled.limit_at(), filled.limit_at() - QPointF(0, 60)])
    filled.view_state.set_hover(Hover(filled.bench.entries[1].key, 20))
    filled.swr_mouse.move(filled.on_swr(149e6, 1.1))
    run_events(4)
    shown = qapp.primaryScreen().grabWindow(filled.winId()).toImage()
    whole = filled.grab().toImage().convertToFormat(shown.format())
    assert shown == whole


def test_the_exact_picture_follows_when_motion_ends(plots, qtbot):
    plots.add(*(circuit_sweep(144e6, noise=0.004, points=1601, seed=i) for i in range(4)))
    # A busy machine may take longer to paint than a hand rests: the rest begins when we say so.
    plots.swr._at_rest.setInterval(60_000)
    plots.swr_mouse.wheel(plots.on_swr(145e6, 2.0), 1)
    assert not plots.swr._curves.is_fine
    coarse = Pixels(plots.swr).image
    plots.swr._at_rest.start(0)
    qtbot.waitUntil(lambda: plots.swr._curves.is_fine, timeout=5000)
    assert Pixels(plots.swr).image != coarse


def test_the_chart_has_its_lines_where_the_published_geometry_puts_them(plots):
    """Zhang and Li, eq. 3.64; z = 1 + j1 at 0.2 + j0.4 (Kulkarni, ex. 3.5; Liao, ex. 3.5.1).

    The circle r = 0.2 has its centre at 0.16667 and a radius of 0.83333; the arc x = 0.5 meets
    the rim at -0.6 + j0.8 (both computed from the formula).
    """
    pixels = Pixels(plots.smith)
    for gamma in (
        0.2 + 0.4j,
        0.5 + 0.5j,
        0.5 - 0.5j,
        0.16667 + 0.83333 * cmath.exp(2j),
        2 / 3 + cmath.exp(-2.2j) / 3,
    ):
        assert pixels.shows(plots.on_smith(gamma), LIGHT.grid_major, 1, 30), gamma
    for gamma in (0.45 - 0.3j, 0.6 - 0.62j, -0.3 + 0.5j):
        assert pixels.shows(plots.on_smith(gamma), LIGHT.base, 0, 6), gamma
    rim = plots.on_smith(-0.6 + 0.8j)
    assert not pixels.shows(rim, LIGHT.base, 0, 90)


@pytest.mark.parametrize(
    ("limit_swr", "radius"), [(1.5, 0.2), (2.0, 0.33), (3.0, 0.5), (5.0, 0.67)]
)
def test_the_limit_is_a_circle_of_the_published_radius(plots, limit_swr, radius):
    """|G| of an SWR to two places: table of LZ1LEN, "transmission line" (qslnet.de)."""
    plots.edits.set_limit(limit_swr)
    pixels = Pixels(plots.smith)
    for angle in (0.3, 1.2, 3.6, 5.0):
        assert pixels.shows(plots.on_smith(cmath.rect(radius, angle)), LIGHT.limit, 2)


def test_the_other_theme_changes_ground_and_curves(solid):
    solid.view_state.set_theme(DARK)
    ground = solid.on_swr(143.1e6, 3.3)
    pixels = Pixels(solid.swr)
    assert pixels.shows(ground, DARK.base, 0, 0)
    assert pixels.shows(on_curve(solid, 0, 190), DARK.curves[0])
    assert Pixels(solid.smith).shows(solid.on_smith(0.3 - 0.35j), DARK.base, 0, 0)
    solid.view_state.set_theme(LIGHT)
    assert Pixels(solid.swr).shows(ground, LIGHT.base, 0, 0)


def test_points_above_one_leave_a_gap_and_a_mark_at_the_top(plots):
    frequency_hz = np.linspace(140e6, 150e6, 101)
    gamma = np.full(101, 0.4 + 0j)
    gamma[45:56] = 1.04 * np.exp(0.05j * np.arange(-5, 6))
    (key,) = plots.add(Sweep(frequency_hz, gamma))
    plots.document.apply(plots.bench.with_style(key, Style(0, 0, 0)))
    plots.edits.set_band(Band(141e6, 141.5e6))
    pixels = Pixels(plots.swr)
    level = plots.swr.position_of(143e6, 0.4)
    assert pixels.shows(level, BLUE)
    assert not pixels.shows(plots.swr.position_of(145e6, 0.4), BLUE, 3)
    top = QPointF(plots.swr.position_of(145e6, 0.4).x(), plots.swr._origin().y() + 5)
    assert pixels.shows(top, BLUE, 4)
    assert not pixels.shows(QPointF(level.x(), top.y()), BLUE, 4)
    assert plots.swr._corner_text._lines == ("▲ |Γ| above 1: no SWR there",)
    # The Smith chart draws them where they are, outside the rim.
    assert Pixels(plots.smith).nearest(plots.on_smith(1.04), LIGHT.base, 0) > 0


def test_a_straight_rise_through_one_is_drawn_up_to_one(plots):
    """Every point but the ends lies on the straight line, yet the border of the gap matters."""
    frequency_hz = np.linspace(140e6, 150e6, 1001)
    (key,) = plots.add(Sweep(frequency_hz, np.linspace(0.5, 1.5, 1001)))
    plots.document.apply(plots.bench.with_style(key, Style(0, 0, 0)))
    plots.edits.set_band(Band(141e6, 141.5e6))
    assert Pixels(plots.swr).shows(plots.swr.position_of(142e6, 0.7), BLUE)


def test_a_lonely_point_between_gaps_is_a_dot(plots):
    frequency_hz = np.linspace(140e6, 150e6, 101)
    gamma = np.full(101, 1.04 + 0j)
    gamma[50] = 0.4
    (key,) = plots.add(Sweep(frequency_hz, gamma))
    plots.document.apply(plots.bench.with_style(key, Style(0, 0, 0)))
    assert Pixels(plots.swr).count(plots.swr.position_of(145e6, 0.4), BLUE, 3) >= 4


def test_few_points_are_shown_each_with_its_marker(plots):
    (few,) = plots.add(circuit_sweep(points=6))
    plots.document.apply(plots.bench.with_style(few, Style(0, 0, 0)))
    pixels = Pixels(plots.swr)
    for index in range(1, 5):
        place = on_curve(plots, 0, index)
        assert pixels.shows(place, LIGHT.base, 0, 20), "the middle of a circle is empty"
        assert pixels.shows(place + QPointF(3.4, 0), BLUE, 1)


def test_selecting_makes_the_others_paler(solid):
    first = solid.bench.entries[0]
    solid.view_state.set_selection(frozenset({first.key}))
    pixels = Pixels(solid.swr)
    assert pixels.count(on_curve(solid, 0, 190), BLUE, 4) >= 12
    assert not pixels.shows(on_curve(solid, 1, 190), VERMILION, 1)
    solid.view_state.set_selection(frozenset())
    assert Pixels(solid.swr).shows(on_curve(solid, 1, 190), VERMILION, 1)


def test_another_reference_impedance_redraws_both_plots(solid):
    """A 40 ohm circuit at resonance: SWR 50 / 40 at 50 ohm, 100 / 40 at 100 ohm."""
    assert Pixels(solid.swr).shows(solid.on_swr(145e6, 1.25), BLUE)
    solid.smith.show_whole_chart()
    numbers_before = numbers_at_the_top(solid)
    solid.edits.set_z0(100.0)
    pixels = Pixels(solid.swr)
    assert pixels.shows(solid.on_swr(145e6, 2.5), BLUE)
    assert not pixels.shows(solid.on_swr(145e6, 1.25), BLUE, 3)
    assert Pixels(solid.smith).shows(solid.on_smith((40 - 100) / 140), BLUE)
    numbers_after = numbers_at_the_top(solid)
    assert numbers_after != numbers_before
    assert solid.smith._scale_text._lines == ("Numbers in Ω, centre 100 Ω",)


def test_a_scalar_sweep_is_named_beside_the_chart_as_plain_text(plots):
    plots.add(scalar_sweep(), names=["<b>meter</b> & co"])
    assert plots.smith._corner_text._lines == ("no phase measured: <b>meter</b> & co",)
    (key,) = [entry.key for entry in plots.bench.entries]
    plots.view_state.set_hover(Hover(key, 20))
    # Only pyqtgraph's axis titles are rich text, and they hold no name.
    for plot in (plots.swr, plots.smith):
        for item in plot._view.scene().items():
            if isinstance(item, QGraphicsTextItem):
                assert "meter" not in item.toHtml()


def test_the_hovered_point_is_ringed_in_the_sweeps_colour_in_both_plots(solid):
    entry = solid.bench.entries[1]
    solid.view_state.set_hover(Hover(entry.key, 190))
    for widget, place in (
        (solid.swr, on_curve(solid, 1, 190)),
        (solid.smith, on_chart(solid, 1, 190)),
    ):
        pixels = Pixels(widget)
        for angle in range(0, 360, 60):
            spot = cmath.rect(6.0, math.radians(angle))
            assert pixels.shows(place + QPointF(spot.real, spot.imag), VERMILION, 1)


@pytest.mark.parametrize("index", [0, 100, 200])
def test_the_readout_stays_inside_both_plots_and_off_its_point(solid, index):
    solid.resize(760, 420)
    run_events(4)
    solid.view_state.set_hover(Hover(solid.bench.entries[0].key, index))
    for plot in (solid.swr, solid.smith):
        box = plot._marker._text_box.translated(plot._marker.pos())
        assert box.left() >= 0
        assert box.top() >= 0
        assert box.right() <= plot._screen.width
        assert box.bottom() <= plot._screen.height
        assert not box.contains(plot._marker.pos())


def test_there_is_no_menu_and_no_button_of_the_library(filled):
    for plot in (filled.swr, filled.smith):
        event = QContextMenuEvent(QContextMenuEvent.Reason.Mouse, QPoint(200, 200), QPoint(0, 0))
        QApplication.sendEvent(plot.viewport(), event)
        run_events()
        assert QApplication.activePopupWidget() is None
        QApplication.sendEvent(plot.viewport(), QEvent(QEvent.Type.Enter))
        assert not plot._item.autoBtn.isVisible()
        assert plot.accessibleName()
        assert plot.accessibleDescription()


def test_the_frequency_axis_stays_in_megahertz(plots):
    """The library would turn to kilohertz below 1 MHz."""
    frequency_hz = np.linspace(135.7e3, 137.8e3, 50)
    plots.add(Sweep(frequency_hz, np.full(50, 0.3 + 0j)))
    axis = plots.swr._item.getAxis("bottom")
    assert axis.labelString().count("MHz") == 1
    texts = axis.tickStrings([136e3, 137e3], axis.scale, 1e3)
    assert texts == ["0.136", "0.137"]


def test_swr_one_is_the_foot_of_the_axis(filled):
    screen = filled.swr._screen
    assert screen.bottom == 0
    assert filled.on_swr(145e6, 1.0).y() == pytest.approx(filled.swr._origin().y() + screen.height)
    one_to_three = magnitude(3.0) * screen.y_scale
    assert one_to_three > 0.5 * screen.height
