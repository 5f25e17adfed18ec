"""Type sizes of the picture, and setting text with a measure of its width."""

from __future__ import annotations

from typing import Literal, Protocol

from fairlead.app.printing.shapes import CAP_HEIGHT, MM_PER_PT, Text

TITLE_PT = 9.5
LABEL_PT = 7.0
TICK_PT = 6.5
SMALLEST_PT = 6.0
ELLIPSIS = "…"

Align = Literal["left", "centre", "right"]


class Measure(Protocol):
    """Measures text; `fairlead.app.printing.fonts.FontMeasure` does it with the real font."""

    def width_mm(self, text: str, size_pt: float, *, is_bold: bool = False) -> float:
        """Width of one line in mm."""
        ...


def clean(text: str) -> str:
    """The text without control characters, which SVG forbids and paper cannot show."""
    return " ".join("".join(c if c.isprintable() else " " for c in text).split())


def line_height_mm(size_pt: float) -> float:
    """Distance between two baselines."""
    return size_pt * MM_PER_PT * 1.25


def cap_mm(size_pt: float) -> float:
    """Height of a capital letter."""
    return size_pt * MM_PER_PT * CAP_HEIGHT


def set_text(
    measure: Measure,
    text: str,
    at: tuple[float, float],
    size_pt: float,
    *,
    colour: str,
    align: Align = "left",
    is_bold: bool = False,
    halo: bool = False,
) -> Text:
    """A text on the baseline through ``at`` (x, y in mm), aligned to x."""
    width_mm = measure.width_mm(text, size_pt, is_bold=is_bold)
    shift_mm = {"left": 0.0, "centre": width_mm / 2, "right": width_mm}[align]
    return Text(
        text, at[0] - shift_mm, at[1], width_mm, size_pt, colour, is_bold=is_bold, halo=halo
    )


def set_upright(
    measure: Measure, text: str, at: tuple[float, float], size_pt: float, *, colour: str
) -> Text:
    """A text that reads upwards, its centre at height ``at[1]``, its baseline at ``at[0]``."""
    width_mm = measure.width_mm(text, size_pt)
    return Text(text, at[0], at[1] + width_mm / 2, width_mm, size_pt, colour, is_upright=True)


def elide(
    measure: Measure, text: str, width_mm: float, size_pt: float, *, is_bold: bool = False
) -> str:
    """The text, or both its ends with "…" between, to fit a width.

    Names of sweeps differ at the end as often as at the beginning.
    """
    if measure.width_mm(text, size_pt, is_bold=is_bold) <= width_mm:
        return text
    low, high = 0, len(text) - 1
    while low < high:
        kept = (low + high + 1) // 2
        if measure.width_mm(_shortened(text, kept), size_pt, is_bold=is_bold) <= width_mm:
            low = kept
        else:
            high = kept - 1
    return _shortened(text, low)


def _shortened(text: str, kept: int) -> str:
    tail = kept // 2
    return text[: kept - tail].rstrip() + ELLIPSIS + (text[-tail:].lstrip() if tail else "")


def wrap(measure: Measure, text: str, width_mm: float, size_pt: float) -> list[str]:
    """The text broken at blanks into lines that fit; a longer word is elided."""
    lines: list[str] = []
    line = ""
    for word in text.split(" "):
        longer = f"{line} {word}" if line else word
        if measure.width_mm(longer, size_pt) <= width_mm:
            line = longer
            continue
        if line:
            lines.append(line)
        line = elide(measure, word, width_mm, size_pt)
    return [*lines, line] if line else lines
