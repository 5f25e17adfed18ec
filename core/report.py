"""The comparison as text, tabs, Markdown, CSV and JSON."""

from __future__ import annotations

import csv
import io
import math
import re
from typing import TYPE_CHECKING

from fairlead.core.columns import COLUMNS
from fairlead.core.comparison.rows import compare
from fairlead.core.units import (
    DASH,
)

if TYPE_CHECKING:
    from collections.abc import Sequence

    from fairlead.core.comparison.rows import Change, Row
    from fairlead.core.document.bench import Bench
    from fairlead.core.errors import ReadError


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
                _harmless(row.entry.title),
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
        "steps": [step.as_object() for step in row.entry.steps],
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
