"""Markers in the printed picture: lines, names that do not overlap, and a table that fits."""

from __future__ import annotations

from dataclasses import replace

import pytest
from printed_benches import bench_of, bench_with, circuit, reading, scalar_reading

from fairlead.app.printing.layout import lay_out
from fairlead.app.printing.shapes import StraightLine, Text
from fairlead.core.document.markers import with_markers
from fairlead.core.units import format_number, format_swr
from fairlead.core.views.reactance import REACTANCE

MARKED = [(50.2e6, "beacon"), (50.23e6, ""), (51.5e6, "")]


def laid_out(bench, ruler, **changes):
    return lay_out(bench, replace(bench.picture, **changes), ruler)


def texts(shapes):
    return [one for one in shapes if isinstance(one, Text)]


def lines_of_table(picture):
    """The texts of the table by their baselines, from the left."""
    rows = {}
    for text in sorted(texts(picture.markers), key=lambda one: one.x):
        rows.setdefault(round(text.y, 3), []).append(text.text)
    return [rows[y] for y in sorted(rows)]


def test_every_sweep_is_read_off_at_every_marker(ruler):
    bench = with_markers(bench_with(2), MARKED)
    picture = laid_out(bench, ruler)
    names, headings, *rows = lines_of_table(picture)
    assert names == ["sweep 1", "sweep 2"]
    assert headings == ["Marker", *(["SWR", "R (Ω)", "X (Ω)"] * 2)]
    assert [row[0] for row in rows] == ["50.2 MHz, beacon", "50.23 MHz", "51.5 MHz"]
    for row, (hz, _) in zip(rows, MARKED, strict=True):
        expected = []
        for index in range(2):
            z_ohm = circuit(index).impedance_ohm(hz)
            expected += [format_swr(circuit(index).swr(hz)), format_number(z_ohm.real, 1)]
            expected.append(REACTANCE.text(z_ohm.imag).removeprefix("X ").removesuffix(" Ω"))
        assert row[1:] == expected


def test_lines_stand_at_the_markers_and_names_do_not_overlap(ruler):
    bench = with_markers(bench_with(2), MARKED)
    plot = laid_out(bench, ruler).plot
    x = [plot.frequency.x(hz) for hz, _ in MARKED]
    upright = [
        one
        for one in plot.shapes
        if isinstance(one, StraightLine) and one.x1 == one.x2 and one.pen.dash_mm
    ]
    assert [one.x1 for one in upright] == pytest.approx(x)
    names = [one for one in texts(plot.shapes) if one.halo]
    assert [one.text for one in names] == ["beacon", "50.23", "51.5"]
    assert not names[0].box.overlaps(names[1].box)
    assert all(plot.frame.left <= one.x for one in names)


@pytest.mark.parametrize("width_mm", [85, 120, 180])
@pytest.mark.parametrize("count", [1, 5, 12, 30])
def test_it_fits_at_every_width_or_says_what_has_no_room(ruler, width_mm, count):
    bench = with_markers(bench_with(count), MARKED)
    picture = laid_out(bench, ruler, width_mm=width_mm, height_mm=120)
    page = picture.width_mm - 2.0
    assert all(text.x >= 2.0 - 1e-6 for text in texts(picture.markers))
    assert all(text.x + text.width_mm <= page + 1e-6 for text in texts(picture.markers))
    foot = max((text.y for text in texts(picture.markers)), default=0.0)
    assert all(text.y > foot for text in picture.caption)
    read = sum(one.text == "SWR" for one in texts(picture.markers))
    missing = [one for one in picture.remarks if "No room for what" in one]
    drawn = count - (picture.missing.count if picture.missing else 0)
    assert bool(missing) == (read < drawn)
    if missing:
        left = drawn - read
        what = "1 sweep" if left == 1 else f"{left} sweeps"
        assert missing == [f"No room for what {what} read at the markers."]
    assert picture.plot.frame.height > 15


def test_what_is_plotted_comes_first_and_ohms_only_where_a_sweep_has_them(ruler):
    bench = with_markers(bench_of(scalar_reading()), MARKED[:1])
    headings = lines_of_table(laid_out(bench, ruler, view="return-loss"))[1]
    assert headings == ["Marker", "Return loss (dB)", "SWR"]


def test_a_dash_is_explained(ruler):
    bench = with_markers(bench_of(reading(0), scalar_reading(1)), [*MARKED[:1], (70e6, "")])
    picture = laid_out(bench, ruler)
    (said,) = [one for one in picture.remarks if "at a marker" in one]
    assert said == "– at a marker: outside the sweep; no phase measured."


def test_a_marker_beyond_the_view_has_no_line_but_a_row(ruler):
    bench = with_markers(bench_with(1), [(46.1e6, "far"), (51e6, "near")])
    picture = laid_out(bench, ruler)
    assert [one.text for one in texts(picture.plot.shapes) if one.halo] == ["near"]
    assert len(lines_of_table(picture)) == 4


def test_no_markers_are_drawn_where_they_are_not_wanted_or_have_no_place(ruler):
    bench = with_markers(bench_with(2), MARKED)
    without = laid_out(bench, ruler, markers=False)
    assert without.markers == ()
    assert not [one for one in texts(without.plot.shapes) if one.halo]
    shape = laid_out(bench, ruler, view="shape")
    assert not [one for one in texts(shape.plot.shapes) if one.halo]
    assert shape.markers


def test_without_markers_nothing_changes(ruler):
    assert laid_out(bench_with(2), ruler).markers == ()


def test_names_are_cut_in_what_they_share(ruler):
    own = ("dry", "wet", "iced", "dry-again", "thawed")
    bench = bench_of(*(reading(i, label=f"roof-vertical-2026-{end}") for i, end in enumerate(own)))
    picture = laid_out(with_markers(bench, MARKED), ruler, width_mm=120, height_mm=140)
    names = [text.text for text in texts(picture.markers) if text.text.endswith(own)]
    assert len(names) == len(own)
    assert all(name.endswith(end) for name, end in zip(names, own, strict=True))
    assert any("…" in name for name in names)


def test_names_of_markers_are_at_the_top_clear_of_the_best_matches(ruler):
    plot = laid_out(with_markers(bench_with(2), MARKED), ruler).plot
    for name in (one for one in texts(plot.shapes) if one.halo):
        assert plot.frame.top < name.box.top
        assert name.box.bottom < plot.frame.top + 0.3 * plot.frame.height
