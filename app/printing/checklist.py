"""A checklist on one page: headings, and lines with a box to tick in front."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from fairlead.app.printing.fonts import FontMeasure, chosen_families
from fairlead.app.printing.pdf import pdf_of
from fairlead.app.printing.shapes import Box, Pen, StraightLine
from fairlead.app.printing.trace_style import COLOUR_INK
from fairlead.app.printing.type_setting import (
    cap_mm,
    clean,
    elide,
    line_height_mm,
    set_text,
    wrap,
)
from fairlead.core.atomic_file import write_atomic
from fairlead.core.errors import FairleadError
from fairlead.core.report_page.paper import PAPERS

if TYPE_CHECKING:
    from collections.abc import Sequence

    from fairlead.app.printing.shapes import Shape
    from fairlead.app.printing.type_setting import Measure
    from fairlead.core.report_page.paper import Paper
    from fairlead.core.report_page.words import Section

_MARGIN_MM = 18.0
_TITLE_PT = 16.0
_TEXT_PT = (10.5, 9.5, 8.5, 7.5)
_BOX_PEN_MM = 0.25
_BESIDE_BOX_MM = 2.5
# In lines: above a heading, between two items.
_ABOVE_HEADING, _BETWEEN = 0.7, 0.25


@dataclass(frozen=True, slots=True)
class PrintedChecklist:
    """A page, laid out and ready to be painted."""

    width_mm: float
    height_mm: float
    title: str
    shapes: tuple[Shape, ...]


def write_checklist(
    title: str, sections: Sequence[Section], path: str, paper: Paper, never_over: frozenset[str]
) -> None:
    """Write a checklist as PDF.

    Raises
    ------
    FairleadError
        If it does not fit on one page, or cannot be written.
    """
    families = chosen_families()
    page = lay_out_checklist(title, sections, paper, FontMeasure(families))
    write_atomic(path, [pdf_of(page, families)], never_over=never_over)


def lay_out_checklist(
    title: str, sections: Sequence[Section], paper: Paper, measure: Measure
) -> PrintedChecklist:
    """All sections on one page, in the largest type that has room.

    Raises
    ------
    FairleadError
        If none has: nothing is left out.
    """
    width_mm, height_mm = PAPERS[paper]
    page = Box(0, 0, width_mm, height_mm).grown(-_MARGIN_MM)
    for size_pt in _TEXT_PT:
        shapes, bottom = _set(title, sections, page, size_pt, measure)
        if bottom <= page.bottom:
            return PrintedChecklist(width_mm, height_mm, title, tuple(shapes))
    raise FairleadError(
        "the checklist does not fit on one page", "shorten what is to be kept the same"
    )


def _set(
    title: str, sections: Sequence[Section], page: Box, size_pt: float, measure: Measure
) -> tuple[list[Shape], float]:
    colour, step_mm = COLOUR_INK.text, line_height_mm(size_pt)
    side_mm = cap_mm(size_pt)
    left = page.left + side_mm + _BESIDE_BOX_MM
    y = page.top + cap_mm(_TITLE_PT)
    name = elide(measure, clean(title), page.width, _TITLE_PT, is_bold=True)
    shapes: list[Shape] = [
        set_text(measure, name, (page.left, y), _TITLE_PT, colour=colour, is_bold=True)
    ]
    for section in sections:
        y += (1 + _ABOVE_HEADING) * step_mm
        shapes.append(
            set_text(measure, section.heading, (page.left, y), size_pt, colour=colour, is_bold=True)
        )
        for item in section.lines:
            y += _BETWEEN * step_mm
            shapes += _square(page.left, y + step_mm, side_mm, colour)
            for line in wrap(measure, clean(item), page.right - left, size_pt):
                y += step_mm
                shapes.append(set_text(measure, line, (left, y), size_pt, colour=colour))
    return shapes, y + side_mm


def _square(left: float, bottom: float, side_mm: float, colour: str) -> list[Shape]:
    right, top, pen = left + side_mm, bottom - side_mm, Pen(colour, _BOX_PEN_MM)
    return [
        StraightLine(left, top, right, top, pen),
        StraightLine(left, bottom, right, bottom, pen),
        StraightLine(left, top, left, bottom, pen),
        StraightLine(right, top, right, bottom, pen),
    ]
