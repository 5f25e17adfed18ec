"""Matching networks for an antenna: at one frequency or for a whole band, shown for every sweep.

Each network is solved exactly, then built from what can be bought: coils and capacitors of a
standard series with a finite Q, stubs and sections of a real line with its loss and velocity
factor. The figures are those of the network as built. A match made for the dry antenna is also
shown on the wet one, which it may make worse.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, field, replace
from itertools import product
from typing import TYPE_CHECKING

import numpy as np

from fairlead.core.advice.budget import budget
from fairlead.core.advice.elements import Lumped, Network, Section, Stub, path, through
from fairlead.core.advice.match_solutions import (
    l_networks,
    quarter_wave_m,
    quarter_waves,
    series_sections,
    single_stubs,
)
from fairlead.core.advice.radio import RADIO_OHM
from fairlead.core.analysis.analysis import analyse
from fairlead.core.document.advice_request import SERIES_NAMES
from fairlead.core.errors import FairleadError
from fairlead.core.feed_line import carried
from fairlead.core.guarded_figures import figures_or_reasons
from fairlead.core.line_types import line_of_type
from fairlead.core.reflection import impedance_ohm, renormalise
from fairlead.core.sweep import Sweep

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from fairlead.core.advice.at_feed import AtFeed
    from fairlead.core.advice.elements import End, Where
    from fairlead.core.arrays import ComplexArray, FloatArray
    from fairlead.core.bands import Band
    from fairlead.core.feed_line import FeedLine
    from fairlead.core.figures import Figures
    from fairlead.core.transform.step import Plane

# IEC 60063, from memory.
E12 = (1.0, 1.2, 1.5, 1.8, 2.2, 2.7, 3.3, 3.9, 4.7, 5.6, 6.8, 8.2)
E24 = tuple(sorted((*E12, 1.1, 1.3, 1.6, 2.0, 2.4, 3.0, 3.6, 4.3, 5.1, 6.2, 7.5, 9.1)))
SERIES = dict(zip(SERIES_NAMES, (E12, E24), strict=True))
# Common practice, no source: a carefully wound air coil, a mica or ceramic capacitor.
COIL_Q = 150.0
CAPACITOR_Q = 1000.0
# Below these, strays dominate at VHF (common practice, no source).
LEAST_FARAD = 1e-12
LEAST_HENRY = 5e-9
VHF_HZ = 30e6
# A piece of line shorter than this disappears in the connectors (common practice, no source).
_LEAST_MM = 5.0
_PLACES = 9
# SWR 1000: lossy parts cannot match anything worse (common practice, no source).
_HOPELESS = 0.998


@dataclass(frozen=True, slots=True)
class Wish:
    """What is to be matched, and with what.

    Attributes
    ----------
    at_hz : float or None
        One frequency; None for the whole band.
    plane : {"feed", "radio"}
        Where the network goes.
    series : {"E12", "E24"}
        Standard series of coils and capacitors.
    coil_q, capacitor_q : float
    line : FeedLine
        For stubs and the piece of line between stub and antenna; 50 ohm.
    other : FeedLine
        For the series section and the quarter-wave transformer.
    """

    at_hz: float | None = None
    plane: Plane = "feed"
    series: str = "E24"
    coil_q: float = COIL_Q
    capacitor_q: float = CAPACITOR_Q
    line: FeedLine = field(default_factory=lambda: line_of_type("RG-213"))
    other: FeedLine = field(default_factory=lambda: line_of_type("RG-59"))


@dataclass(frozen=True, slots=True)
class Outcome:
    """How one sweep looks through a network.

    Attributes
    ----------
    key : int
        Of its entry.
    label : str
    sweep : Sweep
        On the radio's side of the network, at 50 ohm.
    figures : Figures
        Of that sweep, in the band.
    loss_db : float
        In the network, at its design frequency.
    power_w : float
        Into the antenna at that frequency, with the station's transmit power.
    """

    key: int
    label: str
    sweep: Sweep
    figures: Figures
    loss_db: float
    power_w: float


@dataclass(frozen=True, slots=True)
class Match:
    """One way to match.

    Attributes
    ----------
    kind : str
        Such as "L network" or "shunt stub, shorted".
    network : Network
        As built, starting at the antenna.
    exact : Network
        The same without loss and with the exact values.
    at_hz : float
        Design frequency.
    build_notes : tuple of str
        What is hard or impossible to build.
    outcomes : tuple of Outcome
        The sweep it was designed for comes first.
    path : tuple of ComplexArray
        That sweep's path on a 50 ohm Smith chart at ``at_hz``, an array for each element.
    """

    kind: str
    network: Network
    exact: Network
    at_hz: float
    build_notes: tuple[str, ...]
    outcomes: tuple[Outcome, ...] = ()
    path: tuple[ComplexArray, ...] = ()

    @property
    def worst_swr(self) -> float | None:
        """The worst SWR of all sweeps in the band; None if one does not cover the band."""
        worst = [one.figures.worst_swr for one in self.outcomes]
        known = [one for one in worst if one is not None]
        return max(known) if known and len(known) == len(worst) else None


def matches(
    sweeps: Sequence[AtFeed], designed_for: int, band: Band, limit_swr: float, wish: Wish
) -> tuple[Match, ...]:
    """The best network of each kind, the one with the lowest worst SWR first.

    Parameters
    ----------
    sweeps : sequence of AtFeed
        Those without phase are left out: |G| alone cannot be matched.
    designed_for : int
        Key of the sweep to match.
    band : Band
    limit_swr : float
    wish : Wish

    Raises
    ------
    FairleadError
        If that sweep has no phase, or does not reach the frequency.
    """
    with_phase = [one for one in sweeps if one.moved.analysis.reflection is not None]
    chosen = next((one for one in with_phase if one.key == designed_for), None)
    if chosen is None:
        raise FairleadError(
            "a match needs a sweep with phase, seen at the feed point",
            "choose one that has R and X",
        )
    ordered = [chosen, *(one for one in with_phase if one is not chosen)]
    ends_hz = chosen.moved.analysis.frequency_hz
    places = [wish.at_hz] if wish.at_hz is not None else _places_in(band, ends_hz)
    found: dict[str, tuple[float, Match]] = {}
    for at_hz in places:
        if not ends_hz[0] <= at_hz <= ends_hz[-1]:
            raise FairleadError(
                f"the sweep does not reach {at_hz / 1e6:.6g} MHz",
                "choose a frequency that was swept",
            )
        load = complex(_load(chosen, np.array([at_hz]), wish.plane)[0])
        if abs(load) > _HOPELESS:
            continue
        for one in _built(load, at_hz, wish):
            worst = _rank(one, ordered, band, wish)
            if one.kind not in found or worst < found[one.kind][0]:
                found[one.kind] = worst, one
    best = sorted(found.values(), key=lambda pair: pair[0])
    return tuple(_with_outcomes(one, ordered, band, limit_swr, wish) for _, one in best)


def unmatched(
    sweeps: Sequence[AtFeed], designed_for: int, band: Band, limit_swr: float, wish: Wish
) -> tuple[Outcome, ...]:
    """The outcomes without any network, in the order of `Match.outcomes`."""
    with_phase = [one for one in sweeps if one.moved.analysis.reflection is not None]
    with_phase.sort(key=lambda one: one.key != designed_for)
    at_hz = wish.at_hz or (band.low_hz + band.high_hz) / 2
    nothing = Match("nothing", (), (), at_hz, ())
    return tuple(_outcome(nothing, one, band, limit_swr, wish) for one in with_phase)


def _places_in(band: Band, ends_hz: FloatArray) -> list[float]:
    places = np.linspace(band.low_hz, band.high_hz, _PLACES)
    inside = places[(places >= ends_hz[0]) & (places <= ends_hz[-1])]
    found: list[float] = inside.tolist()
    return found


def _load(one: AtFeed, at_hz: FloatArray, plane: Plane) -> ComplexArray:
    """The reflection at 50 ohm where the network goes, shape (n,)."""
    analysis = one.moved.analysis
    gamma = renormalise(analysis.reflection_at(at_hz), analysis.z0_ohm, RADIO_OHM)
    line = one.station.line
    if plane == "feed" or line is None:
        return gamma
    return carried(line.constants(at_hz), one.station.length_m, gamma, RADIO_OHM)


def _built(load: complex, at_hz: float, wish: Wish) -> Iterator[Match]:
    """Every network for one load, made of parts that can be bought."""
    load_ohm = complex(impedance_ohm(load, RADIO_OHM))
    for exact in l_networks(load_ohm, at_hz, RADIO_OHM):
        network = _standard(exact, load, at_hz, wish)
        yield Match("L network", network, exact, at_hz, _build_notes(network, at_hz))
    wheres: tuple[Where, ...] = ("shunt", "series")
    ends: tuple[End, ...] = ("short", "open")
    for where, end in product(wheres, ends):
        kind = f"{where} stub, {'shorted' if end == 'short' else 'open'}"
        for network in single_stubs(
            load_ohm, at_hz, replace(wish.line, z0_ohm=RADIO_OHM), where, end
        ):
            yield Match(kind, network, network, at_hz, _build_notes(network, at_hz))
    for network in series_sections(load_ohm, at_hz, wish.line, wish.other):
        yield Match("series section", network, network, at_hz, _build_notes(network, at_hz))
    for piece, z_ohm in quarter_waves(load_ohm, at_hz, wish.line):
        wanted = replace(wish.other, z0_ohm=z_ohm)
        length_m = quarter_wave_m(wish.other, at_hz)
        network = (piece, Section(wish.other, length_m))
        built_ohm = wish.other.z0_ohm
        note = f"the quarter wave should have {z_ohm:.3g} Ω and is built with {built_ohm:.3g} Ω"
        yield Match(
            "quarter-wave transformer",
            network,
            (piece, Section(wanted, length_m)),
            at_hz,
            (note, *_build_notes(network, at_hz)),
        )


def standard_neighbours(value: float, series: Sequence[float]) -> tuple[float, float]:
    """The standard values below and above a value; both the same if it is a standard value."""
    decade = 10.0 ** math.floor(math.log10(value))
    steps = [*(one * decade for one in series), series[0] * decade * 10]
    below = max(one for one in steps if one <= value * (1 + 1e-9))
    return below, min(one for one in steps if one >= value * (1 - 1e-9))


def _standard(exact: tuple[Lumped, ...], load: complex, at_hz: float, wish: Wish) -> Network:
    """The standard values around the exact ones that leave the least reflection."""
    series = SERIES[wish.series]
    choices = []
    for one in exact:
        q = wish.coil_q if one.part == "coil" else wish.capacitor_q
        values = dict.fromkeys(standard_neighbours(one.value, series))
        choices.append([replace(one, value=value, q=q) for value in values])
    hz, gamma = np.array([at_hz]), np.array([load])
    return min(
        product(*choices),
        key=lambda network: float(np.abs(through(network, hz, gamma, RADIO_OHM)[0])[0]),
    )


def _build_notes(network: Network, at_hz: float) -> tuple[str, ...]:
    said = []
    for one in network:
        if isinstance(one, Section | Stub):
            if 0 < one.length_m * 1e3 < _LEAST_MM:
                said.append(f"{one.length_m * 1e3:.2g} mm of line are lost in the connectors")
            if isinstance(one, Stub) and one.where == "series":
                said.append("a stub in series cannot be made of coax: neither side may be grounded")
        elif at_hz >= VHF_HZ:
            if one.part == "capacitor" and one.value < LEAST_FARAD:
                said.append(f"{one.value * 1e12:.2g} pF cannot be built at VHF: strays are larger")
            if one.part == "coil" and one.value < LEAST_HENRY:
                said.append(f"{one.value * 1e9:.2g} nH cannot be built at VHF: a lead has as much")
    return tuple(said)


def _rank(match: Match, sweeps: Sequence[AtFeed], band: Band, wish: Wish) -> float:
    """The largest |G| of all sweeps at a few frequencies of the band; unbuildable networks last."""
    worst = 0.0
    for one in sweeps:
        at_hz = np.array(_places_in(band, one.moved.analysis.frequency_hz))
        if at_hz.size:
            seen, _ = through(match.network, at_hz, _load(one, at_hz, wish.plane), RADIO_OHM)
            worst = max(worst, float(np.abs(seen).max()))
    return worst + sum("cannot be" in note for note in match.build_notes)


def _with_outcomes(
    match: Match, sweeps: Sequence[AtFeed], band: Band, limit_swr: float, wish: Wish
) -> Match:
    outcomes = tuple(_outcome(match, one, band, limit_swr, wish) for one in sweeps)
    load = complex(_load(sweeps[0], np.array([match.at_hz]), wish.plane)[0])
    way = tuple(path(match.network, match.at_hz, load, RADIO_OHM))
    return replace(match, outcomes=outcomes, path=way)


def _outcome(match: Match, one: AtFeed, band: Band, limit_swr: float, wish: Wish) -> Outcome:
    frequency_hz = one.moved.analysis.frequency_hz
    seen, _ = through(match.network, frequency_hz, _load(one, frequency_hz, wish.plane), RADIO_OHM)
    sweep = Sweep(frequency_hz, np.nan_to_num(seen, nan=1.0), RADIO_OHM)
    figures = figures_or_reasons(analyse(sweep, RADIO_OHM), band, limit_swr)
    at_hz = np.array([min(max(match.at_hz, frequency_hz[0]), frequency_hz[-1])])
    load = _load(one, at_hz, wish.plane)
    there, share = through(match.network, at_hz, load, RADIO_OHM)
    station = one.station
    if wish.plane == "feed":
        power_w = budget(station, at_hz, there, RADIO_OHM).power_w * share
    else:
        # The network is at the radio: the line behind it keeps its own loss.
        bare = replace(station, line=None, transformer_loss_db=0.0)
        steps = budget(station, at_hz, _load(one, at_hz, "feed"), RADIO_OHM)
        behind_db = steps.line_db + steps.added_db + steps.transformer_db
        power_w = budget(bare, at_hz, there, RADIO_OHM).power_w * share * 10 ** (-behind_db / 10)
    loss_db = float(-10 * np.log10(share[0]))
    return Outcome(one.key, one.label, sweep, figures, loss_db, float(power_w[0]))
