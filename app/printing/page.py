"""The layout of the report page: title, picture with table, and the text in two columns."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from fairlead.app.printing.columns import break_columns, lay_out_columns
from fairlead.app.printing.layout import lay_out
from fairlead.app.printing.shapes import Box
from fairlead.app.printing.trace_style import COLOUR_INK, GREY_INK
from fairlead.app.printing.type_setting import cap_mm, clean, elide, line_height_mm, set_text, wrap
from fairlead.core.analysis.analyses import Analyses
from fairlead.core.comparison.changes import changes_of
from fairlead.core.comparison.knowledge import NOTHING_KNOWN, compare_known, knowledge_of
from fairlead.core.errors import FairleadError
from fairlead.core.report_page.paper import PAPERS
from fairlead.core.report_page.words import Section, page_sections, page_title

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from fairlead.app.printing.columns import Columns
    from fairlead.app.printing.layout import PrintedPicture
    from fairlead.app.printing.shapes import Shape
    from fairlead.app.printing.trace_style import Ink
    from fairlead.app.printing.type_setting import Measure
    from fairlead.core.comparison.changes import ChangeSummary
    from fairlead.core.comparison.knowledge import Knowledge
    from fairlead.core.comparison.rows import Row
    from fairlead.core.document.bench import Bench
    from fairlead.core.report_page.paper import Paper

_MARGIN_MM = 15.0
_TITLE_PT, _STANDFIRST_PT = 14.0, 9.0
_TEXT_PT = (8.0, 7.5, 7.0, 6.5)
_MOST_STANDFIRST = 6
_GAP_MM = 4.0
_PLOTS_MM = (58.0, 105.0)
# What the table takes beside its plan: gap, condition line.
_AROUND_TABLE_MM = 9.0
# Share of the page that the picture may take while it is not known how high the table is.
_FIRST_SHARE = 0.62


@dataclass(frozen=True, slots=True)
class PrintedPage:
    """A page, laid out and ready to be painted.

    Attributes
    ----------
    width_mm, height_mm : float
    title, description : str
    shapes : tuple of Shape
        In painting order.
    picture : PrintedPicture
    sections : tuple of Section
        As printed: what had no room is said in the first of them.
    """

    width_mm: float
    height_mm: float
    title: str
    description: str
    shapes: tuple[Shape, ...]
    picture: PrintedPicture
    sections: tuple[Section, ...]


@dataclass(frozen=True, slots=True)
class Told:
    """What the report tells, worked out once for paper and Markdown.

    Attributes
    ----------
    bench : Bench
    rows : tuple of Row
        Of the visible sweeps.
    changes : mapping of int to ChangeSummary
    known : Knowledge
    analyses : Analyses
    """

    bench: Bench
    rows: tuple[Row, ...]
    changes: Mapping[int, ChangeSummary]
    known: Knowledge
    analyses: Analyses


def told_of(
    bench: Bench,
    analyses: Analyses | None = None,
    known: Knowledge = NOTHING_KNOWN,
    changes: Mapping[int, ChangeSummary] | None = None,
) -> Told:
    """What a report of a bench tells; what is known already is not worked out again.

    Raises
    ------
    FairleadError
        If no sweep is visible.
    """
    if not bench.visible:
        raise FairleadError(
            "there is no sweep to report on",
            "show at least one" if bench.entries else "open at least one",
        )
    analyses = Analyses() if analyses is None else analyses
    known = knowledge_of(bench, analyses, known) or NOTHING_KNOWN
    rows = compare_known(bench, analyses, known)
    visible = tuple(row for row in rows if row.entry.is_visible)
    compared = [row for row in rows if row.entry.is_visible or row.is_reference]
    return Told(bench, visible, changes_of(bench, compared, changes or {}) or {}, known, analyses)


def lay_out_page(
    told: Told, paper: Paper, measure: Measure, *, shows_uncertainty: bool = True
) -> PrintedPage:
    """The report page of a bench's visible sweeps; nothing is cut, what has no room is named.

    Raises
    ------
    FairleadError
        If the caption is too long for a page.
    """
    bench = told.bench
    width_mm, height_mm = PAPERS[paper]
    page = Box(0, 0, width_mm, height_mm).grown(-_MARGIN_MM)
    ink = GREY_INK if bench.picture.grey else COLOUR_INK
    title = page_title(bench, told.rows)
    head, top = _head(title, clean(bench.picture.caption), page, ink, measure)

    def picture_to(bottom: float) -> PrintedPicture:
        request = replace(bench.picture, title="", caption="", changes="no")
        return lay_out(
            bench,
            request,
            measure,
            told.analyses,
            told.known,
            told.changes,
            shows_uncertainty=shows_uncertainty,
            within=Box(page.left, top, page.right, bottom),
        )

    first = picture_to(top + _FIRST_SHARE * (page.bottom - top))
    table_mm = first.table.plan.height_mm + _AROUND_TABLE_MM
    _, columns = _fitted(
        _sections(told, first), page.width, page.bottom - top - table_mm - _PLOTS_MM[0], measure
    )
    room_mm = page.bottom - top - table_mm - columns.height_mm - _GAP_MM
    plots_mm = min(max(room_mm, _PLOTS_MM[0]), _PLOTS_MM[1])
    picture = picture_to(top + table_mm + plots_mm)
    text_top = top + table_mm + plots_mm + _GAP_MM
    sections, columns = _fitted(
        _sections(told, picture), page.width, page.bottom - text_top, measure
    )
    area = Box(page.left, text_top, page.right, page.bottom)
    shapes = (*head, *picture.shapes, *lay_out_columns(columns, area, ink.text, measure))
    words = " ".join(line for section in sections for line in section.lines)
    description = f"{title}. {picture.description} {words}"
    return PrintedPage(width_mm, height_mm, title, description, shapes, picture, sections)


def _sections(told: Told, picture: PrintedPicture) -> tuple[Section, ...]:
    return page_sections(told.bench, told.rows, told.changes, picture.remarks)


def _head(
    title: str, standfirst: str, page: Box, ink: Ink, measure: Measure
) -> tuple[list[Shape], float]:
    """Title and the user's own line, and where the picture begins."""
    text = elide(measure, clean(title), page.width, _TITLE_PT, is_bold=True)
    y = page.top + cap_mm(_TITLE_PT)
    shapes: list[Shape] = [
        set_text(measure, text, (page.left, y), _TITLE_PT, colour=ink.text, is_bold=True)
    ]
    lines = wrap(measure, standfirst, page.width, _STANDFIRST_PT)
    if len(lines) > _MOST_STANDFIRST:
        raise FairleadError(
            "the picture's caption is too long for a report page",
            f"shorten it to {_MOST_STANDFIRST} lines, or use the notes of a sweep",
        )
    for line in lines:
        y += line_height_mm(_STANDFIRST_PT) * 1.15
        shapes.append(set_text(measure, line, (page.left, y), _STANDFIRST_PT, colour=ink.text))
    return shapes, y + _GAP_MM


def _fitted(
    sections: Sequence[Section], width_mm: float, height_mm: float, measure: Measure
) -> tuple[tuple[Section, ...], Columns]:
    """As much as has room, in the largest type; what was left out stands first."""
    for size_pt in _TEXT_PT:
        columns = break_columns(sections, width_mm, size_pt, measure)
        if columns.height_mm <= height_mm:
            return tuple(sections), columns
    size_pt = _TEXT_PT[-1]
    most = max(section.may_go for section in sections)
    kept = list(sections)
    for rank in range(most, 0, -1):
        place = next((i for i, one in enumerate(kept) if one.may_go == rank), None)
        if place is None:
            continue
        whole = kept[place]
        for count in range(len(whole.lines) - 1, -1, -1):
            kept[place] = replace(whole, lines=whole.lines[:count])
            said = _with_left_out(sections, kept)
            columns = break_columns(said, width_mm, size_pt, measure)
            if columns.height_mm <= height_mm:
                return said, columns
    return said, columns


def _with_left_out(whole: Sequence[Section], kept: Sequence[Section]) -> tuple[Section, ...]:
    """What is left, and before it how much of what had no room."""
    missing = [
        f"{len(one.lines) - len(left.lines)} of {len(one.lines)} {one.what}"
        for one, left in zip(whole, kept, strict=True)
        if len(left.lines) < len(one.lines)
    ]
    line = f"No room for {', '.join(missing)}; the report as Markdown has them."
    first = Section("Not on this page", (line,), "")
    return (first, *(section for section in kept if section.lines))
