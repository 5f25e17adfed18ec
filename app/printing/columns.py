"""Running text in two columns of equal length: headings, and items that hang behind a sign."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from fairlead.app.printing.type_setting import line_height_mm, set_text, wrap

if TYPE_CHECKING:
    from collections.abc import Sequence

    from fairlead.app.printing.shapes import Box, Text
    from fairlead.app.printing.type_setting import Measure
    from fairlead.core.report_page.words import Section

COLUMN_GAP_MM = 6.0
_INDENT_MM = 2.6
_SIGN = "•"
# Share of a line above a heading that does not begin a column.
_ABOVE_HEADING = 0.5
_COUNT = 2


@dataclass(frozen=True, slots=True)
class _Line:
    text: str
    kind: str  # "heading", "first" of an item, "more" of it

    def height(self, *, is_top: bool) -> float:
        """In lines."""
        return 1 + (_ABOVE_HEADING if self.kind == "heading" and not is_top else 0)


@dataclass(frozen=True, slots=True)
class Columns:
    """Text broken into columns.

    Attributes
    ----------
    parts : tuple of tuple of _Line
    size_pt, height_mm : float
    """

    parts: tuple[tuple[_Line, ...], ...]
    size_pt: float
    height_mm: float


def column_width_mm(width_mm: float) -> float:
    """Of one column on a page of that width."""
    return (width_mm - COLUMN_GAP_MM * (_COUNT - 1)) / _COUNT


def break_columns(
    sections: Sequence[Section], width_mm: float, size_pt: float, measure: Measure
) -> Columns:
    """The sections in two columns that are as short as can be."""
    room_mm = column_width_mm(width_mm) - _INDENT_MM
    lines: list[_Line] = []
    for section in sections:
        lines.append(_Line(section.heading, "heading"))
        for item in section.lines:
            first, *more = wrap(measure, item, room_mm, size_pt)
            lines += [_Line(first, "first"), *(_Line(text, "more") for text in more)]
    least = len(lines) // _COUNT
    parts, height = next(
        (parts, height)
        for height in range(least, 2 * len(lines) + 2)
        for parts in [_filled(lines, height)]
        if len(parts) <= _COUNT
    )
    highest = max((_height(part) for part in parts), default=height)
    return Columns(tuple(map(tuple, parts)), size_pt, highest * line_height_mm(size_pt))


def _filled(lines: Sequence[_Line], height: float) -> list[list[_Line]]:
    """Columns of at most a height; a heading does not stand last in one."""
    parts: list[list[_Line]] = [[]]
    for index, line in enumerate(lines):
        part = parts[-1]
        needed = line.height(is_top=not part)
        if line.kind == "heading" and index + 1 < len(lines):
            needed += 1
        if part and _height(part) + needed > height:
            part = []
            parts.append(part)
        part.append(line)
    return parts


def _height(part: Sequence[_Line]) -> float:
    return sum(line.height(is_top=index == 0) for index, line in enumerate(part))


def lay_out_columns(columns: Columns, area: Box, colour: str, measure: Measure) -> list[Text]:
    """The lines in their places, from the top of an area of the width they were broken for."""
    step_mm = line_height_mm(columns.size_pt)
    found: list[Text] = []
    for number, part in enumerate(columns.parts):
        left = area.left + number * (column_width_mm(area.width) + COLUMN_GAP_MM)
        used = 0.0
        for index, line in enumerate(part):
            used += line.height(is_top=index == 0)
            at_y = area.top + (used - 0.2) * step_mm
            is_heading = line.kind == "heading"
            if line.kind == "first":
                found.append(set_text(measure, _SIGN, (left, at_y), columns.size_pt, colour=colour))
            found.append(
                set_text(
                    measure,
                    line.text,
                    (left if is_heading else left + _INDENT_MM, at_y),
                    columns.size_pt,
                    colour=colour,
                    is_bold=is_heading,
                )
            )
    return found
