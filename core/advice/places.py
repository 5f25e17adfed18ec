"""The power budget of one sweep at the band edges, the best match and the worst point.

If the SWR at a place has an interval, so does the power: it is worked out for the reflection at
both ends of the interval, with the phase unchanged.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Literal

import numpy as np

from fairlead.core.advice.budget import Station, Steps, budget
from fairlead.core.advice.radio import RADIO_OHM
from fairlead.core.document.planes import line_of
from fairlead.core.feed_line import carried
from fairlead.core.reflection import magnitude_from_swr, renormalise
from fairlead.core.transform.transformer import TransformerRemoved
from fairlead.core.uncertainty.interval import Interval

if TYPE_CHECKING:
    from fairlead.core.arrays import ComplexArray, FloatArray
    from fairlead.core.bands import Band
    from fairlead.core.comparison.rows import Row

PlaceKey = Literal["low_edge", "high_edge", "best_match", "worst"]
PLACE_WORDS: dict[PlaceKey, str] = {
    "low_edge": "low edge",
    "high_edge": "high edge",
    "best_match": "best match",
    "worst": "worst point",
}
# The figure whose interval says how well the SWR at a place is known.
_FIGURE: dict[PlaceKey, str] = {
    "low_edge": "swr_low_edge",
    "high_edge": "swr_high_edge",
    "best_match": "best_match_swr",
    "worst": "worst_swr",
}
# Frequencies that differ by less than this share are the same place.
_SAME = 1e-9
_ABOVE_ONE = "|reflection| is above 1 there: more comes back than was sent"
_NO_BAND = "the sweep does not cover the band without gaps"


@dataclass(frozen=True, slots=True)
class Place:
    """The budget at one frequency.

    Attributes
    ----------
    key : str
        low_edge, high_edge, best_match or worst.
    frequency_hz : float or None
    steps : Steps or None
    power : Interval or None
        In W, from the interval of the SWR; None if there is none.
    is_bound : bool
        The interval includes the analyzer's error, not only noise.
    why_not : str
        Why there are no steps.
    """

    key: PlaceKey
    frequency_hz: float | None
    steps: Steps | None
    power: Interval | None = None
    is_bound: bool = False
    why_not: str = ""


@dataclass(frozen=True, slots=True)
class SweepBudget:
    """The budget of one sweep.

    Attributes
    ----------
    station : Station
        With the line and the transformer stated in the sweep's own steps.
    places : tuple of Place
    assumptions : tuple of str
        Sentences without a full stop.
    """

    station: Station
    places: tuple[Place, ...]
    assumptions: tuple[str, ...]

    def place(self, key: PlaceKey) -> Place:
        """The place with that key."""
        return next(one for one in self.places if one.key == key)


def budget_of(row: Row, band: Band, station: Station) -> SweepBudget:
    """The budget of a sweep as it is seen.

    Parameters
    ----------
    row : Row
        With intervals, if they are known.
    band : Band
    station : Station
        A line stated in the sweep's own steps takes precedence over the station's line.
    """
    own = station_of(row, station)
    refused = _why_no_budget(row)
    figures = row.figures
    at_hz: dict[PlaceKey, float | None] = {
        "low_edge": band.low_hz,
        "high_edge": band.high_hz,
        "best_match": figures.best_match_hz,
        "worst": None if refused else _worst_hz(row, band, own),
    }
    places = tuple(_place(row, own, key, hz, refused) for key, hz in at_hz.items())
    return SweepBudget(own, places, _assumptions(row, own))


def station_of(row: Row, station: Station) -> Station:
    """The station with the line and transformer stated in the sweep's own steps."""
    entry = row.entry
    line = line_of(entry.steps)
    if line is not None:
        station = replace(station, line=line.line, length_m=line.length_m)
    for step in entry.steps:
        if step.is_on and isinstance(step, TransformerRemoved):
            station = replace(
                station, transformer_loss_db=step.loss_db, transformer_ratio=step.ratio
            )
    return station


def at_line_end(
    row: Row, station: Station, frequency_hz: FloatArray, seen: ComplexArray | FloatArray
) -> ComplexArray | FloatArray:
    """The reflection at the antenna's end of the line, at 50 ohm, shape (n,).

    Parameters
    ----------
    row : Row
    station : Station
        From `station_of`.
    frequency_hz : FloatArray, shape (n,)
    seen : ComplexArray or FloatArray, shape (n,)
        At the analysis's reference impedance; real numbers are magnitudes.
    """
    line, at_radio = station.line, row.entry.seen_at == "radio"
    if not np.iscomplexobj(seen):
        sizes = np.abs(seen)
        if line is None or not at_radio:
            return sizes
        lost: FloatArray = sizes * 10 ** (line.loss_db(frequency_hz, station.length_m) / 10)
        return lost
    gamma = np.asarray(seen, dtype=np.complex128)
    z0_ohm = row.analysis.z0_ohm
    if at_radio:
        gamma = renormalise(gamma, z0_ohm, RADIO_OHM)
        if line is None:
            return gamma
        return carried(line.constants(frequency_hz), -station.length_m, gamma, RADIO_OHM)
    if not any(one.is_on and isinstance(one, TransformerRemoved) for one in row.entry.steps):
        return renormalise(gamma, z0_ohm, RADIO_OHM)
    behind = renormalise(gamma, z0_ohm, RADIO_OHM * station.transformer_ratio)
    result: ComplexArray = behind * 10 ** (-station.transformer_loss_db / 10)
    return result


def _why_no_budget(row: Row) -> str:
    analysis = row.analysis
    if analysis.failure:
        return analysis.failure
    if analysis.reflection is None and abs(analysis.z0_ohm - RADIO_OHM) > 0.01 * RADIO_OHM:
        return f"without phase a budget needs readings at {RADIO_OHM:.0f} Ω"
    return ""


def _seen(row: Row, frequency_hz: FloatArray) -> ComplexArray | FloatArray:
    if row.analysis.reflection is None:
        sizes: FloatArray = np.sqrt(row.analysis.power_at(frequency_hz))
        return sizes
    return row.analysis.reflection_at(frequency_hz)


def _budget(row: Row, station: Station, hz: FloatArray, seen: ComplexArray | FloatArray) -> Steps:
    return budget(station, hz, at_line_end(row, station, hz, seen), RADIO_OHM).at(0)


def _worst_hz(row: Row, band: Band, station: Station) -> float | None:
    """The frequency where the least power arrives; None unless the sweep covers the band."""
    if row.figures.worst_hz is None:
        return None
    inside = row.analysis.track.frequency_hz
    inside = inside[(inside > band.low_hz) & (inside < band.high_hz)]
    hz = np.concatenate(([band.low_hz], inside, [band.high_hz]))
    power_w = budget(station, hz, at_line_end(row, station, hz, _seen(row, hz)), RADIO_OHM).power_w
    return None if np.isnan(power_w).any() else float(hz[power_w.argmin()])


def _place(row: Row, station: Station, key: PlaceKey, hz: float | None, refused: str) -> Place:
    figures = row.figures
    if refused or hz is None:
        reason = figures.why_not.get(f"{key}_hz", figures.why_not.get(_FIGURE[key], ""))
        return Place(key, hz, None, why_not=refused or reason or _NO_BAND)
    if not row.analysis.frequency_hz[0] <= hz <= row.analysis.frequency_hz[-1]:
        return Place(key, hz, None, why_not=figures.why_not[_FIGURE[key]])
    at_hz = np.array([hz])
    seen = _seen(row, at_hz)
    figure, known = _known_at(row, key, hz)
    if figure is not None:
        seen = _of_size(seen, figure)
    steps = _budget(row, station, at_hz, seen)
    if math.isnan(steps.power_w):
        return Place(key, hz, None, why_not=_ABOVE_ONE)
    if known is None:
        return Place(key, hz, steps)
    ends = [
        _budget(row, station, at_hz, _of_size(seen, max(1.0, end))).power_w
        for end in (known[0].high, known[0].low)
    ]
    power = Interval(*(0.0 if math.isnan(one) else one for one in ends))
    return Place(key, hz, steps, power, known[1])


def _known_at(
    row: Row, key: PlaceKey, hz: float
) -> tuple[float | None, tuple[Interval, bool] | None]:
    """The SWR in the table for a place, its interval, and whether that is a bound.

    The worst point of the power is nearly always that of the SWR. If it is not, the SWR in the
    table belongs to another frequency and is not used.
    """
    figures = row.figures
    name = _FIGURE[key]
    if key == "worst" and abs((figures.worst_hz or 0.0) - hz) > _SAME * hz:
        return None, None
    ratio = getattr(figures, name)
    found = row.intervals.get(name)
    if ratio is None or not math.isfinite(ratio):
        return None, None
    known = None if found is None else found.widest
    if found is None or known is None:
        return ratio, None
    return ratio, (known, found.accuracy is not None)


def _of_size(seen: ComplexArray | FloatArray, ratio: float) -> ComplexArray | FloatArray:
    """The same phase with the magnitude that belongs to an SWR."""
    rho, size = float(magnitude_from_swr(ratio)), float(np.abs(seen[0]))
    return seen * (rho / size) if size > 0 else np.full_like(seen, rho)


def _assumptions(row: Row, station: Station) -> tuple[str, ...]:
    said = [station.radio.words]
    if station.line is None:
        said.append("no feed line, because none is stated")
    else:
        said.append(f"{station.length_m:.4g} m of {station.line.name or 'the stated line'}")
    plane = row.entry.seen_at
    if plane is None:
        said.append("the sweep counts as taken at the feed point, because nothing else is stated")
    elif plane == "radio" and station.line is None:
        said.append("taken at the radio: the loss of the line is not included")
    if row.analysis.reflection is None and station.line is not None:
        said.append("without phase the line is assumed to be 50 Ω")
    if station.transformer_loss_db:
        said.append(f"{station.transformer_loss_db:.3g} dB lost in a matched transformer")
    return tuple(said)
