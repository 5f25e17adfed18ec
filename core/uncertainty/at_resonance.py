"""Resonance and the resistance at resonance, from a fit."""

from __future__ import annotations

import cmath
import math
from typing import TYPE_CHECKING

from fairlead.core.uncertainty.estimates import Estimate, estimate
from fairlead.core.uncertainty.figure_fits import SHARED, mapped, not_negative
from fairlead.core.uncertainty.local_fit import LocalFit

if TYPE_CHECKING:
    from fairlead.core.figures import Figures
    from fairlead.core.uncertainty.figure_fits import FigureFits, FittedFigure

# Newton steps, starting from the zero of the points; more would only change rounding.
_STEPS = 6
_DONE = 1e-6
_LONGEST_STEP = 0.1
# G this near to 1 is an open circuit, whose resistance is not reported.
_OPEN = 1e-6


def add_resonances(
    found: dict[str, FittedFigure], fits: FigureFits, figures: Figures, most_further: int
) -> None:
    """The resonance nearest to the best match, and some further ones.

    Parameters
    ----------
    found : dict of str to FittedFigure
        Receives ``resonance_hz``, ``resonance_resistance_ohm``, and from n = 2 on
        ``resonance_{n}_hz`` and ``resonance_{n}_resistance_ohm``.
    fits : FigureFits
    figures : Figures
    most_further : int
        Each costs a fit.
    """
    best_hz = figures.best_match_hz
    for name, one in figures.named_resonances[: 1 + most_further]:
        at_hz = one.frequency_hz
        fit = None if best_hz is None else fits.known.get(best_hz)
        if fit is None or abs(fit.t(at_hz)) > SHARED:
            fit = fits.around(at_hz)
        analysis, own = fits.analysis, None
        if isinstance(fit, LocalFit):
            own = resonance(fit, fits.noise, at_hz, analysis.z0_ohm, analysis.track.delay_s)
        if own is not None:
            found[f"{name}hz"] = fits.around_value(own[0])
            if math.isfinite(one.resistance_ohm):
                found[f"{name}resistance_ohm"] = mapped(fits.around_value(own[1]), not_negative)


def resonance(
    fit: LocalFit, noise: float, at_hz: float, z0_ohm: float, delay_s: float
) -> tuple[Estimate, Estimate] | None:
    """The zero of Im G next to a frequency, in Hz, and the resistance at it, in ohms.

    Parameters
    ----------
    fit : LocalFit
        Of the reflection with a delay removed.
    noise : float
    at_hz : float
        Within its window.
    z0_ohm : float
    delay_s : float
        That delay; it is put back.

    Returns
    -------
    tuple of Estimate or None
        None without a crossing in the window, or at an open circuit.
    """
    t, step = fit.t(at_hz), 0.0
    for _ in range(_STEPS):
        hz = fit.hz(t)
        value, slope, _ = fit.derivatives(t)
        back = cmath.exp(-2j * math.pi * hz * delay_s)
        gamma = value * back
        t_per_hz = fit.t_per_hz(hz)
        per_hz = (slope * t_per_hz - 2j * math.pi * delay_s * value) * back
        if per_hz.imag == 0 or abs(1 - gamma) <= _OPEN:
            return None
        step = -gamma.imag / per_hz.imag * t_per_hz
        step = max(-_LONGEST_STEP, min(_LONGEST_STEP, step))
        t += step
    if abs(step) > _DONE or not fit.t_low <= t <= fit.t_high:
        return None
    of_value = fit.rows(t)[0] * back
    place = 1j * of_value / per_hz.imag
    # dR = Re(dZ/dG dG), and the frequency at which R is read moves as well.
    by_gamma = 2 * z0_ohm / (1 - gamma) ** 2
    ohm = (z0_ohm * (1 + gamma) / (1 - gamma)).real
    of_resistance = by_gamma * of_value + (by_gamma * per_hz).real * place
    return (
        estimate(fit, noise, fit.hz(t), place),
        estimate(fit, noise, ohm, of_resistance),
    )
