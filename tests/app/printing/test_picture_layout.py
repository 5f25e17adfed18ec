"""The laid-out figure, without painting: where things are and what is said."""

from __future__ import annotations

import itertools
import re
from dataclasses import replace
from functools import cache

import numpy as np
import pytest
from circuits import SeriesCircuit
from hypothesis import given
from hypothesis import strategies as st
from printed_benches import (
    GRID_HZ,
    Ruler,
    bench_of,
    bench_with,
    circuit,
    reading,
    scalar_reading,
)
from sweeps import any_sweeps, bands_near

from fairlead.app.printing.layout import lay_out
from fairlead.app.printing.shapes import (
    Box,
    CircleArc,
    Clipped,
    Fill,
    Line,
    Mark,
    StraightLine,
    Text,
)
from fairlead.app.printing.type_setting import SMALLEST_PT
from fairlead.app.printing.words import fit_sentences
from fairlead.core.analysis.analyses import Analyses
from fairlead.core.bands import Band
from fairlead.core.comparison.knowledge import knowledge_of
from fairlead.core.document.bench import Bench
from fairlead.core.document.groups import with_group
from fairlead.core.document.picture_request import PictureRequest
from fairlead.core.document.session import Marker
from fairlead.core.errors import FairleadError
from fairlead.core.notice import Notice
from fairlead.core.reading import Reading
from fairlead.core.sweep import ScalarSweep, Sweep


@cache
def known():
    """What is known of the first thirty sweeps: found once, and taken where it fits a bench."""
    return knowledge_of(bench_with(30), Analyses())


def laid_out(bench, **request):
    return lay_out(bench, PictureRequest(**request), Ruler(), known=known())


def flat(shapes):
    for shape in shapes:
        yield from flat(shape.shapes) if isinstance(shape, Clipped) else (shape,)


def of_kind(part, kind):
    return [shape for shape in flat(part.shapes) if isinstance(shape, kind)]


def said(figure):
    return " ".join(text.text for text in figure.caption)


def curves(part, colour):
    return [line for line in of_kind(part, Line) if line.pen.colour == colour]


# --- the page ---------------------------------------------------------------------------------


@pytest.mark.parametrize("count", [1, 2, 4, 9, 20, 30])
@pytest.mark.parametrize(("width_mm", "height_mm"), [(180, 100), (85, 120), (297, 210), (80, 60)])
def test_every_text_stands_on_the_page_and_touches_no_other(count, width_mm, height_mm):
    figure = laid_out(bench_with(count), width_mm=width_mm, height_mm=height_mm)
    page = Box(0, 0, width_mm, height_mm)
    texts = of_kind(figure, Text)
    assert all(page.holds(text.box) for text in texts)
    for i, text in enumerate(texts):
        clashing = [other.text for other in texts[i + 1 :] if text.box.overlaps(other.box)]
        assert not clashing, (text.text, clashing)


@pytest.mark.parametrize("count", [1, 9, 20])
def test_no_text_is_too_small_to_read_in_print(count):
    assert all(
        text.size_pt >= SMALLEST_PT == 6.0 for text in of_kind(laid_out(bench_with(count)), Text)
    )


def test_plots_table_and_caption_share_the_page_without_overlap():
    figure = laid_out(bench_with(5))
    window = figure.smith.window
    assert not figure.plot.frame.overlaps(window)
    top_of_table = min(shape.y1 for shape in of_kind(figure.table, StraightLine))
    assert max(figure.plot.frame.bottom, window.bottom) < top_of_table
    assert max(t.box.bottom for t in of_kind(figure.table, Text)) < figure.caption[0].box.top


def test_plots_are_side_by_side_on_a_wide_page_and_stacked_on_a_column():
    wide, column = laid_out(bench_with(3)), laid_out(bench_with(3), width_mm=85, height_mm=130)
    assert wide.smith.window.left > wide.plot.frame.right
    assert column.smith.window.top > column.plot.frame.bottom


@pytest.mark.unmeasured
@given(
    st.lists(any_sweeps(), min_size=1, max_size=4),
    st.data(),
    st.floats(80, 400),
    st.floats(60, 300),
)
def test_any_sweeps_fit_any_page(sweeps, data, width_mm, height_mm):
    bench = Bench().with_readings(Reading(s, f"sweep {i}", "") for i, s in enumerate(sweeps))
    if data.draw(st.booleans()):
        bench = bench.with_band(data.draw(bands_near(sweeps[0])))
    figure = laid_out(bench, width_mm=width_mm, height_mm=height_mm)
    assert figure.plot.frame.width > 10
    assert figure.plot.frame.height > 5
    assert figure.smith.radius_mm > 3
    page = Box(0, 0, width_mm, height_mm)
    for shape in flat(figure.shapes):
        if isinstance(shape, Text):
            assert page.holds(shape.box), shape
        elif isinstance(shape, Line):
            assert np.isfinite(shape.points).all()
            low, high = shape.points.min(axis=0), shape.points.max(axis=0)
            assert page.holds(Box(low[0], low[1], high[0], high[1]))
        elif isinstance(shape, Mark):
            assert page.holds(Box(shape.x, shape.y, shape.x, shape.y))


# --- title, caption, description ---------------------------------------------------------------


def test_a_title_is_made_from_the_bench_unless_one_is_given():
    assert laid_out(bench_with(4)).title == "4 sweeps compared in the 6 m band"
    assert laid_out(bench_with(1)).title == "sweep 1 in the 6 m band"
    assert laid_out(bench_with(4).with_whole_span()).title == "4 sweeps compared"
    assert laid_out(bench_with(4), title="Roof, spring").title == "Roof, spring"


def test_an_empty_title_leaves_its_room_to_the_plots():
    bare, titled = laid_out(bench_with(2), title=""), laid_out(bench_with(2))
    assert bare.heading == ()
    assert bare.plot.frame.height > titled.plot.frame.height


def test_the_caption_says_band_limit_impedance_and_reference():
    bench = bench_with(2).with_limit(1.5).with_z0(75)
    assert said(laid_out(bench, changes="no")) == (
        "Band (shaded) 6 m, Region 1: 50 – 52 MHz, SWR limit 1.5, at 75 Ω. "
        "Shift against sweep 1 (in bold). "
        "± covers 95 % of repeated sweeps, from noise alone; the analyzer's own error is not known."
    )


def test_best_matches_aligned_leave_no_band_to_shade():
    bench = bench_with(2)
    assert said(laid_out(bench, view="shape", changes="no")).startswith("Band 6 m, Region 1: ")


def test_the_users_caption_comes_first():
    figure = laid_out(bench_with(2), caption="Taken on\na mast,\tinvented")
    assert figure.caption[0].text == "Taken on a mast, invented"


def test_the_description_tells_the_figures_of_each_sweep_in_words():
    figure = laid_out(bench_with(2), title="Two <b>")
    own = circuit(0)
    assert figure.description.startswith("Two <b>. SWR plot and Smith chart of 2 sweeps.")
    # A series circuit matches best at its resonance, with SWR z0 / R there.
    assert (
        f"sweep 1: best match {own.f0_hz / 1e6:.3f} MHz with SWR {50 / own.r_ohm:.2f}"
        in figure.description
    )


def test_nothing_to_draw_is_an_error_with_advice():
    with pytest.raises(FairleadError, match="no sweep to draw; open at least one"):
        laid_out(Bench())
    with pytest.raises(FairleadError, match="no sweep to draw; show at least one"):
        laid_out(bench_with(1).with_visibility(1, is_visible=False))


# --- remarks: nothing is dropped in silence ----------------------------------------------------


def test_hidden_sweeps_are_not_drawn_and_that_is_said():
    bench = bench_with(3).with_visibility(1, is_visible=False)
    figure = laid_out(bench)
    assert figure.table.names == ("sweep 2", "sweep 3")
    assert "Shift against sweep 1 (not drawn)" in said(figure)
    assert "1 hidden sweep is not drawn." in said(figure)


def test_what_the_reader_noticed_is_printed_once_for_all_it_concerns():
    notice = Notice("defaults-applied", "no option line: GHz, S, MA, R 50 assumed")
    bench = bench_of(*(reading(i, notices=(notice,)) for i in range(2)))
    assert "sweep 1, sweep 2: no option line: GHz, S, MA, R 50 assumed." in said(laid_out(bench))


def test_remarks_without_room_are_counted():
    notices = tuple(Notice(f"n-{i}", f"remark {i} " + 12 * "and on ") for i in range(9))
    figure = laid_out(bench_of(reading(notices=notices)))
    printed = sum(f"remark {i}" in said(figure) for i in range(9))
    assert 0 < printed < 9
    # The one on what ± means is a remark too.
    assert f"({10 - printed} more remarks have no room here.)" in said(figure)


def test_a_scalar_sweep_is_in_the_swr_plot_only_and_that_is_said():
    figure = laid_out(bench_of(reading(0), scalar_reading(1)))
    assert "SWR only, no phase, so not on the Smith chart: meter." in said(figure)
    assert curves(figure.plot, "#d55e00")
    assert not curves(figure.smith, "#d55e00")


def test_without_any_phase_the_chart_says_so_itself():
    figure = laid_out(bench_of(scalar_reading(0)))
    words = [text.text for text in of_kind(figure.smith, Text)]
    assert "No phase was measured:" in words
    assert not of_kind(figure.smith, Line)
    assert "Resonance" not in [text.text for text in of_kind(figure.table, Text)]


def test_sweeps_that_miss_the_band_or_end_too_early_are_named():
    short = reading(3, "short", np.linspace(50.2e6, 50.9e6, 51))
    figure = laid_out(bench_of(reading(0), short))
    assert "Does not cover the band: short." in figure.remarks
    assert "The SWR is still falling where the sweep ends: short." in figure.remarks


def test_a_band_that_no_sweep_reaches_is_not_drawn():
    figure = laid_out(bench_of(reading(0), band="2m"))
    assert "None of the sweeps reaches the band." in said(figure)
    assert not of_kind(figure.plot, Fill)
    assert figure.plot.frequency.low_hz == GRID_HZ[0]
    assert figure.plot.frequency.high_hz == GRID_HZ[-1]


# --- the SWR plot -------------------------------------------------------------------------------


def test_the_curve_runs_through_the_swr_of_the_circuit():
    figure = laid_out(bench_with(1))
    (line,) = curves(figure.plot, "#0072b2")[-1:]
    swr = figure.plot
    for x, y in line.points:
        truth = circuit(0).swr(swr.frequency.frequency_hz(x))
        assert swr.axis.y(truth) == pytest.approx(y, abs=0.05)


def test_a_sparse_sweep_is_drawn_as_its_figures_see_it():
    figure = laid_out(bench_of(reading(0, frequency_hz=np.linspace(46e6, 58e6, 13))))
    line = curves(figure.plot, "#0072b2")[-1]
    assert len(line.points) > 20
    lowest = line.points[line.points[:, 1].argmax()]
    own = circuit(0)
    assert figure.plot.frequency.frequency_hz(lowest[0]) == pytest.approx(own.f0_hz, abs=50e3)


def test_a_stem_stands_at_the_best_match():
    figure = laid_out(bench_with(1))
    (stem,) = [s for s in of_kind(figure.plot, StraightLine) if s.pen.colour == "#0072b2"]
    assert stem.x1 == stem.x2
    assert stem.y2 == figure.plot.frame.bottom
    assert figure.plot.frequency.frequency_hz(stem.x1) == pytest.approx(circuit(0).f0_hz, abs=1e3)
    assert not [
        s
        for s in of_kind(laid_out(bench_with(1), mark_best_match=False).plot, StraightLine)
        if s.pen.colour == "#0072b2"
    ]


def test_the_band_is_shaded_between_its_edges_which_carry_their_frequencies():
    swr = laid_out(bench_with(3)).plot
    (fill,) = of_kind(swr, Fill)
    assert fill.box.left == pytest.approx(swr.frequency.x(50e6))
    assert fill.box.right == pytest.approx(swr.frequency.x(52e6))
    assert [text.text for text in swr.band_label] == ["50", "52", "6 m, Region 1"]
    assert all(text.box.bottom < swr.frame.top for text in swr.band_label)


def test_a_narrow_band_has_its_numbers_turned_outwards():
    frequency_hz = np.linspace(8e6, 12e6, 401)
    wire = Sweep(frequency_hz, SeriesCircuit(10.12e6, 45.0, 9.0).reflection(frequency_hz))
    low, high = laid_out(bench_of(Reading(wire, "wire", ""), band="30m")).plot.band_label
    assert low.text == "10.1"
    assert high.text == "10.15"
    assert low.box.right < high.box.left


def test_without_a_band_all_the_data_are_shown():
    swr = laid_out(bench_with(2).with_whole_span()).plot
    assert (swr.frequency.low_hz, swr.frequency.high_hz) == (GRID_HZ[0], GRID_HZ[-1])
    assert swr.band_label == ()


def test_the_view_is_drawn_in_to_what_matters_around_the_band():
    wide = [reading(i, frequency_hz=np.linspace(1e6, 500e6, 4001)) for i in range(3)]
    bench = bench_of(*wide)
    frequency = laid_out(bench).plot.frequency
    low, high = (edge for edge in circuit(0).edges_hz(2.0))
    assert 40e6 < frequency.low_hz < min(low, 50e6)
    assert max(high, 52e6) < frequency.high_hz < 62e6


def test_edges_at_the_end_of_the_data_stay_clear_of_the_frame():
    swr = laid_out(bench_of(reading(0, frequency_hz=np.linspace(50e6, 52e6, 101)))).plot
    assert swr.frequency.x(50e6) > swr.frame.left + 1
    assert swr.frequency.x(52e6) < swr.frame.right - 1


def test_the_limit_line_is_labelled_outside_the_frame():
    swr = laid_out(bench_with(2).with_limit(1.75)).plot
    lines = [s for s in of_kind(swr, StraightLine) if s.pen.colour == "#b93d3d"]
    assert [(line.x1, line.x2) for line in lines] == [(swr.frame.left, swr.frame.right)]
    assert lines[0].y1 == pytest.approx(swr.axis.y(1.75))
    assert [text.text for text in swr.limit_label] == ["limit", "1.75"]
    assert all(text.x > swr.frame.right for text in swr.limit_label)


def test_points_beyond_one_leave_a_gap_and_an_arrow_head_at_the_top():
    gamma = circuit(0).reflection(GRID_HZ)
    impossible = (GRID_HZ > 51.5e6) & (GRID_HZ < 52.5e6)
    gamma[impossible] *= 1.2 / np.abs(gamma[impossible])
    figure = laid_out(bench_of(Reading(Sweep(GRID_HZ, gamma), "odd", "odd.s1p")))
    swr = figure.plot
    lines = curves(swr, "#0072b2")
    heads = [line for line in lines if len(line.points) == 3 and line.pen.width_mm == 0.3]
    assert heads
    for head in heads:
        assert 51.5e6 < swr.frequency.frequency_hz(head.points[1, 0]) < 52.5e6
        assert swr.frame.top < head.points[1, 1] < swr.frame.top + 1
    at_gap = swr.frequency.x(52e6)
    assert not any(
        line.points[:, 0].min() < at_gap < line.points[:, 0].max()
        for line in lines
        if line not in heads
    )
    count = np.count_nonzero(impossible)
    assert f"which have no SWR (^ at the top edge): odd {count}." in said(figure)


def test_total_reflection_is_drawn_at_infinity():
    gamma = np.exp(1j * np.linspace(0, 2, GRID_HZ.size))
    swr = laid_out(bench_of(Reading(Sweep(GRID_HZ, gamma), "open", "open.s1p"))).plot
    assert swr.y_ticks[-1].text == "∞"
    line = curves(swr, "#0072b2")[0]
    assert np.allclose(line.points[:, 1], swr.frame.top, atol=0.01)


def test_what_leaves_the_scale_ends_at_the_frame():
    figure = laid_out(bench_of(*(reading(i) for i in (0, 4))))
    frame = figure.plot.frame
    assert figure.plot.axis.span[1] < 1
    for line in of_kind(figure.plot, Line):
        assert line.points[:, 1].min() >= frame.top - 1e-6
        assert line.points[:, 1].max() <= frame.bottom + 1e-6
        assert line.points[:, 0].min() >= frame.left - 1e-6
        assert line.points[:, 0].max() <= frame.right + 1e-6


@pytest.mark.parametrize("count", [1, 5, 20])
def test_every_sweep_has_markers_that_do_not_cover_each_other(count):
    figure = laid_out(bench_with(count))
    marks = of_kind(figure.plot, Mark)
    assert len(marks) >= count
    xs = sorted(mark.x for mark in marks)
    assert min(b - a for a, b in itertools.pairwise(xs)) > 0.5


def test_a_short_sweep_has_a_marker_too():
    short = reading(3, "short", np.linspace(50.2e6, 50.4e6, 51))
    swr = laid_out(bench_of(reading(0), short)).plot
    assert [mark for mark in of_kind(swr, Mark) if mark.colour == "#d55e00"]


def test_ten_thousand_points_become_a_curve_that_print_can_use():
    dense = np.linspace(46e6, 58e6, 10_001)
    figure = laid_out(bench_of(*(reading(i, frequency_hz=dense) for i in range(3))))
    assert sum(len(line.points) for line in of_kind(figure, Line)) < 2000


# --- the Smith chart ----------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("z_normalised", "gamma"),
    # Kulkarni, Microwave and Radar Engineering, ex. 3.5, and Liao, ex. 3.5.1 (1 + j1); the open,
    # the short and the match by Adamczyk, "Smith chart", In Compliance Magazine, part 2.
    [(1 + 1j, 0.2 + 0.4j), (0, -1), (1e12, 1), (1, 0)],
)
def test_impedances_stand_where_the_published_chart_has_them(z_normalised, gamma):
    z_ohm = np.full(GRID_HZ.size, 50 * z_normalised, dtype=complex)
    sweep = Sweep(GRID_HZ, (z_ohm - 50) / (z_ohm + 50))
    smith = laid_out(bench_of(Reading(sweep, "fixed", "f.s1p"))).smith
    (mark,) = of_kind(smith, Mark)
    x = smith.x + smith.radius_mm * complex(gamma).real
    y = smith.y - smith.radius_mm * complex(gamma).imag
    assert (mark.x, mark.y) == pytest.approx((x, y), abs=1e-6)


def test_rim_and_limit_circle_have_the_published_radii():
    smith = laid_out(bench_with(2).with_limit(3.0)).smith
    circles = [a for a in of_kind(smith, CircleArc) if a.span_deg == 360 and a.x == smith.x]
    (limit,) = [arc for arc in circles if arc.pen.colour == "#b93d3d"]
    (rim,) = [arc for arc in circles if arc.pen.colour == "#000000"]
    assert rim.radius_mm == pytest.approx(smith.radius_mm)
    # (s - 1) / (s + 1): Adamczyk, as above; 1/2 at SWR 3.
    assert limit.radius_mm == pytest.approx(smith.radius_mm / 2)
    assert "SWR 3.0" in [text.text for text in smith.labels]


def test_the_stretch_in_the_band_is_strong_and_the_rest_thin():
    smith = laid_out(bench_with(1)).smith
    lines = sorted(curves(smith, "#0072b2"), key=lambda line: line.pen.width_mm)
    thin, strong = lines[:-1], lines[-1]
    assert len(thin) == 2
    assert all(2 * line.pen.width_mm < strong.pen.width_mm for line in thin)
    for end, edge_hz in ((strong.points[0], 50e6), (strong.points[-1], 52e6)):
        gamma = complex(circuit(0).reflection(np.array([edge_hz]))[0])
        assert tuple(end) == pytest.approx(smith.place(gamma), abs=0.01)


def test_without_a_band_all_of_the_curve_is_strong():
    smith = laid_out(bench_with(1).with_whole_span()).smith
    assert len(curves(smith, "#0072b2")) == 1


def test_reflection_beyond_one_is_drawn_outside_the_rim():
    gamma = 1.2 * np.exp(1j * np.linspace(0, 2, GRID_HZ.size))
    smith = laid_out(bench_of(Reading(Sweep(GRID_HZ, gamma), "odd", "odd.s1p"))).smith
    away = max(
        np.hypot(line.points[:, 0] - smith.x, line.points[:, 1] - smith.y).max()
        for line in of_kind(smith, Line)
    )
    assert away == pytest.approx(1.2 * smith.radius_mm, rel=0.01)


def test_reflection_far_beyond_one_is_counted_if_it_has_no_room():
    gamma = circuit(0).reflection(GRID_HZ)
    gamma[100:110] *= 5.0 / np.abs(gamma[100:110])
    figure = laid_out(bench_of(Reading(Sweep(GRID_HZ, gamma), "odd", "odd.s1p")))
    assert "10 of them lie outside the part of the Smith chart that is drawn." in said(figure)
    assert figure.smith.radius_mm > 15


def test_the_reference_impedance_stands_under_the_chart():
    smith = laid_out(bench_with(2).with_z0(75)).smith
    assert of_kind(smith, Text)[-1].text == "Numbers in Ω, centre 75 Ω; heavy lines: in the band"


# --- legend and table ---------------------------------------------------------------------------


def test_each_row_shows_its_line_with_dash_and_marker_and_the_figures():
    figure = laid_out(bench_with(3))
    assert figure.table.names == ("sweep 1", "sweep 2", "sweep 3")
    samples = of_kind(figure.table, Line)
    assert [line.pen.dash_mm != () for line in samples] == [False, True, True]
    assert [mark.shape for mark in of_kind(figure.table, Mark)] == ["circle", "square", "triangle"]
    words = [text.text for text in of_kind(figure.table, Text)]
    own = circuit(1)
    assert f"{own.f0_hz / 1e6:.3f}" in words
    assert f"{50 / own.r_ohm:.2f}" in words
    assert f"{own.r_ohm:.1f}" in words
    assert "+250 ± 1" in words
    assert "SWR < 2" in words
    assert "50 MHz" in words


def test_the_reference_is_bold_in_the_table_and_stronger_in_the_plots():
    bench = bench_with(3).with_reference(2)
    figure = laid_out(bench)
    assert [text.text for text in of_kind(figure.table, Text) if text.is_bold] == ["sweep 2"]
    widths = {line.pen.colour: line.pen.width_mm for line in of_kind(figure.plot, Line)}
    assert widths["#d55e00"] > widths["#0072b2"] == widths["#0f6b4b"]


def test_one_sweep_alone_is_compared_with_nothing():
    figure = laid_out(bench_with(1))
    assert not [text for text in of_kind(figure.table, Text) if text.is_bold]
    assert "Shift" not in [text.text for text in of_kind(figure.table, Text)]
    assert "reference" not in said(figure).lower()


def test_a_long_name_is_elided_and_leaves_room_for_the_figures():
    name = "a very long name " * 8 + "unit 7"
    figure = laid_out(bench_of(reading(0, name), reading(1)))
    printed = figure.table.names[0]
    assert printed.startswith("a very long")
    assert printed.endswith("unit 7")
    assert "…" in printed
    assert {"best_match", "best_swr", "shift", "worst"} <= {
        column.id for column in figure.table.plan.columns
    }


def test_columns_go_before_rows_and_are_named():
    figure = laid_out(bench_with(20))
    assert len(figure.table.names) == 20
    assert figure.table.plan.blocks == 2
    assert figure.table.plan.left_out_rows == 0
    assert "No room in the table for usable bandwidth, mismatch loss at worst" in said(figure)


@pytest.mark.parametrize(("width_mm", "count"), [(85, 30), (120, 30), (180, 40)])
def test_what_has_no_entry_in_the_legend_is_not_drawn_and_the_height_is_said(count, width_mm):
    bench = bench_with(count).with_reference(count)
    figure = laid_out(bench, width_mm=width_mm, height_mm=70)
    assert figure.missing is not None
    assert figure.table.plan.left_out_rows == 0
    drawn = {row.entry.key for row in figure.table.plan.rows}
    assert f"Smith chart of {len(drawn)} sweeps" in figure.description
    assert count in drawn  # the reference
    assert figure.missing.count == count - len(drawn) > 0
    # Said before all else, and no sweep is called hidden.
    assert figure.remarks[0] == figure.missing.remark
    assert not any("hidden" in remark for remark in figure.remarks)
    assert figure.title.startswith(f"{len(drawn)} of {count} sweeps")
    # That height shows all, and two millimetres less do not.
    enough_mm = figure.missing.enough_mm
    whole = laid_out(bench, width_mm=width_mm, height_mm=enough_mm)
    assert whole.missing is None
    assert len(of_kind(whole.smith, Line)) > len(of_kind(figure.smith, Line))
    assert laid_out(bench, width_mm=width_mm, height_mm=max(60, enough_mm - 2)).missing is not None


def test_the_height_that_shows_all_has_room_for_all_sentences_and_markers():
    bench = bench_with(30)
    bench = replace(bench, markers=(Marker(900, 50.5e6),), next_key=901)
    asked = {"width_mm": 85, "changes": "yes"}
    figure = laid_out(bench, height_mm=90, **asked)
    assert laid_out(bench, height_mm=figure.missing.enough_mm, **asked).missing is None


def test_a_group_keeps_its_entry_before_single_sweeps():
    bench = with_group(bench_with(40), {39, 40}, "Kit")
    figure = laid_out(bench, width_mm=85, height_mm=80)
    assert "Kit (2 units)" in figure.table.names
    assert figure.missing.of == 41


def test_columns_without_room_are_said_first_and_in_short():
    figure = laid_out(bench_with(3), width_mm=85)
    assert re.fullmatch(
        r"No room in the table for .+, .+, .+ and \d+ more figures\.", figure.remarks[0]
    )


def test_names_are_plain_text_without_control_characters():
    odd = reading(0, "<b>Ω</b>\x1b[31m\nnew\u202eline")
    figure = laid_out(bench_of(odd, reading(1)))
    assert figure.table.names[0] == "<b>Ω</b> [31m new line"
    assert all(c.isprintable() for text in of_kind(figure, Text) for c in text.text)
    assert figure.description.isprintable()


def test_a_condition_is_printed_with_the_name():
    bench = bench_with(2).with_condition(2, "wet")
    assert laid_out(bench).table.names[1] == "sweep 2 (wet)"


def test_further_segments_are_counted_in_the_table():
    # Two dips, far enough apart that the SWR rises above 2 between them.
    dips = [SeriesCircuit(f0_hz, 45.0, 30.0).reflection(GRID_HZ) for f0_hz in (48e6, 55e6)]
    bench = bench_of(Reading(Sweep(GRID_HZ, dips[0] * dips[1]), "two", "two.s1p"))
    bench = bench.with_band(Band(46.5e6, 57e6))
    words = [text.text for text in of_kind(laid_out(bench).table, Text)]
    assert any(word.endswith("(+1)") for word in words)


def test_markers_lie_on_the_curve_also_where_the_points_are_far_apart():
    sparse = reading(0, frequency_hz=np.linspace(30e6, 90e6, 5))
    figure = laid_out(bench_of(sparse, band=None))
    line = curves(figure.plot, "#0072b2")[-1]
    for mark in of_kind(figure.plot, Mark):
        on_curve = np.interp(mark.x, line.points[:, 0], line.points[:, 1])
        assert mark.y == pytest.approx(on_curve, abs=0.1)


def test_the_view_does_not_go_on_where_no_sweep_does():
    short = np.linspace(49.9e6, 52.3e6, 121)
    bench = bench_of(*(reading(i, frequency_hz=short) for i in range(3)))
    frequency = laid_out(bench).plot.frequency
    assert (frequency.low_hz, frequency.high_hz) == pytest.approx((49.9e6, 52.3e6))


def test_few_readings_are_each_marked():
    readings = ScalarSweep([50e6, 50.5e6, 51e6, 52e6], [0.3, 0.2, 0.1, 0.3])
    bench = Bench().with_readings([Reading(readings, "meter", "")])
    assert len(of_kind(laid_out(bench).plot, Mark)) == 4


# What changed, in words


def test_what_changed_in_one_or_two_sweeps_is_said_where_all_fits():
    figure = laid_out(bench_with(2), width_mm=250)
    assert "sweep 2: best match" in said(figure)
    assert "sweep 2: best match" in figure.description
    assert "sweep 2: best match" not in said(laid_out(bench_with(2), changes="no"))
    assert "best match" not in said(laid_out(bench_with(4), width_mm=250))
    narrow = laid_out(bench_with(3), width_mm=80, height_mm=120)
    assert "sweep 2: best match" not in said(narrow)


def test_what_changed_is_said_of_all_that_are_drawn_if_wanted():
    bench = bench_with(4)
    hidden = bench.entries[2].key
    bench = bench.with_visibility(hidden, is_visible=False)
    lines = [text.text for text in laid_out(bench, changes="yes", width_mm=250).caption]
    starts = [line.split(":")[0] for line in lines if ": best match" in line]
    assert starts == ["sweep 2", "sweep 4"]


def test_sentences_without_room_are_counted():
    figure = laid_out(bench_with(6), changes="yes", height_mm=70)
    assert figure.missing is None
    assert "sentences on what changed have no room here.)" in said(figure)
    assert figure.plot.frame.height > 10
    ruler = Ruler()
    assert fit_sentences(ruler, ["one two"], 100, 6, 1) == ["one two"]
    (line,) = fit_sentences(ruler, ["one " * 60], 100, 6, 1)
    assert line == "(1 sentence on what changed has no room here.)"
    lines = fit_sentences(ruler, ["one", "two", "three"], 100, 6, 2)
    assert lines == ["one", "(2 more sentences on what changed have no room here.)"]


def test_a_hidden_reference_is_compared_with_all_the_same():
    bench = bench_with(2)
    bench = bench.with_visibility(bench.reference_key, is_visible=False)
    assert "sweep 2: best match" in said(laid_out(bench, changes="yes", width_mm=250))
