"""The comparison as text: one list of columns for the window, the picture and the command line."""

from __future__ import annotations

import csv
import io
import math
import re
from dataclasses import dataclass
from typing import TYPE_CHECKING

from core.comparison import compare
from core.units import (
    DASH,
    format_change_khz,
    format_mhz,
    format_number,
    format_signed,
    format_swr,
    mhz_decimals,
)

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from core.analysis import Stretch
    from core.bench import Bench
    from core.comparison import Change, Row
    from core.errors import ReadError
    from core.figures import Figures


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
    Column("label", "Sweep", "", "Name of the sweep", lambda row: _one_line(row.entry.label)),
    Column(
        "condition",
        "Condition",
        "",
        "What was different when it was taken",
        lambda row: _one_line(row.entry.condition),
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


def plain_mhz(frequency_hz: float) -> str:
    """A frequency in MHz with no more decimals than it needs: "50", "10.15".

    To the hertz, but not beyond nine digits: files give 110 GHz as 109.999999992.
    """
    decimals = min(6, max(0, 8 - math.floor(math.log10(frequency_hz / 1e6))))
    text = f"{frequency_hz / 1e6:.{decimals}f}"
    return text.rstrip("0").rstrip(".") if decimals else text


def heading_line(bench: Bench) -> str:
    """Band, limit and reference impedance in one line."""
    band = bench.band
    name = f"{band.name}: " if band.name else ""
    edges = f"{plain_mhz(band.low_hz)} – {plain_mhz(band.high_hz)} MHz"
    return f"{name}{edges}, SWR limit {bench.limit_swr:.4g}, at {bench.z0_ohm:.4g} Ω"


def cells(bench: Bench) -> tuple[list[str], list[list[str]]]:
    """Titles with units, and the cell texts of every sweep."""
    titles = [
        f"{column.title(bench)} ({column.unit})" if column.unit else column.title(bench)
        for column in COLUMNS
    ]
    return titles, [[column.text(row) for column in COLUMNS] for row in compare(bench)]


def as_text(bench: Bench) -> str:
    """The table in columns of blanks, turned so that each sweep is a column of its own."""
    titles, rows = cells(bench)
    turned = [[title, *(row[i] or DASH for row in rows)] for i, title in enumerate(titles)]
    widths = [max(len(line[i]) for line in turned) for i in range(len(rows) + 1)]
    lines = [heading_line(bench)]
    lines += [
        "  ".join(cell.ljust(width) for cell, width in zip(line, widths, strict=True)).rstrip()
        for line in turned
    ]
    return "\n".join(lines) + "\n"


def as_tabbed(bench: Bench) -> str:
    """The table with tabs, one row a sweep, for pasting into a spreadsheet."""
    titles, rows = cells(bench)
    return "".join("\t".join(line) + "\n" for line in [titles, *rows])


def as_markdown(bench: Bench) -> str:
    """The table in Markdown, one row a sweep."""
    titles, rows = cells(bench)

    def line(values: Sequence[str]) -> str:
        return "| " + " | ".join(_escaped(value) for value in values) + " |\n"

    rule = "|" + "|".join(" --- " for _ in titles) + "|\n"
    body = "".join(line([value or DASH for value in row]) for row in rows)
    return f"{heading_line(bench)}\n\n{line(titles)}{rule}{body}"


def as_csv(bench: Bench) -> str:
    """Numbers in full precision with units in the header, empty where a figure does not exist."""
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\n")
    writer.writerow(_CSV_HEADER)
    for row in compare(bench):
        own, change = row.figures, row.change
        stretch, resonance = own.main_stretch, own.main_resonance
        values: list[float | None] = [
            own.best_match_hz,
            own.best_match_swr,
            None if resonance is None else resonance.frequency_hz,
            None if resonance is None else resonance.resistance_ohm,
            None if stretch is None or stretch.low_is_open else stretch.low_hz,
            None if stretch is None or stretch.high_is_open else stretch.high_hz,
            own.swr_low_edge,
            own.swr_high_edge,
            own.worst_swr,
            own.worst_hz,
            own.worst_mismatch_loss_db,
            own.q,
        ]
        values += [None] * 6 if change is None else list(_change_values(change))
        writer.writerow(
            [
                _harmless(row.entry.label),
                _harmless(row.entry.condition),
                _harmless(row.entry.file),
                *("" if value is None else repr(float(value)) for value in values),
            ]
        )
    return out.getvalue()


_CSV_HEADER = (
    "label",
    "condition",
    "file",
    "best_match_hz",
    "best_match_swr",
    "resonance_hz",
    "resonance_resistance_ohm",
    "usable_low_hz",
    "usable_high_hz",
    "swr_low_edge",
    "swr_high_edge",
    "worst_swr",
    "worst_hz",
    "worst_mismatch_loss_db",
    "q",
    "best_match_shift_hz",
    "best_match_shift_percent",
    "best_match_swr_change",
    "usable_width_change_hz",
    "worst_swr_change",
    "q_ratio",
)


def _change_values(change: Change) -> tuple[float | None, ...]:
    return (
        change.best_match_shift_hz,
        change.best_match_shift_percent,
        change.best_match_swr_change,
        change.usable_width_change_hz,
        change.worst_swr_change,
        change.q_ratio,
    )


def _harmless(text: str) -> str:
    """Text that no spreadsheet takes for a formula, and no reader of CSV for a broken line."""
    text = text.replace("\r", " ")
    return f"'{text}" if text.lstrip(" ")[:1] in ("=", "+", "-", "@", "\t") else text


def _one_line(text: str) -> str:
    """A name taken from a file's may hold any character; a table's row ends with the line."""
    return " ".join(text.split())


def _escaped(text: str) -> str:
    """Text that Markdown shows as it is and keeps in its cell."""
    return re.sub(r"([\\|<])", r"\\\1", text)


def as_json(bench: Bench, unread: Sequence[ReadError] = ()) -> dict[str, object]:
    """The object of the headless contract: null for what does not exist, "inf" for infinity."""
    rows = compare(bench)
    reference = bench.reference
    # Without sweeps and without a choice the bench has a band only for show.
    band_is_known = bench.has_own_band or bool(bench.entries)
    return {
        "band": {
            "name": bench.band.name,
            "low_hz": bench.band.low_hz if band_is_known else None,
            "high_hz": bench.band.high_hz if band_is_known else None,
        },
        "limit_swr": bench.limit_swr,
        "z0_ohm": bench.z0_ohm,
        "reference": None if reference is None else reference.label,
        "sweeps": [_sweep_object(row) for row in rows],
        "changes": [
            {
                "label": row.entry.label,
                "best_match_shift_hz": row.change.best_match_shift_hz,
                "best_match_shift_percent": row.change.best_match_shift_percent,
                "best_match_swr_change": row.change.best_match_swr_change,
                "usable_width_change_hz": row.change.usable_width_change_hz,
                "worst_swr_change": row.change.worst_swr_change,
                "q_ratio": row.change.q_ratio,
            }
            for row in rows
            if row.change is not None
        ],
        "unread": [
            {"file": error.file, "line": error.line, "reason": error.reason, "advice": error.advice}
            for error in unread
        ],
    }


def _sweep_object(row: Row) -> dict[str, object]:
    own = row.figures
    return {
        "label": row.entry.label,
        "file": row.entry.file,
        "points": own.points,
        "low_hz": own.low_hz,
        "high_hz": own.high_hz,
        "z0_ohm": row.entry.sweep.z0_ohm,
        "has_phase": own.has_phase,
        "covers_band": own.covers_band,
        "best_match_hz": own.best_match_hz,
        "best_match_swr": _number(own.best_match_swr),
        "best_match_at_end": own.best_match_at_end,
        "resonances": [
            {"frequency_hz": found.frequency_hz, "resistance_ohm": found.resistance_ohm}
            for found in own.resonances
        ],
        "usable": [
            {
                "low_hz": part.low_hz,
                "high_hz": part.high_hz,
                "low_is_open": part.low_is_open,
                "high_is_open": part.high_is_open,
            }
            for part in own.usable
        ],
        "swr_low_edge": _number(own.swr_low_edge),
        "swr_high_edge": _number(own.swr_high_edge),
        "worst_swr": _number(own.worst_swr),
        "worst_hz": own.worst_hz,
        "worst_mismatch_loss_db": _number(own.worst_mismatch_loss_db),
        "q": own.q,
        "warnings": [{"code": notice.code, "text": notice.text} for notice in row.entry.notices],
    }


def _number(value: float | None) -> float | str | None:
    return "inf" if value is not None and math.isinf(value) else value
