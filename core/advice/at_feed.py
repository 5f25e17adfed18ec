"""The sweeps of a bench at the feed point, before any what-if, and back at the radio.

A tuning shift moves the antenna, not the line: for a sweep taken at the radio the line is removed,
the sweep is shifted, and the line is added again.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

import numpy as np

from fairlead.core.advice.budget import budget
from fairlead.core.advice.compromise import Moved
from fairlead.core.advice.radio import RADIO_OHM
from fairlead.core.document.measuring_errors import errors_of
from fairlead.core.document.planes import line_of, line_step, with_feed_line
from fairlead.core.errors import FairleadError
from fairlead.core.guarded_figures import figures_or_reasons
from fairlead.core.reflection import renormalise

if TYPE_CHECKING:
    from collections.abc import Collection, Sequence

    from fairlead.core.advice.budget import Station
    from fairlead.core.analysis.analyses import Analyses
    from fairlead.core.bands import Band
    from fairlead.core.document.bench import Bench
    from fairlead.core.document.entry import Entry

_NO_LINE = "taken at the radio, and its feed line is not known: state the line"
_IN_BAND = 201


@dataclass(frozen=True, slots=True)
class AtFeed:
    """A sweep at the feed point.

    Attributes
    ----------
    label : str
    key : int
        Of its entry.
    moved : Moved
    station : Station
        With the line that the sweep states, if any.
    """

    label: str
    key: int
    moved: Moved
    station: Station


def at_feed(
    bench: Bench, analyses: Analyses, station: Station, keys: Collection[int] | None = None
) -> tuple[tuple[AtFeed, ...], dict[str, str]]:
    """Sweeps at the feed point, and those that cannot be converted to it.

    Parameters
    ----------
    bench : Bench
    analyses : Analyses
    station : Station
        Its line applies to sweeps taken at the radio that state none.
    keys : collection of int, optional
        Only these sweeps.

    Returns
    -------
    tuple of AtFeed and dict of str to str
        The second has the reasons by label.
    """
    found, left_out = [], {}
    for entry in bench.entries:
        if keys is not None and entry.key not in keys:
            continue
        try:
            alone = _entry_at_feed(bench, entry, station)
        except FairleadError as error:
            left_out[entry.label] = str(error)
            continue
        analysis = analyses.of(alone.sweep, bench.z0_ohm)
        if analysis.failure:
            left_out[entry.label] = analysis.failure
            continue
        figures = figures_or_reasons(analysis, bench.band, bench.limit_swr)
        errors = errors_of(bench, alone)
        line = line_of(alone.steps)
        found.append(
            AtFeed(
                entry.label,
                entry.key,
                Moved(
                    analysis,
                    None if figures.best_match_at_end else figures.best_match_hz,
                    None if errors is None else errors.bound,
                ),
                station
                if line is None
                else replace(station, line=line.line, length_m=line.length_m),
            )
        )
    return tuple(found), left_out


def _entry_at_feed(bench: Bench, entry: Entry, station: Station) -> Entry:
    steps = tuple(step for step in entry.steps if not step.is_what_if)
    alone = replace(entry, steps=steps)
    if alone.seen_at != "radio":
        return alone
    at_feed = alone.steps_at("feed")
    if at_feed is not None:
        return replace(alone, steps=at_feed)
    if station.line is None:
        raise FairleadError(_NO_LINE)
    step = line_step("radio", station.line, station.length_m)
    moved = bench.with_steps(entry.key, steps)
    return with_feed_line(moved, [entry.key], "radio", step).entry(entry.key)


def worst_at_radio(sweeps: Sequence[AtFeed], band: Band, shift_percent: float) -> float | None:
    """The worst SWR at the radio in a band, over all sweeps, after a tuning shift.

    None if a sweep does not cover the band. Without a known line it is the SWR at the feed point,
    at 50 ohm.
    """
    at_hz = np.linspace(band.low_hz, band.high_hz, _IN_BAND)
    source_hz = at_hz / (1 + shift_percent / 100)
    worst = 1.0
    for one in sweeps:
        analysis = one.moved.analysis
        ends_hz = analysis.frequency_hz
        if source_hz[0] < ends_hz[0] or source_hz[-1] > ends_hz[-1]:
            return None
        if analysis.reflection is None:
            seen = np.sqrt(analysis.power_at(source_hz))
            ratio = budget(one.station, at_hz, seen, analysis.z0_ohm).swr_radio
        else:
            gamma = renormalise(analysis.reflection_at(source_hz), analysis.z0_ohm, RADIO_OHM)
            ratio = budget(one.station, at_hz, gamma, RADIO_OHM).swr_radio
        worst = max(worst, float(ratio.max()))
    return worst
