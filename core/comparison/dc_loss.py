"""The least conductor loss of an antenna that a DC reading along its conductor shows.

The current along a resonant half wave, or quarter wave over ground, is a quarter of a sine from its
end to the feed, so resistance spread evenly along it counts half at the feed: the mean of cos^2.
At radio frequency the current keeps to the surface. Direct current flows where it loses least
(Thomson's principle), so the reading itself is a lower bound; diameter and metal give a higher one.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from fairlead.core.comparison.dc_reading import RESISTIVITY_OHM_M, DcReading, reading_of
from fairlead.core.comparison.skin_effect import ac_over_dc, skin_depth_m
from fairlead.core.feed_line import SPEED_OF_LIGHT_M_S
from fairlead.core.units import format_frequency

if TYPE_CHECKING:
    from fairlead.core.comparison.rows import Row

# A straight conductor at resonance is shorter than the wave by a few per cent, a thick one by up to
# a tenth (common practice, no source).
_SHORTEST = 0.9
_LONGEST = 1.1
_LEAST_MEASURED = 0.2
# Below this share of what the metal has, the reading or the diameter is wrong.
_TOO_GOOD = 0.8
_OF_FEED = 0.5


@dataclass(frozen=True, slots=True)
class DcLoss:
    """At least so much of the power is lost in the conductor, or why that is not known.

    Attributes
    ----------
    share : float or None
        Of the power at the feed, at the resonance.
    loss_db : float or None
    at_feed_ohm : float or None
        Resistance of the conductor, referred to the feed.
    of_ohm : float or None
        Resistance at the feed at the resonance: the upper end of its interval, if it has one.
    frequency_hz : float or None
        The resonance.
    ac_over_dc : float or None
        Resistance at that frequency divided by the DC reading.
    assumptions : tuple of str
    why_not : str
        Empty if there is a share.
    """

    share: float | None = None
    loss_db: float | None = None
    at_feed_ohm: float | None = None
    of_ohm: float | None = None
    frequency_hz: float | None = None
    ac_over_dc: float | None = None
    assumptions: tuple[str, ...] = ()
    why_not: str = ""

    @property
    def text(self) -> str:
        """In a few words, without the assumptions; empty if there is no share."""
        if self.share is None or self.loss_db is None:
            return ""
        return f"by the DC reading, {_db(self.loss_db)} lost in the conductor"

    @property
    def sentence(self) -> str:
        """One sentence with its assumptions; empty if there is no share."""
        if self.share is None or self.loss_db is None or self.at_feed_ohm is None:
            return ""
        return (
            f"by the DC reading, at least {floored(self.at_feed_ohm)} Ω of the "
            f"{self.of_ohm:.3g} Ω at resonance ({format_frequency(self.frequency_hz or 0.0)}) is "
            f"the conductor's own: at least {floored(100 * self.share)} % of the power is lost "
            f"in it, {_db(self.loss_db)}, if {'; '.join(self.assumptions)}"
        )


NO_DC_LOSS = DcLoss(why_not="no DC resistance is noted")


def dc_loss_of(row: Row) -> DcLoss:
    """What the DC check noted with a sweep says about its loss."""
    reading = reading_of(row.entry.circumstances.continuity)
    if isinstance(reading, str):
        return DcLoss(why_not=reading)
    if row.entry.seen_at == "radio":
        return DcLoss(why_not="remove the feed line first: the sweep must be seen at the feed")
    main = row.figures.main_resonance
    known = row.intervals.get("resonance_resistance_ohm")
    widest = None if known is None else known.widest
    of_ohm = 0.0 if main is None else main.resistance_ohm
    if widest is not None:
        of_ohm = max(of_ohm, widest.high)
    if main is None or not 0 < of_ohm < math.inf:
        return DcLoss(why_not="the resistance at resonance is not known")
    found = least_loss(reading, main.frequency_hz, of_ohm)
    if row.entry.seen_at == "feed" or found.why_not:
        return found
    return replace(found, assumptions=("the sweep was taken at the feed", *found.assumptions))


def least_loss(reading: DcReading, frequency_hz: float, of_ohm: float) -> DcLoss:
    """The least loss of a conductor with a reading, at its resonance.

    Parameters
    ----------
    reading : DcReading
    frequency_hz : float
        The resonance.
    of_ohm : float
        Resistance at the feed there, as measured: radiation, loss and all.
    """
    wave_m = reading.waves * SPEED_OF_LIGHT_M_S / frequency_hz
    measured = reading.length_m / wave_m
    if not _LEAST_MEASURED <= measured <= _LONGEST:
        return DcLoss(
            why_not=f"the length measured along does not fit a {_kind(reading)} of {wave_m:.3g} m "
            "at the resonance"
        )
    whole = max(1.0, _SHORTEST / measured)
    dc_ohm = whole * reading.resistance_ohm
    found = _at_radio_frequency(reading, dc_ohm, whole * reading.length_m, frequency_hz)
    if isinstance(found, str):
        return DcLoss(why_not=found)
    ohm, of_metal = found
    at_feed_ohm = _OF_FEED * ohm
    share = at_feed_ohm / of_ohm
    if share >= 1:
        return DcLoss(
            why_not="the conductor would have more resistance than the whole antenna at resonance"
        )
    assumptions = [
        (
            f"the antenna is fed directly and its straight {_kind(reading)} without loading is "
            "alike from end to end"
        ),
        "the current along it is sinusoidal",
        "its joints are no better at this frequency than at DC",
        of_metal,
    ]
    if whole > 1:
        assumptions.append(f"the whole is {whole:.2g} times what was measured")
    loss_db = -10 * math.log1p(-share) / math.log(10)
    return DcLoss(
        *(share, loss_db, at_feed_ohm, of_ohm, frequency_hz, ohm / dc_ohm), tuple(assumptions)
    )


def _at_radio_frequency(
    reading: DcReading, dc_ohm: float, length_m: float, frequency_hz: float
) -> tuple[float, str] | str:
    """The least resistance of the conductor, and on what grounds; or the reason for none."""
    if reading.diameter_m is None:
        return dc_ohm, "without its diameter, skin effect is left out: the loss is higher"
    metal = reading.metal or "copper"
    resistivity, radius_m = RESISTIVITY_OHM_M[metal], reading.diameter_m / 2
    solid_ohm = resistivity * length_m / (math.pi * radius_m**2)
    if dc_ohm < _TOO_GOOD * solid_ohm:
        return (
            f"the reading is below that of solid {metal} of this diameter: check both, and the "
            "metal"
        )
    ratio = ac_over_dc(radius_m, skin_depth_m(frequency_hz, resistivity))
    # What the metal does not explain may be a thin wall or joints, and is not scaled.
    ohm = max(dc_ohm, min(dc_ohm, solid_ohm) * ratio)
    said = f"it is {metal}, or conducts less"
    return ohm, said if reading.metal else f"{said}, and is not magnetic"


def _kind(reading: DcReading) -> str:
    return "half wave" if reading.waves == 0.5 else "quarter wave"


def _db(loss_db: float) -> str:
    return f"at least {floored(loss_db)} dB"


def floored(value: float) -> str:
    """A lower bound in two digits, never rounded up."""
    decimals = max(0, 1 - math.floor(math.log10(value)))
    return f"{math.floor(value * 10**decimals) / 10**decimals:.{decimals}f}"
