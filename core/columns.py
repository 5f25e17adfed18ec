"""The columns of the table of figures: one list for the window, the picture and the texts."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from fairlead.core.units import (
    DASH,
    format_change_khz,
    format_mhz,
    format_number,
    format_signed,
    format_swr,
    mhz_decimals,
)

if TYPE_CHECKING:
    from collections.abc import Callable

    from fairlead.core.analysis.analysis import Stretch
    from fairlead.core.comparison.rows import Change, Row
    from fairlead.core.document.bench import Bench
    from fairlead.core.figures import Figures


@dataclass(frozen=True, slots=True)
class Column:
    """One column of the table of figures.

    Attributes
    ----------
    id : str
        Stable name.
    heading : str
        As printed; may hold ``{limit}``.
    unit : str
        Unit of the numbers, or empty.
    hint : str
        What the figure means, one sentence.
    text : callable
        Cell text of a row.
    is_change : bool
        Compares with the reference.
    """

    id: str
    heading: str
    unit: str
    hint: str
    text: Callable[[Row], str]
    is_change: bool = False

    def title(self, bench: Bench) -> str:
        """Heading with the bench's limit put in."""
        return self.heading.format(limit=f"{bench.limit_swr:.4g}")


def one_line(text: str) -> str:
    """A name taken from a file's may hold any character; a table's row ends with the line."""
    return " ".join(text.split())


def _mhz(figures: Figures, frequency_hz: float | None) -> str:
    return format_mhz(frequency_hz, mhz_decimals(figures.step_hz))


def _best_match(row: Row) -> str:
    text = _mhz(row.figures, row.figures.best_match_hz)
    return f"{text} (end)" if row.figures.best_match_at_end else text


def _resonance(row: Row) -> str:
    found = row.figures.main_resonance
    return DASH if found is None else _mhz(row.figures, found.frequency_hz)


def _resistance(row: Row) -> str:
    found = row.figures.main_resonance
    return DASH if found is None else format_number(found.resistance_ohm, 1)


def stretch_text(figures: Figures, stretch: Stretch) -> str:
    """A usable stretch in MHz; an open end is marked: "< 49.0 – 51.2"."""
    low = ("< " if stretch.low_is_open else "") + _mhz(figures, stretch.low_hz)
    high = ("> " if stretch.high_is_open else "") + _mhz(figures, stretch.high_hz)
    return f"{low} – {high}"


def _usable(row: Row) -> str:
    return ", ".join(stretch_text(row.figures, part) for part in row.figures.usable) or DASH


def _width(row: Row) -> str:
    stretch = row.figures.main_stretch
    if stretch is not None and stretch.width_hz is None:
        return "> " + format_number((stretch.high_hz - stretch.low_hz) / 1e3, 0)
    width_hz = row.figures.usable_width_hz
    return DASH if width_hz is None else format_number(width_hz / 1e3, 0)


def _of_change(text: Callable[[Change, Row], str]) -> Callable[[Row], str]:
    def cell(row: Row) -> str:
        return "reference" if row.change is None else text(row.change, row)

    return cell


def _blank_reference(text: Callable[[Change, Row], str]) -> Callable[[Row], str]:
    def cell(row: Row) -> str:
        return "" if row.change is None else text(row.change, row)

    return cell


def _shift(change: Change, row: Row) -> str:
    return format_change_khz(change.best_match_shift_hz, row.figures.step_hz)


def _width_change(change: Change, row: Row) -> str:
    return format_change_khz(change.usable_width_change_hz, row.figures.step_hz)


COLUMNS: tuple[Column, ...] = (
    Column("label", "Sweep", "", "Name of the sweep", lambda row: one_line(row.entry.title)),
    Column(
        "condition",
        "Condition",
        "",
        "What was different when it was taken",
        lambda row: one_line(row.entry.condition),
    ),
    Column("best_match", "Best match", "MHz", "Frequency of the least SWR", _best_match),
    Column(
        "best_swr",
        "SWR there",
        "",
        "SWR at the best match",
        lambda row: format_swr(row.figures.best_match_swr),
    ),
    Column(
        "resonance",
        "Resonance",
        "MHz",
        "Where the reactance crosses zero, nearest to the best match",
        _resonance,
    ),
    Column("resistance", "R there", "Ω", "Resistance at that resonance", _resistance),
    Column(
        "usable",
        "SWR below {limit}",
        "MHz",
        "Stretches with the SWR below the limit; < and > mark ends where the sweep stops",
        _usable,
    ),
    Column("width", "Width", "kHz", "Width of the stretch that holds the best match", _width),
    Column(
        "low_edge",
        "SWR low edge",
        "",
        "SWR at the lower band edge",
        lambda row: format_swr(row.figures.swr_low_edge),
    ),
    Column(
        "high_edge",
        "SWR high edge",
        "",
        "SWR at the upper band edge",
        lambda row: format_swr(row.figures.swr_high_edge),
    ),
    Column(
        "worst",
        "Worst SWR",
        "",
        "Largest SWR in the band; a dash if the sweep does not cover it",
        lambda row: format_swr(row.figures.worst_swr),
    ),
    Column(
        "mismatch",
        "Loss there",
        "dB",
        "Mismatch loss at the worst SWR in the band",
        lambda row: format_number(row.figures.worst_mismatch_loss_db, 2),
    ),
    Column(
        "q",
        "Q",
        "",
        "From the slope of the impedance (Yaghjian and Best 2005)",
        lambda row: format_number(row.figures.q, 1),
    ),
    Column(
        "shift",
        "Δ best match",
        "kHz",
        "Shift of the best match against the reference",
        _of_change(_shift),
        is_change=True,
    ),
    Column(
        "shift_percent",
        "Δ best match",
        "%",
        "The same in per cent of the reference's frequency",
        _blank_reference(lambda change, _: format_signed(change.best_match_shift_percent, 2)),
        is_change=True,
    ),
    Column(
        "swr_change",
        "Δ SWR there",
        "",
        "Change of the SWR at the best match",
        _blank_reference(lambda change, _: format_signed(change.best_match_swr_change, 2)),
        is_change=True,
    ),
    Column(
        "width_change",
        "Δ width",
        "kHz",
        "Change of the usable width",
        _blank_reference(_width_change),
        is_change=True,
    ),
    Column(
        "worst_change",
        "Δ worst SWR",
        "",
        "Change of the worst SWR in the band",
        _blank_reference(lambda change, _: format_signed(change.worst_swr_change, 2)),
        is_change=True,
    ),
    Column(
        "q_ratio",
        "Q ratio",
        "",
        "Q divided by the reference's; below 1 may be loss as well as width",
        _blank_reference(lambda change, _: format_number(change.q_ratio, 2)),
        is_change=True,
    ),
)
