"""What numbers can be where no heading says it. All limits here: common practice, no source.

Only what is practically certain is decided; anything else is asked.
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

import numpy as np

from fairlead.core.reading.tables.plan import Kind

if TYPE_CHECKING:
    from collections.abc import Sequence

    from fairlead.core.arrays import FloatArray

# Numbers from a million up are Hz: as kHz they would begin at 1 GHz, and kHz are not used there.
_HZ_FROM = 1e6
# From 1 to below 1000, reaching 10: MHz, as in short wave and VHF; GHz would begin at 10 GHz.
_MHZ_FROM, _MHZ_REACHING, _MHZ_BELOW = 1.0, 10.0, 1000.0
_KHZ_BELOW = 1e5
_HIGHEST_HZ = 3e12
_MAGNITUDE_LIMIT = 1.05
_SURE_DECIBELS = -2.0
_SURE_DEGREES = 2 * math.pi + 0.01
_LARGEST_DEGREES = 360.0
_STEADY = 0.9


def finite(values: FloatArray) -> FloatArray:
    """The finite ones."""
    return values[np.isfinite(values)]


def frequency_unit(values: FloatArray) -> str:
    """Unit that frequencies can only have; empty where there are several."""
    found = finite(values)
    found = found[found != 0]
    if found.size == 0 or found.min() < 0:
        return ""
    lowest, highest = float(found.min()), float(found.max())
    if lowest >= _HZ_FROM and highest <= _HIGHEST_HZ:
        return "Hz"
    if lowest >= _MHZ_FROM and _MHZ_REACHING <= highest < _MHZ_BELOW:
        return "MHz"
    return ""


def likely_frequency_unit(values: FloatArray) -> str:
    """The first choice to offer: a guess, for people to confirm."""
    found = finite(values)
    lowest, highest = float(found.min()), float(found.max())
    if lowest < _MHZ_FROM and highest < _MHZ_REACHING:
        return "GHz"
    if highest < _MHZ_BELOW:
        return "MHz"
    return "kHz" if highest < _KHZ_BELOW else "Hz"


def angle_unit(values: FloatArray) -> str:
    """Degrees where angles exceed a turn in radians; empty where they may be either."""
    found = finite(values)
    return "deg" if found.size and float(np.abs(found).max()) > _SURE_DEGREES else ""


def magnitude_kind(values: FloatArray, *, is_named: bool = False) -> Kind | None:
    """Whether the numbers of a reflection are magnitudes or decibels; None where unclear.

    Parameters
    ----------
    values : FloatArray
        At least one of them finite.
    is_named : bool
        The heading says magnitude: then single values may be well above 1.
    """
    found = finite(values)
    lowest, highest = float(found.min()), float(found.max())
    if lowest >= 0 and (float(np.median(found)) if is_named else highest) <= _MAGNITUDE_LIMIT:
        return Kind.MAGNITUDE
    if lowest <= _SURE_DECIBELS and highest <= 1:
        return Kind.DECIBEL
    return None


def likely_kind(values: FloatArray) -> Kind:
    """The first choice to offer for a lone column: a guess, for people to confirm."""
    found = finite(values)
    if found.size and float(found.min()) < 0:
        return Kind.DECIBEL
    return Kind.MAGNITUDE if found.size and float(found.max()) <= 1 else Kind.SWR


def likely_pair(first: FloatArray, second: FloatArray) -> Kind | None:
    """The first choice to offer for two columns: a guess, for people to confirm."""
    if is_real_and_imaginary(first, second):
        return Kind.REAL_IMAGINARY
    if angle_unit(second) != "deg" or float(np.abs(finite(second)).max()) > _LARGEST_DEGREES:
        return None
    return {Kind.MAGNITUDE: Kind.MAGNITUDE_ANGLE, Kind.DECIBEL: Kind.DECIBEL_ANGLE}.get(
        likely_kind(first)
    )


def is_real_and_imaginary(first: FloatArray, second: FloatArray) -> bool:
    """Whether two columns can only be the parts of a reflection coefficient.

    Both go below zero, so neither is a magnitude, an SWR or a resistance; both stay within 1, so
    neither is an angle in degrees or a level in dB that ever matters.
    """
    pair = np.stack([first, second])
    return bool(
        np.isfinite(pair).all()
        and (pair.min(axis=1) < 0).all()
        and np.hypot(first, second).max() <= _MAGNITUDE_LIMIT
    )


def is_steady(values: FloatArray, breaks: Sequence[int] = ()) -> bool:
    """Whether numbers rise, or fall, nearly all the way, as frequencies of a sweep do.

    Parameters
    ----------
    values : FloatArray, shape (n,)
    breaks : sequence of int
        Indices at which numbers may start again.
    """
    steps = np.diff(np.where(np.isfinite(values), values, np.nan))
    steps[[index - 1 for index in breaks]] = np.nan
    steps = finite(steps)
    if steps.size == 0:
        return False
    return bool(max((steps > 0).mean(), (steps < 0).mean()) >= _STEADY)
