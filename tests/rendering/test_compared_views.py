"""Changes against the reference and aligned best matches, in the window and in print."""

from __future__ import annotations

import numpy as np
import pytest
from circuits import SeriesCircuit
from mouse import run_events
from plots import Pixels, circuit_sweep, scalar_sweep
from printed_benches import Ruler, bench_of, reading, scalar_reading
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest

from fairlead.app.drawing.marks import SHADINGS
from fairlead.app.look.palette import LIGHT
from fairlead.app.printing.layout import lay_out
from fairlead.app.printing.shapes import Area, Clipped, Line, StraightLine
from fairlead.core.comparison.knowledge import knowledge_of
from fairlead.core.document.entry import Style
from fairlead.core.document.picture_request import PictureRequest
from fairlead.core.uncertainty.error_model import ErrorModel
from fairlead.core.views.registry import VIEWS, view_named
from fairlead.core.views.shape import MATCH_HZ

pytest_plugins = ["plot_fixtures", "window_fixtures"]

BLUE, OTHER = LIGHT.curves[0], LIGHT.curves[1]
COMPARED = [view for view in VIEWS if view.against is not None]


@pytest.fixture
def solid(filled):
    """Both sweeps without dashes."""
    for number, entry in enumerate(filled.bench.entries):
        filled.document.apply(filled.bench.with_style(entry.key, Style(number, 0, 0)))
    run_events(4)
    return filled


def show(plots, name):
    plots.view_state.set_quantity(view_named(name))
    run_events(4)


def analyses_of(plots):
    bench = plots.bench
    return [plots.document.analyses.of(entry.sweep, bench.z0_ohm) for entry in bench.entries]


@pytest.mark.parametrize("view", COMPARED, ids=lambda view: view.id)
def test_a_change_is_drawn_with_band_edges_hover_and_a_flat_reference(solid, view):
    show(solid, view.id)
    dry, wet = analyses_of(solid)
    bound = view.against(dry)
    pixels = Pixels(solid.swr)
    for index in (60, 150):
        at_hz = float(wet.frequency_hz[index])
        place = float(bound.positions(wet)[index])
        assert pixels.shows(solid.swr.position_of(at_hz, place), OTHER)
        assert pixels.shows(solid.swr.position_of(at_hz, 0.0), BLUE)
    assert solid.swr._handles.parts == ("low", "high")
    at_hz = float(wet.frequency_hz[40])
    solid.swr_mouse.move(solid.swr.position_of(at_hz, float(bound.positions(wet)[40])))
    hover = solid.view_state.hover
    assert hover.key == solid.bench.entries[1].key
    where, change = solid.swr._marker._lines
    assert where.endswith("MHz")
    assert change == bound.text_at(wet, hover.index)


def test_another_reference_turns_the_change_round(solid):
    show(solid, "swr-change")
    before = solid.swr._quantity.values(analyses_of(solid)[1])
    solid.edits.set_reference(solid.bench.entries[1].key)
    run_events(4)
    dry, wet = analyses_of(solid)
    assert solid.swr._quantity.values(dry) == pytest.approx(-before)
    pixels = Pixels(solid.swr)
    at_hz = float(wet.frequency_hz[60])
    assert pixels.shows(solid.swr.position_of(at_hz, 0.0), OTHER)
    assert pixels.shows(solid.swr.position_of(at_hz, float(-before[60])), BLUE)
    # A band edge changes no change.
    quantity = solid.swr._quantity
    solid.edits.set_edge("high", 147e6)
    assert solid.swr._quantity is quantity


def test_aligned_sweeps_have_the_limit_and_no_band(solid):
    show(solid, "shape")
    assert solid.swr._handles.parts == ("limit",)
    assert "Tab chooses the limit line" in solid.swr.accessibleDescription()
    screen = solid.swr._screen
    assert screen.left < MATCH_HZ < screen.right
    assert solid.swr._item.getAxis("bottom").labelText == "Frequency / best match (%)"
    pixels = Pixels(solid.swr)
    curves = {curve.key: curve for curve in solid.swr._curves}
    for entry, colour in zip(solid.bench.entries, (BLUE, OTHER), strict=True):
        analysis = curves[entry.key].analysis
        index = int(np.searchsorted(analysis.frequency_hz, 1.02 * MATCH_HZ))
        place = float(view_named("swr").positions(analysis)[index])
        assert pixels.shows(
            solid.swr.position_of(float(analysis.frequency_hz[index]), place), colour
        )
    # Where the band is on the plain axis there is nothing to take hold of.
    middle = solid.swr.position_of(MATCH_HZ, 0.05)
    assert solid.swr._handles.at(middle - solid.swr._origin()) is None
    start = solid.swr.position_of(0.985 * MATCH_HZ, view_named("swr").limit_position(2.0))
    target = solid.swr.position_of(0.985 * MATCH_HZ, view_named("swr").limit_position(1.5))
    solid.swr_mouse.drag([start, (start + target) / 2, target])
    assert solid.bench.limit_swr == pytest.approx(1.5, abs=0.03)


def test_pointing_at_an_aligned_curve_says_its_percentage(solid):
    show(solid, "shape")
    curve = next(one for one in solid.swr._curves if one.key == solid.bench.entries[1].key)
    index = 60
    at_hz = float(curve.analysis.frequency_hz[index])
    place = float(view_named("swr").positions(curve.analysis)[index])
    solid.swr_mouse.move(solid.swr.position_of(at_hz, place))
    where, what = solid.swr._marker._lines
    own_hz = float(solid.bench.entries[1].sweep.frequency_hz[solid.view_state.hover.index])
    best_hz = SeriesCircuit(146.5e6, 70.0, 8.0).f0_hz
    assert float(where.split(" ", maxsplit=1)[0]) == pytest.approx(100 * own_hz / best_hz, abs=0.02)
    assert what.startswith("SWR ")


def test_the_zoom_to_the_band_is_as_wide_around_the_best_match(solid):
    show(solid, "shape")
    solid.swr.zoom_to_band()
    screen = solid.swr._screen
    assert (screen.left + screen.right) / 2 == pytest.approx(MATCH_HZ)
    assert (screen.right - screen.left) / MATCH_HZ == pytest.approx(1.3 * 2 / 145)
    # Back on the plain axis everything is seen, not a hundred megahertz beside it.
    show(solid, "swr")
    assert solid.swr._screen.left < 141e6
    assert solid.swr._screen.right > 149e6
    assert solid.swr._handles.parts == ("low", "high", "limit")


def test_an_empty_plot_can_be_aligned(plots):
    show(plots, "shape")
    assert plots.swr._screen.left < MATCH_HZ < plots.swr._screen.right
    show(plots, "swr-change")
    plots.add(circuit_sweep())
    assert plots.swr._corner_text._lines == ("nothing to compare: only the reference is shown",)


def test_what_cannot_be_compared_is_counted(plots):
    plots.add(circuit_sweep(), scalar_sweep(), scalar_sweep(143e6))
    show(plots, "resistance-change")
    assert plots.swr._corner_text._lines == ("no phase measured: 2 sweeps are not shown here",)
    show(plots, "shape")
    assert plots.swr._corner_text._lines == ()
    assert len(plots.swr._curves) == 3


def test_the_view_menu_and_its_keys_switch(qtbot, loaded):
    bar = loaded.menuBar()
    view_menu = next(a.menu() for a in bar.actions() if a.text() == "&View")
    plot_menu = next(a.menu() for a in view_menu.actions() if "Plot over" in a.text())
    texts = [action.text().replace("&", "") for action in plot_menu.actions()]
    assert texts == [
        *("SWR", "Return loss", "Resistance R", "Reactance X", "Phase of reflection"),
        *("Impedance |Z|", "", "Change of SWR", "Change of return loss"),
        *("Change of resistance R", "Change of reactance X", "Change of phase", ""),
        "SWR, best matches aligned",
    ]
    plot_menu.popup(loaded.mapToGlobal(loaded.rect().center()))
    run_events(4)
    shape = next(a for a in plot_menu.actions() if a.objectName() == "view-shape")
    QTest.mouseClick(
        plot_menu, Qt.MouseButton.LeftButton, pos=plot_menu.actionGeometry(shape).center()
    )
    run_events(4)
    assert loaded.view_state.quantity.id == "shape"
    assert "best matches aligned" in loaded.frequency_plot.accessibleName()
    qtbot.keyClick(loaded, Qt.Key.Key_7, Qt.KeyboardModifier.ControlModifier)
    assert loaded.view_state.quantity.id == "swr-change"
    assert loaded.document.undo_stack.count() == 1  # the sweeps that were opened


# --- print --------------------------------------------------------------------------------------


def flat(shapes):
    for shape in shapes:
        yield from flat(shape.shapes) if isinstance(shape, Clipped) else (shape,)


def words(figure):
    return " ".join(text.text for text in figure.caption)


@pytest.mark.parametrize("view", COMPARED, ids=lambda view: view.id)
def test_a_change_is_printed(view):
    bench = bench_of(reading(0), reading(3), scalar_reading(5))
    plot = lay_out(bench, PictureRequest(view=view.id), Ruler()).plot
    lines = [s for s in flat(plot.shapes) if isinstance(s, Line) and s.pen.colour == "#0072b2"]
    own = np.concatenate([line.points for line in lines])
    assert own[:, 1] == pytest.approx(np.full(len(own), plot.axis.y(0.0)), abs=0.01)
    assert not plot.limit_label
    assert plot.band_label
    said = words(lay_out(bench, PictureRequest(view=view.id), Ruler()))
    assert ("No phase measured: 1 sweep is not shown here." in said) == view.needs_phase


def test_aligned_sweeps_are_printed_without_the_band_and_with_stems_at_their_match():
    bench = bench_of(reading(0), reading(3), scalar_reading(5))
    figure = lay_out(bench, PictureRequest(view="shape"), Ruler())
    plot = figure.plot
    assert not plot.band_label
    assert plot.limit_label
    assert "100" in [tick.text for tick in plot.x_ticks]
    stems = [s for s in flat(plot.shapes) if isinstance(s, StraightLine) and s.pen.width_mm == 0.15]
    assert {round(stem.x1, 3) for stem in stems} == {round(plot.frequency.x(MATCH_HZ), 3)}
    colours = {s.pen.colour for s in flat(plot.shapes) if isinstance(s, Line)}
    assert {"#0072b2", "#0f6b4b"} <= colours
    # The Smith chart shows the band at its own frequencies, as ever.
    plain = lay_out(bench, PictureRequest(), Ruler())
    assert len(figure.smith.shapes) == len(plain.smith.shapes)


def test_a_print_of_nothing_to_align_says_why():
    flat_sweep = reading(0, frequency_hz=np.linspace(50e6, 50.2e6, 11))
    figure = lay_out(bench_of(flat_sweep, band=None), PictureRequest(view="shape"), Ruler())
    assert "1 sweep is not shown here" in words(figure)


def learn(plots, count):
    """State what the analyzer can do for some sweeps, and work out what follows."""
    keys = [entry.key for entry in plots.bench.entries[:count]]
    bench = plots.bench.with_accuracy(keys, ErrorModel(40.0))
    document = plots.document
    document.apply(bench)
    document.learn(bench, knowledge_of(bench, document.analyses, document.knowledge))
    run_events(4)


def test_a_change_is_shaded_where_both_accuracies_are_known(solid):
    """40 dB are 0.01 of |reflection| in each sweep; their bounds are added."""
    show(solid, "swr-change")
    dry, wet = analyses_of(solid)
    index = 100
    sizes = [abs(complex(one.reflection[index])) for one in (wet, dry)]

    def swr(size):
        return (1 + size) / (1 - size)

    top = swr(sizes[0] + 0.01) - swr(sizes[1] - 0.01)
    change = swr(sizes[0]) - swr(sizes[1])
    at_hz = float(wet.frequency_hz[index])

    def spots():
        pixels = Pixels(solid.swr)
        return [
            pixels.at(solid.swr.position_of(at_hz, change + share * (top - change)))
            for share in (0.7, 1.4)
        ]

    before = spots()
    learn(solid, 1)
    assert spots() == before
    assert solid.swr._shading_text._lines == ()
    learn(solid, 2)
    after = spots()
    assert (after[0] != before[0], after[1]) == (True, before[1])
    assert solid.swr._shading_text._lines == (SHADINGS["accuracy"],)


def test_the_shade_of_a_change_is_printed_with_the_same_bounds():
    bench = bench_of(reading(0), reading(3), scalar_reading(5))
    keys = [entry.key for entry in bench.entries]
    for count, shades in ((1, 0), (2, 1), (3, 2)):
        stated = bench.with_accuracy(keys[:count], ErrorModel(40.0))
        figure = lay_out(stated, PictureRequest(view="swr-change"), Ruler(), shows_uncertainty=True)
        areas = [s for s in flat(figure.plot.shapes) if isinstance(s, Area)]
        assert len(areas) == shades
    two = bench_of(reading(0), reading(3)).with_accuracy(keys[:2], ErrorModel(40.0))
    figure = lay_out(two, PictureRequest(view="swr-change"), Ruler(), shows_uncertainty=True)
    assert "Pale band: the analyzer's stated accuracy (sweep 4)." in words(figure)
    # A hidden reference is compared with as well.
    hidden = stated.with_visibility(keys[0], is_visible=False)
    figure = lay_out(hidden, PictureRequest(view="swr-change"), Ruler(), shows_uncertainty=True)
    assert len([s for s in flat(figure.plot.shapes) if isinstance(s, Area)]) == 2
