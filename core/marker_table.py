"""The sweeps read off at the markers, for window, texts, CSV, JSON and paper alike."""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import TYPE_CHECKING

from fairlead.core.comparison.at_marker import value_at
from fairlead.core.comparison.viewed import needs_bench, viewed
from fairlead.core.json_values import json_value
from fairlead.core.table_lines import plain_mhz
from fairlead.core.units import DASH
from fairlead.core.views.reactance import REACTANCE
from fairlead.core.views.resistance import RESISTANCE
from fairlead.core.views.return_loss import RETURN_LOSS
from fairlead.core.views.swr import SWR

if TYPE_CHECKING:
    from collections.abc import Sequence

    from fairlead.core.analysis.analyses import Analyses
    from fairlead.core.analysis.analysis import Analysis
    from fairlead.core.comparison.at_marker import PointValue
    from fairlead.core.comparison.rows import Row
    from fairlead.core.document.bench import Bench
    from fairlead.core.document.entry import Entry
    from fairlead.core.document.session import Marker
    from fairlead.core.views.quantity import Quantity

ALWAYS: tuple[Quantity, ...] = (SWR, RESISTANCE, REACTANCE)
"""What is read off whatever is shown."""
_KEYS = {
    SWR.id: "swr",
    RETURN_LOSS.id: "return_loss_db",
    RESISTANCE.id: "resistance_ohm",
    REACTANCE.id: "reactance_ohm",
}
_WRITTEN = (SWR, RETURN_LOSS, RESISTANCE, REACTANCE)
_SHORT = {RESISTANCE.id: "R (Ω)", REACTANCE.id: "X (Ω)"}
_NUMBER = re.compile(r"[-+−>∞0-9–].*")


@dataclass(frozen=True, slots=True)
class MarkerCell:
    """A value as text without its unit; a dash with its reason where there is none."""

    text: str
    why_not: str = ""


def marker_title(marker: Marker) -> str:
    """Frequency and name: "50.2 MHz", "50.2 MHz, beacon"."""
    frequency = f"{plain_mhz(marker.frequency_hz)} MHz"
    return f"{frequency}, {marker.name}" if marker.name else frequency


def heading_of(quantity: Quantity) -> str:
    """A short heading with its unit."""
    return _SHORT.get(quantity.id, quantity.axis_title)


def columns_for(shown: Quantity) -> tuple[Quantity, ...]:
    """What is read off while a quantity is plotted: that one, SWR, R and X.

    Where frequencies are divided by the best match, a marker's frequency is another one for each
    sweep; the SWR is then the one that was measured.
    """
    return ALWAYS if shown.is_scaled or shown in ALWAYS else (shown, *ALWAYS)


class MarkerTable:
    """The values of sweeps at the markers of a bench, worked out when they are asked for.

    Attributes
    ----------
    columns : tuple of Quantity
        For each marker, as in the registry.
    """

    def __init__(self, bench: Bench, analyses: Analyses, shown: Quantity) -> None:
        self._bench, self._analyses = bench, analyses
        self.columns = columns_for(shown)
        self._compared = {
            column.id: viewed(bench, analyses, column)
            for column in self.columns
            if needs_bench(column)
        }

    def cell(self, entry: Entry, marker: Marker, column: Quantity) -> MarkerCell:
        """One value."""
        compared = self._compared.get(column.id)
        if compared is None:
            analysis = self._analyses.of(entry.sweep, self._bench.z0_ohm)
            return _cell(column, value_at(column, analysis, marker.frequency_hz))
        drawn = compared.drawn.get(entry.key)
        if drawn is None:
            return MarkerCell(DASH, compared.why_not.get(entry.key, ""))
        return _cell(column, value_at(compared.quantity, drawn, marker.frequency_hz))


def _cell(column: Quantity, found: PointValue) -> MarkerCell:
    if found.value is None:
        return MarkerCell(DASH, found.why_not)
    number = _NUMBER.search(column.text(found.value))
    text = "" if number is None else number.group().removesuffix(column.unit).strip()
    if found.is_bound and text != "∞":
        text = f"{_sign(column)} {text}"
    return MarkerCell(text)


def marker_tables(bench: Bench, rows: Sequence[Row]) -> list[tuple[list[list[str]], list[str]]]:
    """For each marker a table as rows of cells, headings first, and the lines below it."""
    return [_table_at(marker, rows) for marker in bench.markers]


def _table_at(marker: Marker, rows: Sequence[Row]) -> tuple[list[list[str]], list[str]]:
    table = [[f"At {marker_title(marker)}", *(heading_of(column) for column in _WRITTEN)]]
    below = []
    for row in rows:
        cells = [_cell(one, value_at(one, row.analysis, marker.frequency_hz)) for one in _WRITTEN]
        table.append([row.entry.title, *(cell.text for cell in cells)])
        reasons = dict.fromkeys(cell.why_not for cell in cells if cell.why_not)
        below += [f"{row.entry.title}: {reason}." for reason in reasons]
    return table, below


def marker_objects(bench: Bench, rows: Sequence[Row]) -> list[dict[str, object]]:
    """The markers for JSON; see `fairlead.core.report.as_json`."""
    return [
        {
            "frequency_hz": marker.frequency_hz,
            "name": marker.name or None,
            "values": [_object_at(marker, row.entry.label, row.analysis) for row in rows],
        }
        for marker in bench.markers
    ]


def _object_at(marker: Marker, label: str, analysis: Analysis) -> dict[str, object]:
    found = {_KEYS[one.id]: value_at(one, analysis, marker.frequency_hz) for one in _WRITTEN}
    return {
        "label": label,
        **{key: json_value(one.value) for key, one in found.items()},
        "why_not": {key: one.why_not for key, one in found.items() if one.value is None},
        # The SWR is at least that, the return loss at most.
        "bounds": sorted(key for key, one in found.items() if one.is_bound),
    }


def marker_headers(marker: Marker) -> list[str]:
    """Headers of a marker's columns in CSV: "swr_at_50.2_mhz" and so on."""
    at = f"at_{marker.frequency_hz / 1e6:.12g}_mhz"
    return [f"{_KEYS[one.id]}_{at}" for one in _WRITTEN]


def marker_values(marker: Marker, analysis: Analysis) -> list[tuple[float | None, str]]:
    """A sweep's values in these columns, each with the sign of a bound or an empty text."""
    found = [(one, value_at(one, analysis, marker.frequency_hz)) for one in _WRITTEN]
    return [(value.value, _sign(one) if value.is_bound else "") for one, value in found]


def _sign(column: Quantity) -> str:
    return "<" if column.is_falling else ">"
