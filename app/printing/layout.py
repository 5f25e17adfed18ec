"""The layout of the whole picture: title, plots, table and caption."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from fairlead.app.printing.drawn import Drawn
from fairlead.app.printing.group_part import REMARK, printed_groups
from fairlead.app.printing.marker_part import NO_MARKERS, lay_out_markers, plan_markers
from fairlead.app.printing.match_part import printed_match
from fairlead.app.printing.missing import Missing, missing_columns, needed_height_mm
from fairlead.app.printing.plot_part import lay_out_plot
from fairlead.app.printing.shapes import Box
from fairlead.app.printing.smith_part import lay_out_smith, points_beyond
from fairlead.app.printing.table_part import (
    MOST_ROWS,
    MOST_ROWS_OF_PAGE,
    key_of,
    lay_out_table,
    plan_table,
)
from fairlead.app.printing.trace_style import COLOUR_INK, GREY_INK
from fairlead.app.printing.traces import Ranges, make_traces
from fairlead.app.printing.type_setting import (
    SMALLEST_PT,
    TITLE_PT,
    cap_mm,
    clean,
    elide,
    line_height_mm,
    set_text,
    wrap,
)
from fairlead.app.printing.view_range import band_in_view, frequency_view
from fairlead.app.printing.words import (
    condition_line,
    description_of,
    fit_remarks,
    fit_sentences,
    remarks,
    title_of,
    what_changed,
)
from fairlead.core.analysis.analyses import Analyses
from fairlead.core.comparison.knowledge import NOTHING_KNOWN, compare_known
from fairlead.core.comparison.viewed import compared_with
from fairlead.core.document.measuring_errors import errors_of
from fairlead.core.document.picture_request import LARGEST_MM
from fairlead.core.document.showing import shown_keys, with_only
from fairlead.core.errors import FairleadError
from fairlead.core.group_table import next_words
from fairlead.core.uncertainty.point_range import range_of

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from fairlead.app.printing.plot_part import PlotPart
    from fairlead.app.printing.shapes import Shape, Text
    from fairlead.app.printing.smith_part import SmithPart
    from fairlead.app.printing.table_columns import TableRow
    from fairlead.app.printing.table_part import TablePart, TablePlan
    from fairlead.app.printing.trace_style import Ink
    from fairlead.app.printing.type_setting import Measure
    from fairlead.core.comparison.changes import ChangeSummary
    from fairlead.core.comparison.knowledge import Knowledge
    from fairlead.core.comparison.rows import Row
    from fairlead.core.document.bench import Bench
    from fairlead.core.document.picture_request import PictureRequest

_MARGIN_MM = 2.0
_GAP_MM = 2.5
_TITLE_FOOT_MM = 2.0
_TABLE_FOOT_MM = 0.8
_LEAST_PLOTS_MM = 36.0
_LEAST_PLOTS_SHARE = 0.42
_LEAST_PLOTS_WITHIN_MM = 55.0
_TABLE_SHARE = 0.42
_MOST_REMARK_LINES = 2
_SENTENCES_SHARE = 0.25
_MARKERS_SHARE = 0.25
_CONDITION_LINES = 1
_LOW_PAGE_MM = 80.0
_ENDLESS = 10_000
_ASIDE_RATIO = 1.3
_CHART_RATIO = 1.0
_CHART_SHARE = 0.45


@dataclass(frozen=True, slots=True)
class PrintedPicture:
    """A picture, laid out and ready to be painted.

    Attributes
    ----------
    width_mm, height_mm : float
    title, description : str
        Also written into the file.
    plot : PlotPart
    smith : SmithPart
    table : TablePart
    markers : tuple of Shape
        What the sweeps read at the markers; empty if that is not wanted.
    heading : tuple of Text
    caption : tuple of Text
    remarks : tuple of str
        Everything that has to be said about the picture, whether it had room or not.
    missing : Missing or None
        The sweeps that are not drawn because the legend has no room for them.
    """

    width_mm: float
    height_mm: float
    title: str
    description: str
    plot: PlotPart
    smith: SmithPart
    table: TablePart
    markers: tuple[Shape, ...]
    heading: tuple[Text, ...]
    caption: tuple[Text, ...]
    remarks: tuple[str, ...]
    missing: Missing | None = None

    @property
    def shapes(self) -> tuple[Shape, ...]:
        """All shapes, in painting order."""
        parts = (self.plot.shapes, self.smith.shapes, self.table.shapes, self.markers)
        return (*self.heading, *(shape for part in parts for shape in part), *self.caption)


def lay_out(
    bench: Bench,
    request: PictureRequest,
    measure: Measure,
    analyses: Analyses | None = None,
    known: Knowledge = NOTHING_KNOWN,
    changes: Mapping[int, ChangeSummary] | None = None,
    *,
    shows_uncertainty: bool = True,
    besides: Sequence[str] = (),
    within: Box | None = None,
    missing: Missing | None = None,
) -> PrintedPicture:
    """The picture of a bench's visible sweeps: a quantity over frequency, chart and table.

    What ``analyses``, ``known`` and ``changes`` tell of the sweeps is not worked out again. With
    ``shows_uncertainty`` the analyzer's errors, where they are stated, are shaded.

    ``besides`` is what else is said below the table, a sentence a line: what came and went, where
    that was asked.

    A curve without an entry in the legend would tell nothing: where the legend has no room for all,
    the others are not drawn, and the first remark says so. ``missing`` is what has been left out in
    this way already.

    ``within`` is its place on a larger page, which says the remarks itself and leaves the table
    more rows.

    Raises
    ------
    FairleadError
        If no sweep is visible.
    """
    as_noted, quantity = bench, request.quantity
    bench = bench.in_legend(request.legend)
    as_shown = bench.with_picture(request)
    analyses = Analyses() if analyses is None else analyses
    all_rows = compare_known(bench, analyses, known)
    rows = [row for row in all_rows if row.entry.is_visible]
    groups = printed_groups(as_noted, all_rows, grey=request.grey)
    if not rows and not groups:
        raise FairleadError(
            "there is no sweep to draw",
            "show at least one" if bench.entries else "open at least one",
        )
    ink = GREY_INK if request.grey else COLOUR_INK
    own_page = Box(0, 0, request.width_mm, request.height_mm).grown(-_MARGIN_MM)
    page = own_page if within is None else within
    # Where only groups are drawn, their members say what the page is about.
    told = rows or [row for row in all_rows if any(row.entry.key in g.keys for g in groups)]
    band, view_hz = band_in_view(bench, told), frequency_view(bench, told)
    ranges = _ranges(bench, all_rows) if shows_uncertainty else {}
    traces = make_traces(rows, view_hz, band, quantity, ranges, grey=request.grey)
    drawn = Drawn.of(bench, analyses, quantity, band, view_hz)
    found_traces = traces
    if drawn.analyses is not None:
        found_traces = make_traces(
            rows,
            drawn.view_hz,
            drawn.band,
            drawn.quantity,
            ranges,
            drawn.analyses,
            grey=request.grey,
        )
    without_room = 0 if missing is None else missing.count
    title = title_of(bench, told, request, without_room)
    heading, top = _heading(title, page, ink, measure)
    most_remarks, least_plots_mm, most_table_mm = _shares(page, is_part=within is not None)
    said = what_changed(bench, all_rows, changes, request)
    step_mm = line_height_mm(SMALLEST_PT)
    marker_plan = (
        plan_markers(as_shown, rows, analyses, page.width, _MARKERS_SHARE * page.height, measure)
        if request.markers
        else NO_MARKERS
    )
    entries: list[TableRow] = [*rows, *(group.row for group in groups)]
    # Sentences leave the legend its room: a sweep that is not drawn is the greater loss.
    for most_lines in (_most_lines(page), 1):
        own_lines = _own_lines(request, said, besides, page.width, most_lines, measure)
        # Room is reserved for all lines that may occur; what is not used goes to the plots.
        lines_mm = step_mm * (len(own_lines) + _CONDITION_LINES + most_remarks)
        rest_mm = page.bottom - top - lines_mm - marker_plan.height_mm - _GAP_MM
        plan = plan_table(
            bench,
            entries,
            page.width,
            min(most_table_mm, rest_mm - least_plots_mm),
            measure,
            has_band=band is not None,
            most_rows=MOST_ROWS if within is None else MOST_ROWS_OF_PAGE,
        )
        if not plan.left_out_rows:
            break
    if plan.left_out_rows:
        # At another height all sentences and markers may have room.
        whole_lines = _own_lines(request, said, besides, page.width, _ENDLESS, measure)
        others_mm = (
            (top - page.top + _GAP_MM)
            + step_mm * (len(whole_lines) + _CONDITION_LINES + _MOST_REMARK_LINES)
            + _markers_mm(as_shown, rows, analyses, request, page, measure)
        )
        return lay_out(
            _without(as_noted, entries, plan.rows),
            request,
            measure,
            analyses,
            known,
            changes,
            shows_uncertainty=shows_uncertainty,
            besides=besides,
            within=within,
            missing=_missing(plan, page, None if within is not None else others_mm, missing),
        )
    network = printed_match(bench, analyses)
    found = [
        *([missing.remark] if missing is not None else []),
        *missing_columns(plan),
        *([network.remark] if network is not None else []),
        *([REMARK] if groups else []),
        *filter(None, (clean(next_words(group.row)) for group in groups)),
        *remarks(
            bench,
            traces,
            quantity,
            points_beyond(traces),
            band_is_shown=band is not None,
            drawn=found_traces,
            without_room=without_room,
        ),
        *marker_plan.remarks,
        *drawn.remarks,
    ]
    lines = [
        *own_lines,
        *wrap(
            measure,
            condition_line(bench, told, plan, band_is_shown=drawn.band is not None),
            page.width,
            SMALLEST_PT,
        ),
    ]
    if within is None:
        lines += _fit_with_changes(found, said, request, page.width, most_remarks, measure)
    foot = page.bottom - step_mm * len(lines)
    markers_top = foot - marker_plan.height_mm
    table_top = markers_top - plan.height_mm - _TABLE_FOOT_MM
    plot_area, smith_area = _divide(Box(page.left, top, page.right, table_top - _GAP_MM))
    return PrintedPicture(
        request.width_mm,
        request.height_mm,
        title,
        description_of(bench, told, title, quantity, [*said, *besides]),
        lay_out_plot(
            plot_area,
            bench,
            drawn.band,
            drawn.view_hz,
            found_traces,
            drawn.quantity,
            ink,
            measure,
            groups=groups,
            marks_best_match=request.mark_best_match,
            shows_markers=request.markers and not quantity.is_scaled,
            is_log=request.log_frequency and not quantity.is_scaled and drawn.view_hz[0] > 0,
        ),
        lay_out_smith(
            smith_area,
            bench,
            band,
            traces,
            ink,
            measure,
            groups,
            () if network is None else network.path,
        ),
        lay_out_table(
            plan,
            Box(page.left, table_top, page.right, markers_top),
            len(rows),
            request,
            ink,
            measure,
        ),
        lay_out_markers(
            marker_plan,
            Box(page.left, markers_top, page.right, foot),
            ink,
            measure,
            grey=request.grey,
        ),
        heading,
        _caption(lines, page, foot, ink, measure),
        tuple(found),
        missing,
    )


def _shares(page: Box, *, is_part: bool) -> tuple[int, float, float]:
    """The most lines of remarks, the least height of the plots, the most of the table."""
    if is_part:
        return 0, _LEAST_PLOTS_WITHIN_MM, page.height
    return (
        1 if page.height < _LOW_PAGE_MM else _MOST_REMARK_LINES,
        min(_LEAST_PLOTS_MM, _LEAST_PLOTS_SHARE * page.height),
        _TABLE_SHARE * page.height,
    )


def _missing(
    plan: TablePlan, page: Box, others_mm: float | None, before: Missing | None
) -> Missing:
    """What is left out, and the height that would do; ``others_mm`` as in `needed_height_mm`."""
    count = plan.left_out_rows + (0 if before is None else before.count)
    of = count + len(plan.rows)
    if others_mm is None:
        return Missing(count, of, None)
    least_plots = (_LEAST_PLOTS_MM, _LEAST_PLOTS_SHARE)
    enough_mm = needed_height_mm(of, page.width, others_mm, least_plots, _TABLE_SHARE)
    whole_mm = None if enough_mm is None else enough_mm + 2 * _MARGIN_MM
    return Missing(count, of, whole_mm)


def _markers_mm(
    bench: Bench,
    rows: Sequence[Row],
    analyses: Analyses,
    request: PictureRequest,
    page: Box,
    measure: Measure,
) -> float:
    """Height of the table of markers where the page has room for all of it."""
    if not request.markers:
        return 0.0
    return plan_markers(bench, rows, analyses, page.width, LARGEST_MM, measure).height_mm


def _own_lines(
    request: PictureRequest,
    said: Sequence[str],
    besides: Sequence[str],
    width_mm: float,
    most_lines: int,
    measure: Measure,
) -> list[str]:
    """The user's caption, and the sentences that were asked for, as far as they have room."""
    lines = wrap(measure, clean(request.caption), width_mm, SMALLEST_PT)
    lines += fit_sentences(
        measure, [clean(one) for one in besides], width_mm, SMALLEST_PT, most_lines
    )
    if request.changes == "yes":
        lines += fit_sentences(measure, said, width_mm, SMALLEST_PT, most_lines)
    return lines


def _without(bench: Bench, rows: Sequence[TableRow], kept: Sequence[TableRow]) -> Bench:
    """The bench showing only what has an entry in the legend."""
    gone = {key_of(row) for row in rows} - {key_of(row) for row in kept}
    return with_only(bench, shown_keys(bench) - gone)


def _most_lines(page: Box) -> int:
    """So many lines of sentences leave room for plots and table."""
    return max(1, int(_SENTENCES_SHARE * page.height / line_height_mm(SMALLEST_PT)))


def _fit_with_changes(
    found: Sequence[str],
    said: Sequence[str],
    request: PictureRequest,
    width_mm: float,
    most_lines: int,
    measure: Measure,
) -> list[str]:
    """The remarks, and after them what changed if that was asked for and all of it fits."""
    if said and request.changes == "if-room":
        lines = wrap(measure, " ".join([*found, *said]), width_mm, SMALLEST_PT)
        if len(lines) <= most_lines:
            return lines
    return fit_remarks(measure, found, width_mm, SMALLEST_PT, most_lines)


def _ranges(bench: Bench, rows: Sequence[Row]) -> dict[int, Ranges]:
    """How far each point may be off, and those of the reference that a sweep is compared with."""
    found = {
        row.entry.key: range_of(row.analysis, errors_of(bench, row.entry))
        for row in rows
        if row.entry.is_visible or row.is_reference
    }
    besides = {row.entry.key: compared_with(bench, row.entry) for row in rows}
    return {
        key: (points, None if (other := besides[key]) is None else found.get(other.key))
        for key, points in found.items()
    }


def _heading(title: str, page: Box, ink: Ink, measure: Measure) -> tuple[tuple[Text, ...], float]:
    """The title, and where the plots begin."""
    if not title:
        return (), page.top
    text = elide(measure, title, page.width, TITLE_PT, is_bold=True)
    base = page.top + cap_mm(TITLE_PT)
    line = set_text(measure, text, (page.left, base), TITLE_PT, colour=ink.text, is_bold=True)
    return (line,), base + _TITLE_FOOT_MM


def _divide(plots: Box) -> tuple[Box, Box]:
    """Areas of plot and Smith chart: side by side, or one above the other."""
    if plots.width >= _ASIDE_RATIO * plots.height:
        # The chart is a square with numbers around it, within its share of the page.
        chart_mm = min(plots.height * _CHART_RATIO, plots.width * _CHART_SHARE)
        middle = plots.right - chart_mm
        return (
            Box(plots.left, plots.top, middle - _GAP_MM, plots.bottom),
            Box(middle, plots.top, plots.right, plots.bottom),
        )
    middle = plots.top + plots.height * 0.5
    return (
        Box(plots.left, plots.top, plots.right, middle - _GAP_MM / 2),
        Box(plots.left, middle + _GAP_MM / 2, plots.right, plots.bottom),
    )


def _caption(
    lines: Sequence[str], page: Box, top: float, ink: Ink, measure: Measure
) -> tuple[Text, ...]:
    step_mm = line_height_mm(SMALLEST_PT)
    return tuple(
        set_text(
            measure, line, (page.left, top + (i + 0.8) * step_mm), SMALLEST_PT, colour=ink.text
        )
        for i, line in enumerate(lines)
    )
