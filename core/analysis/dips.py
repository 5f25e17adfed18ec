"""The bottom of a dip, from a fit to the points around it."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

import numpy as np

from fairlead.core.analysis.interpolation.rational import FEWEST_POINTS, fit_around
from fairlead.core.uncertainty.noise import NOISE_SIGMAS, NOT_TO_SPEAK_OF
from fairlead.core.uncertainty.rounded import fit_dip
from fairlead.core.uncertainty.traced_dip import traced_dip

if TYPE_CHECKING:
    from fairlead.core.analysis.interpolation.track import Track
    from fairlead.core.traced import Traced
    from fairlead.core.uncertainty.rounded import Parabola, Rounding


def fitted_bottom(
    track: Track,
    sigma: float,
    rounding: Rounding | None,
    typed: Parabola | None,
    dip: tuple[float, float],
    traced: Traced | None = None,
) -> tuple[float, float]:
    """The bottom of a dip according to all points around it, not only the lowest noisy one.

    Parameters
    ----------
    track : Track
    sigma : float
        Noise of each component of the reflection.
    rounding, typed : Rounding, Parabola or None
        As in `fairlead.core.analysis.analysis.Analysis`.
    dip : tuple of float
        Frequency in Hz and |reflection|^2 of a turning point.
    traced : Traced or None
        Of a traced sweep, whose points' errors are alike.

    Returns
    -------
    tuple of float
        The same for the function fitted around the dip; ``dip`` itself where the noise is
        negligible or no fit agrees with the track within the noise.
    """
    if typed is not None:
        return typed.bottom
    if traced is not None:
        found = traced_dip(track.frequency_hz, track.power, traced, dip[0])
        return dip if found is None else (found.hz, found.power)
    if rounding is not None:
        return fit_dip(track.frequency_hz, np.sqrt(track.power), rounding, dip[0]) or dip
    curve = track.smooth
    if curve is None or curve.size < FEWEST_POINTS or sigma < NOT_TO_SPEAK_OF:
        return dip
    fit = fit_around(track.frequency_hz, curve, sigma, dip[0])
    bottom = fit.least() if fit.is_good else None
    if bottom is None:
        return dip
    near = math.sqrt(track.power_at_one(bottom[0])), math.sqrt(dip[1])
    is_alike = all(abs(rho - math.sqrt(bottom[1])) <= NOISE_SIGMAS * sigma for rho in near)
    return bottom if is_alike else dip
