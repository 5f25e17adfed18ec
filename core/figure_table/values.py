"""Values and texts of a row for the table of figures, where one line there is not enough."""

from __future__ import annotations

from typing import TYPE_CHECKING, Literal

from fairlead.core.figure_table.number import KHZ, MHZ
from fairlead.core.json_values import json_value
from fairlead.core.units import DASH

if TYPE_CHECKING:
    from collections.abc import Callable

    from fairlead.core.analysis.segments import Segment
    from fairlead.core.comparison.rows import Row
    from fairlead.core.uncertainty.interval import Interval


def one_line(text: str) -> str:
    """The text without line breaks: labels can hold any character, but a row is one line."""
    return " ".join(text.split())


def segment_text(row: Row, name: str, segment: Segment) -> str:
    """A segment below the limit in MHz; an open end is marked: "< 49.0 – 51.2".

    ``name`` is what its intervals begin with (`Figures.named_segments`): the last digit of each end
    is the one that is known.
    """
    low, high = (
        MHZ.text_as_known(row, hz, best_known(row, f"{name}{end}_hz"))
        for end, hz in (("low", segment.low_hz), ("high", segment.high_hz))
    )
    before, after = "< " if segment.low_is_open else "", "> " if segment.high_is_open else ""
    return f"{before}{low} – {after}{high}"


def best_known(row: Row, key: str) -> Interval | None:
    """The bound of a figure's error, else its repeatability."""
    known = row.intervals.get(key)
    return None if known is None else known.widest


def best_match_text(row: Row) -> str:
    """Frequency of the best match; "(end)" where the SWR still falls at the end of the sweep."""
    best_hz = row.figures.best_match_hz
    text = DASH if best_hz is None else MHZ.text(row, best_hz)
    return f"{text} (end)" if row.figures.best_match_at_end else text


def width_text(row: Row) -> str:
    """Width of the segment with the best match in kHz; "> 500" where the sweep ends inside it."""
    segment = row.figures.main_segment
    if segment is not None and segment.width_hz is None:
        return f"> {KHZ.text(row, segment.high_hz - segment.low_hz)}"
    width_hz = row.figures.usable_width_hz
    return DASH if width_hz is None else KHZ.text(row, width_hz)


def usable_text(row: Row) -> str:
    """All segments below the limit, in MHz."""
    named = sorted(row.figures.named_segments, key=lambda one: one[1].low_hz)
    return ", ".join(segment_text(row, name, segment) for name, segment in named) or DASH


def end_of(low_or_high: Literal["low", "high"]) -> Callable[[Row], float | None]:
    """An end of the segment with the best match; None also where the sweep ends first."""

    def end(row: Row) -> float | None:
        segment = row.figures.main_segment
        if segment is None or getattr(segment, f"{low_or_high}_is_open"):
            return None
        return segment.low_hz if low_or_high == "low" else segment.high_hz

    return end


def end_is_open(low_or_high: Literal["low", "high"]) -> Callable[[Row], bool | None]:
    """Whether the sweep stops inside the segment with the best match, at that end."""

    def is_open(row: Row) -> bool | None:
        segment = row.figures.main_segment
        if segment is None:
            return None
        return segment.low_is_open if low_or_high == "low" else segment.high_is_open

    return is_open


def further_usable(row: Row) -> list[tuple[object, ...]]:
    """The other segments below the limit: both ends (None if open), and whether they are open."""
    return [
        (
            None if part.low_is_open else part.low_hz,
            None if part.high_is_open else part.high_hz,
            part.low_is_open,
            part.high_is_open,
        )
        for _, part in row.figures.named_segments
        if part is not row.figures.main_segment
    ]


def further_resonances(row: Row) -> list[tuple[object, ...]]:
    """The other resonances: frequency in Hz and resistance in ohms."""
    main = row.figures.main_resonance
    return [
        (found.frequency_hz, found.resistance_ohm)
        for found in row.figures.resonances
        if found is not main
    ]


def resonance_hz(row: Row) -> float | None:
    """Frequency of the resonance nearest to the best match."""
    found = row.figures.main_resonance
    return None if found is None else found.frequency_hz


def resistance_ohm(row: Row) -> float | None:
    """Resistance at that resonance."""
    found = row.figures.main_resonance
    return None if found is None else found.resistance_ohm


def usable(row: Row) -> list[dict[str, object]]:
    """All segments below the limit, as JSON has them."""
    return [
        {
            "low_hz": part.low_hz,
            "high_hz": part.high_hz,
            "low_is_open": part.low_is_open,
            "high_is_open": part.high_is_open,
        }
        for part in row.figures.usable
    ]


def resonances(row: Row) -> list[dict[str, object]]:
    """All resonances, as JSON has them."""
    return [
        {"frequency_hz": found.frequency_hz, "resistance_ohm": json_value(found.resistance_ohm)}
        for found in row.figures.resonances
    ]


def verdict(row: Row) -> dict[str, object] | None:
    """The verdict and its reason, as JSON has them."""
    found = row.figures.verdict
    return None if found is None else {"covers": found.covers, "reason": found.reason}


def verdict_text(row: Row) -> str:
    """The verdict in words: yes, no, or cannot tell; dots until it is settled."""
    found = row.figures.verdict
    settled = DASH if found is None else found.covers
    return "…" if found is not None and found.is_pending else settled


def change(key: str) -> Callable[[Row], float | None]:
    """A change by its name in `Change`, which is also its key in JSON."""

    def value(row: Row) -> float | None:
        found: float | None = None if row.change is None else getattr(row.change, key)
        return found

    return value


def warnings(row: Row) -> list[dict[str, object]]:
    """Notices of the reader and findings of the checks, as JSON has them."""
    return [{"code": found.code, "text": found.text} for found in row.said]
