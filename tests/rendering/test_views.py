"""Every view in the window and in print; gaps, outliers and the band around a curve."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from circuits import SeriesCircuit, complex_noise
from mouse import run_events, tap_key
from plots import Pixels, circuit_sweep, scalar_sweep
from printed_benches import Ruler, bench_of, reading, scalar_reading
from PySide6.QtCore import QPointF, Qt

from fairlead.app.document.view_state import Hover
from fairlead.app.drawing.marks import SHADINGS
from fairlead.app.look.palette import LIGHT
from fairlead.app.plots.curve_layer import FrequencyCurveLayer, solid_parts
from fairlead.app.printing.layout import lay_out
from fairlead.app.printing.shapes import Area, Clipped, Line, Mark, StraightLine
from fairlead.core.analysis.analyses import Analyses
from fairlead.core.comparison.knowledge import NOTHING_KNOWN, knowledge_of
from fairlead.core.document.bench import Bench
from fairlead.core.document.entry import Style
from fairlead.core.document.picture_request import PictureRequest
from fairlead.core.reading import Reading
from fairlead.core.sweep import Sweep
from fairlead.core.uncertainty.error_model import ErrorModel
from fairlead.core.views.registry import POINT_VIEWS, view_named
from fairlead.core.views.swr import SWR

pytest_plugins = ["plot_fixtures"]

BLUE = LIGHT.curves[0]


def flat(shapes):
    for shape in shapes:
        yield from flat(shape.shapes) if isinstance(shape, Clipped) else (shape,)


@pytest.fixture
def solid(filled):
    """Both sweeps without dashes."""
    for number, entry in enumerate(filled.bench.entries):
        filled.document.apply(filled.bench.with_style(entry.key, Style(number, 0, 0)))
    run_events(4)
    return filled


def on_curve(plots, view, index, number=0):
    entry = plots.bench.entries[number]
    analysis = plots.document.analyses.of(entry.sweep, plots.bench.z0_ohm)
    return plots.swr.position_of(
        float(analysis.frequency_hz[index]), float(view.positions(analysis)[index])
    )


@pytest.mark.parametrize("view", POINT_VIEWS, ids=lambda view: view.id)
def test_a_view_has_curve_edges_hover_and_limit(solid, view):
    solid.view_state.set_quantity(view)
    run_events(4)
    pixels = Pixels(solid.swr)
    for index in (60, 150):
        assert pixels.shows(on_curve(solid, view, index), BLUE)
    screen = solid.swr._screen
    row = screen.bottom + 0.55 * (screen.top - screen.bottom)
    assert pixels.shows(solid.swr.position_of(144e6, row), LIGHT.band)
    assert solid.swr._handles.parts == (("low", "high", "limit") if view.limit else ("low", "high"))
    if view.limit:
        place = view.limit_position(solid.bench.limit_swr)
        assert pixels.shows(solid.swr.position_of(141e6, place), LIGHT.limit)
    solid.swr_mouse.move(on_curve(solid, view, 40))
    hover = solid.view_state.hover
    assert hover is not None
    assert abs(hover.index - 40) <= 2
    (line,) = solid.swr._marker._lines
    analysis = solid.document.analyses.of(solid.bench.entries[0].sweep, 50.0)
    assert line.endswith(view.text_at(analysis, hover.index))
    assert view.title in solid.swr.accessibleName()


@pytest.mark.parametrize("view", POINT_VIEWS, ids=lambda view: view.id)
def test_a_band_edge_is_dragged_and_keyed_in_every_view(solid, view):
    solid.view_state.set_quantity(view)
    run_events(4)
    screen = solid.swr._screen
    row = screen.bottom + 0.55 * (screen.top - screen.bottom)
    start = solid.swr.position_of(146e6, row)
    solid.swr_mouse.drag([start, start + QPointF(20, 0), start + QPointF(40, 0)])
    dragged_hz = solid.bench.band.high_hz
    assert dragged_hz == pytest.approx(146e6 + 40 * solid.hz_a_pixel(), abs=1e5)
    tap_key(solid.swr, Qt.Key.Key_Right)
    assert solid.bench.band.high_hz > dragged_hz
    assert solid.undo_steps == 2


def test_the_limit_is_dragged_in_return_loss(solid):
    view = view_named("return-loss")
    solid.view_state.set_quantity(view)
    run_events(4)
    start = solid.swr.position_of(141e6, view.limit_position(2.0))
    target = solid.swr.position_of(141e6, view.limit_position(1.5))
    solid.swr_mouse.drag([start, (start + target) / 2, target])
    assert solid.bench.limit_swr == pytest.approx(1.5, abs=0.03)
    # Far above 0 dB it stops at the largest limit.
    solid.swr_mouse.drag([target, target - QPointF(0, 900)])
    assert solid.bench.limit_swr == pytest.approx(20)


def test_the_wheel_over_the_axis_leaves_zero_or_the_mouse_where_it_is(solid):
    for name in ("resistance", "reactance"):
        view = view_named(name)
        solid.view_state.set_quantity(view)
        run_events(4)
        screen = solid.swr._screen
        still = screen.bottom + 0.3 * (screen.top - screen.bottom)
        at = solid.swr.position_of(142e6, still)
        solid.swr_mouse.wheel(at, 2, Qt.KeyboardModifier.ControlModifier)
        after = solid.swr._screen
        assert after.top - after.bottom < screen.top - screen.bottom
        if view.scale.anchor is None:
            assert solid.swr.position_of(142e6, still).y() == pytest.approx(at.y(), abs=1)
        else:
            assert after.bottom == 0


def test_a_view_keeps_the_frequencies_and_another_hides_the_focused_limit(solid):
    solid.swr.zoom_to_band()
    left = solid.swr._screen.left
    solid.swr._focus_on("limit")
    solid.view_state.set_quantity(view_named("phase"))
    run_events(4)
    assert solid.swr._screen.left == pytest.approx(left)
    assert solid.swr._focused is None
    assert "limit line" not in solid.swr.accessibleDescription()


def test_what_cannot_be_shown_is_counted(plots):
    plots.add(circuit_sweep(), scalar_sweep(), scalar_sweep(143e6))
    assert plots.swr._corner_text._lines == ()
    plots.view_state.set_quantity(view_named("resistance"))
    assert plots.swr._corner_text._lines == ("no phase measured: 2 sweeps are not shown here",)
    plots.edits.set_visible([plots.bench.entries[2].key], is_visible=False)
    assert plots.swr._corner_text._lines == ("no phase measured: 1 sweep is not shown here",)
    plots.view_state.set_quantity(view_named("return-loss"))
    assert plots.swr._corner_text._lines == ()


def test_the_phase_is_not_joined_across_180_degrees(plots):
    frequency_hz = np.linspace(140e6, 150e6, 201)
    plots.add(Sweep(frequency_hz, 0.5 * np.exp(-1j * np.linspace(0, 14, 201))))
    plots.view_state.set_quantity(view_named("phase"))
    run_events(4)
    (curve,) = plots.swr._curves
    line = plots.swr._curves.line(curve)
    # 14 radians downwards from 0: -180 is passed at pi and 3 pi.
    assert np.count_nonzero(~line.joined) == 2
    steps = np.abs(np.diff(line.y))[line.joined]
    assert steps.max() < 0.9 * plots.swr._screen.height


# --- what the analysis may know of the points ----------------------------------------------------


class Knowing:
    """An analysis with gaps and outliers."""

    def __init__(self, analysis, gaps=(), outliers=None):
        self._analysis, self.gaps = analysis, gaps
        self.outliers = np.empty(0, dtype=np.intp) if outliers is None else outliers

    def __getattr__(self, name):
        return getattr(self._analysis, name)


class KnowingAnalyses(Analyses):
    """Gives each sweep the same gaps and outliers."""

    def __init__(self, **known):
        super().__init__()
        self._known, self._made = known, {}

    def of(self, sweep, z0_ohm):
        found = super().of(sweep, z0_ohm)
        if self._made.get(id(sweep), (None,))[0] is not found:
            self._made[id(sweep)] = (found, Knowing(found, **self._known))
        return self._made[id(sweep)][1]


def spiky_sweep():
    sweep = circuit_sweep(points=101)
    gamma = sweep.reflection.copy()
    gamma[30] = 0.05
    return Sweep(sweep.frequency_hz, gamma)


def show(plots, sweep, **known):
    for plot in (plots.swr, plots.smith):
        plot._curves._analyses = KnowingAnalyses(**known)
    (key,) = plots.add(sweep)
    plots.document.apply(plots.bench.with_style(key, Style(0, 0, 0)))
    run_events(4)


@pytest.mark.parametrize("view", POINT_VIEWS, ids=lambda view: view.id)
def test_an_outlier_is_a_cross_beside_the_curve(plots, view):
    show(plots, spiky_sweep(), outliers=np.array([30]))
    plots.view_state.set_quantity(view)
    run_events(4)
    for plot in (plots.swr, plots.smith):
        (curve,) = plot._curves
        assert 30 not in plot._curves.line(curve).index
        assert 30 not in plot._curves.marks(curve)
        x, y = plot._curves.pixel(curve, 30)
        if 0 < y < plot._screen.height:
            at = QPointF(x, y) + plot._origin()
            assert Pixels(plot).shows(at + QPointF(1.5, 1.5), BLUE, 1, 250)


def test_a_gap_is_dotted(plots):
    show(plots, circuit_sweep(points=101), gaps=((142e6, 144e6),))
    pixels = Pixels(plots.swr)

    def coloured(low, high):
        return [pixels.shows(on_curve(plots, SWR, i), BLUE, 0, 200) for i in range(low, high)]

    assert sum(coloured(45, 65)) >= 17
    assert 0 < sum(coloured(21, 40)) < 19
    plots.edits.set_band(replace(plots.bench.band, low_hz=141e6, high_hz=149e6))
    (curve,) = plots.smith._curves
    (gap,) = plots.smith._curves.gaps(curve)
    assert gap[0] < gap[1]


def test_what_is_left_between_gaps():
    assert list(solid_parts((0.0, 9.0), [])) == [(0.0, 9.0)]
    assert list(solid_parts((0.0, 9.0), [(2.0, 3.0), (5.0, 12.0)])) == [(0.0, 2.0), (3.0, 5.0)]
    assert list(solid_parts((4.0, 6.0), [(2.0, 5.0), (8.0, 9.0)])) == [(5.0, 6.0)]


def learn(plots, directivity_db=26.0, count=None):
    """State what the analyzer can do, and work out what follows, as the window does later."""
    bench = plots.bench
    keys = [entry.key for entry in bench.entries[:count]]
    bench = bench.with_accuracy(keys, ErrorModel(directivity_db))
    plots.document.apply(bench)
    document = plots.document
    document.learn(bench, knowledge_of(bench, document.analyses, document.knowledge))
    run_events(4)


@pytest.mark.parametrize("view", [view_named("swr"), view_named("return-loss")], ids=lambda v: v.id)
def test_the_stated_accuracy_is_shaded_around_a_curve(solid, view):
    """26 dB are 0.05 of |reflection| to either side."""
    solid.view_state.set_quantity(view)
    run_events(4)
    # The reference is drawn last.
    (_, first) = solid.swr._curves
    size = np.sqrt(first.analysis.power[60])
    at_hz = float(first.analysis.frequency_hz[60])

    def spot(error):
        place = view.scale.positions(view.of_magnitude(np.array([size + error])))[0]
        return Pixels(solid.swr).at(solid.swr.position_of(at_hz, place))

    errors = (-0.035, 0.035, -0.065, 0.065)
    before = [spot(error) for error in errors]
    learn(solid, count=1)
    assert [spot(e) != was for e, was in zip(errors, before, strict=True)] == [
        True,
        True,
        False,
        False,
    ]
    assert solid.swr._shading_text._lines == (SHADINGS["accuracy"],)
    solid.view_state.show_uncertainty(is_shown=False)
    run_events(4)
    assert [spot(error) for error in errors] == before
    assert solid.swr._shading_text._lines == ()


def test_noise_alone_is_shaded_and_labelled_so(plots):
    """Noise of 0.02: 95 % lie within 0.039 of |reflection|, and in a disc of 0.049."""
    hz = np.linspace(140e6, 150e6, 201)
    gamma = SeriesCircuit(145e6, 60, 20).reflection(hz) + complex_noise(201, 0.02, 3)
    plots.document.apply(Bench().with_readings([Reading(Sweep(hz, gamma), "noisy", "noisy.s1p")]))
    run_events(4)
    document = plots.document
    document.learn(plots.bench, knowledge_of(plots.bench, document.analyses, document.knowledge))
    run_events(4)
    assert plots.swr._shading_text._lines == (SHADINGS["repeatability"],)
    (curve,) = plots.swr._curves
    assert not curve.points.is_accuracy
    assert curve.points.half[0] == pytest.approx(0.039, rel=0.2)
    assert curve.points.radius(0) == pytest.approx(0.049, rel=0.2)
    assert plots.smith._error_at(Hover(curve.key, 3), curve.points)[1][0].endswith(", noise alone")
    document.learn(plots.bench, NOTHING_KNOWN)
    run_events(4)
    assert plots.swr._shading_text._lines == ()


def test_a_band_edge_is_dragged_without_shading_again(solid, monkeypatch):
    learn(solid)
    shaded = []

    def note(_layer, _painter, curve):
        shaded.append(curve)

    monkeypatch.setattr(FrequencyCurveLayer, "_shade", note)
    start = solid.swr.position_of(146e6, 0.4)
    solid.swr_mouse.drag([start, start + QPointF(20, 0), start + QPointF(40, 0)])
    assert solid.bench.band.high_hz > 146.2e6
    learn(solid)
    assert shaded == []


def test_the_disc_at_the_cursor_has_the_size_of_the_error(solid):
    learn(solid, 20.0)
    key = solid.bench.entries[0].key
    pixels = Pixels(solid.smith)
    gamma = complex(solid.bench.entries[0].sweep.reflection[100])
    inside, outside = (
        solid.smith.position_of(gamma.real, gamma.imag) - QPointF(0.707, -0.707) * size
        for size in (0.08 * solid.smith._screen.y_scale, 0.12 * solid.smith._screen.y_scale)
    )
    before = pixels.at(inside), pixels.at(outside)
    solid.view_state.set_hover(Hover(key, 100))
    run_events(4)
    pixels = Pixels(solid.smith)
    assert pixels.at(inside) != before[0]
    assert pixels.at(outside) == before[1]
    assert solid.smith._marker._lines[-1] == "Γ ± 0.1"
    assert solid.swr._marker._lines == ("145.000 MHz, SWR 1.25",)


def test_of_many_curves_only_the_chosen_ones_are_shaded(plots):
    plots.add(*(circuit_sweep(144e6 + 0.2e6 * i) for i in range(7)))
    learn(plots)
    entries = plots.bench.entries
    assert [curve.key for curve in plots.swr._curves.shaded] == [plots.bench.reference_key]
    plots.view_state.set_selection(frozenset({entries[3].key}))
    assert [curve.key for curve in plots.swr._curves.shaded] == [entries[0].key, entries[3].key]


def test_nothing_is_shaded_in_a_gap(plots):
    show(plots, circuit_sweep(points=101), gaps=((142e6, 144e6),))
    learn(plots)
    pixels = Pixels(plots.swr)
    (curve,) = plots.swr._curves

    def beside(index):
        size = np.sqrt(curve.analysis.power[index])
        at_hz = float(curve.analysis.frequency_hz[index])
        return pixels.at(plots.swr.position_of(at_hz, size + 0.03))

    blank = beside(27)
    assert beside(17) != blank
    assert beside(33) == blank


def test_hovering_a_gap_says_how_many_points_to_take(plots):
    plots.add(circuit_sweep(points=4))
    run_events(4)
    (curve,) = plots.swr._curves
    assert curve.analysis.gaps
    (low_hz, _), *_ = curve.analysis.gaps
    index = int(np.searchsorted(curve.analysis.frequency_hz, low_hz))
    ends = np.sqrt(curve.analysis.power[index : index + 2])
    step_hz = curve.analysis.step_hz
    plots.swr_mouse.move(
        plots.swr.position_of(low_hz + 0.3 * step_hz, float(0.7 * ends[0] + 0.3 * ends[1]))
    )
    assert plots.view_state.hover == Hover(curve.key, index, in_gap=True)
    wanted = curve.analysis.points_wanted
    for plot in (plots.swr, plots.smith):
        assert plot._marker._lines[-2:] == (
            "points too far apart:",
            f"narrow the span or take {wanted} points",
        )


# --- print --------------------------------------------------------------------------------------


@pytest.mark.parametrize("view", POINT_VIEWS, ids=lambda view: view.id)
def test_every_view_is_printed(view):
    bench = bench_of(reading(0), reading(3), scalar_reading(5))
    figure = lay_out(bench, PictureRequest(view=view.id), Ruler())
    plot = figure.plot
    lines = [s for s in flat(plot.shapes) if isinstance(s, Line) and s.pen.colour == "#0072b2"]
    assert lines
    analysis = Analyses().of(bench.entries[0].sweep, 50.0)
    heights = plot.axis.ys(view.positions(analysis))
    own = np.concatenate([line.points for line in lines])
    own = own[:: max(1, len(own) // 20)]
    wanted = np.interp(own[:, 0], plot.frequency.xs(analysis.frequency_hz), heights)
    # Near a jump of the phase there is nothing to interpolate.
    assert np.count_nonzero(np.abs(own[:, 1] - wanted) > 0.5) <= (2 if view.period else 0)
    assert bool(plot.limit_label) == (view.limit is not None)
    assert view.title in figure.description
    said = " ".join(text.text for text in figure.caption)
    assert ("in neither plot" in said) == view.needs_phase
    marks = {s.colour for s in flat(plot.shapes) if isinstance(s, Mark)}
    assert ("#0f6b4b" in marks) == (not view.needs_phase)


def test_a_print_without_any_phase_says_so():
    figure = lay_out(bench_of(scalar_reading(0)), PictureRequest(view="phase"), Ruler())
    said = " ".join(text.text for text in figure.caption)
    assert "there is no Phase of reflection to plot" in said


def test_gaps_and_outliers_are_printed():
    sweep = spiky_sweep()
    bench = bench_of(reading(0), band=None)
    bench = bench.with_readings([replace(reading(1), sweep=sweep)]).without([1])
    known = KnowingAnalyses(gaps=((142e6, 144e6),), outliers=np.array([30]))
    figure = lay_out(bench, PictureRequest(), Ruler(), known)
    plot = figure.plot
    shapes = list(flat(plot.shapes))
    dotted = [s for s in shapes if isinstance(s, Line) and s.pen.dash_mm == (0.3, 0.6)]
    assert dotted
    for line in dotted:
        assert line.points[:, 0].min() >= plot.frequency.x(142e6) - 0.01
        assert line.points[:, 0].max() <= plot.frequency.x(144e6) + 0.01
    at = plot.frequency.x(143e6)
    crosses = [s for s in shapes if isinstance(s, StraightLine) and s.pen.width_mm == 0.2]
    assert any(abs((s.x1 + s.x2) / 2 - at) < 0.1 and s.x1 != s.x2 for s in crosses)
    drawn = [s for s in flat(figure.smith.shapes) if isinstance(s, Line)]
    assert any(line.pen.dash_mm == (0.3, 0.6) for line in drawn)
    said = " ".join(text.text for text in figure.caption)
    assert "Thin dots: points too far apart" in said
    assert "Small crosses: single points off the curve" in said


def areas_of(figure):
    return [s for s in flat(figure.plot.shapes) if isinstance(s, Area)]


def test_the_stated_accuracy_is_printed_around_the_curve():
    bench = bench_of(reading(0), reading(3))
    bench = bench.with_accuracy([bench.entries[1].key], ErrorModel(26.0))
    figure = lay_out(bench, PictureRequest(), Ruler())
    (area,) = areas_of(figure)
    said = " ".join(text.text for text in figure.caption)
    assert "Pale band: the analyzer's stated accuracy (sweep 4)" in said
    analysis = Analyses().of(bench.entries[1].sweep, 50.0)
    x, y = area.points.T
    own = figure.plot.axis.ys(np.sqrt(analysis.power))
    middle = np.interp(x, figure.plot.frequency.xs(analysis.frequency_hz), own)
    bottom = figure.plot.axis.y_of_position(0.0)
    half_mm = bottom - figure.plot.axis.y_of_position(10 ** (-26 / 20))
    off_mm = np.minimum(
        np.abs(y - np.minimum(middle + half_mm, bottom)), np.abs(y - middle + half_mm)
    )
    in_view = (x > figure.plot.frame.left) & (x < figure.plot.frame.right)
    assert off_mm[in_view].max() < 0.15
    assert not areas_of(lay_out(bench, PictureRequest(), Ruler(), shows_uncertainty=False))
    assert not areas_of(lay_out(bench, PictureRequest(view="phase"), Ruler()))


def test_of_many_only_the_reference_is_shaded_in_print():
    bench = bench_of(*(reading(i) for i in range(7)))
    bench = bench.with_accuracy([entry.key for entry in bench.entries], ErrorModel(26.0))
    (area,) = areas_of(lay_out(bench, PictureRequest(), Ruler()))
    assert area.colour == "#0072b2"


def test_a_sweep_outside_the_picture_has_no_shade():
    bench = bench_of(reading(0), reading(1, frequency_hz=np.linspace(140e6, 150e6, 101)))
    bench = bench.with_accuracy([bench.entries[1].key], ErrorModel(26.0))
    assert not areas_of(lay_out(bench, PictureRequest(), Ruler()))


@pytest.mark.parametrize("view", POINT_VIEWS, ids=lambda view: view.id)
def test_a_best_match_is_a_tick_where_the_curve_does_not_show_it(view):
    figure = lay_out(bench_of(reading(0)), PictureRequest(view=view.id), Ruler())
    stems = [s for s in flat(figure.plot.shapes) if isinstance(s, StraightLine)]
    (stem,) = [s for s in stems if s.pen.width_mm == 0.15 and s.pen.colour == "#0072b2"]
    assert stem.y2 == figure.plot.frame.bottom
    assert (stem.y2 - stem.y1 == pytest.approx(2.0)) == (view.limit is None)


def test_hover_survives_a_change_of_view(solid):
    key = solid.bench.entries[0].key
    solid.view_state.set_hover(Hover(key, 100))
    solid.view_state.set_quantity(view_named("reactance"))
    run_events(4)
    assert "X " in solid.swr._marker._lines[0]


def test_an_outlier_is_read_by_pointing_at_its_cross(plots):
    show(plots, spiky_sweep(), outliers=np.array([30]))
    (curve,) = plots.swr._curves
    x, y = plots.swr._curves.pixel(curve, 30)
    plots.swr_mouse.move(QPointF(x + 1, y - 1) + plots.swr._origin())
    assert plots.view_state.hover == Hover(curve.key, 30)
    for plot in (plots.swr, plots.smith):
        assert plot._marker._lines[-1] == "off the curve, not used in any figure"
