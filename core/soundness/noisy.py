"""Noise large enough to affect the figures."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

import numpy as np

from fairlead.core.analysis.resonances import hidden_resonances
from fairlead.core.soundness.finding import About, Finding
from fairlead.core.soundness.wording import (
    counted,
    shown_mhz,
    shown_span,
    shown_swr,
    shown_width,
)

if TYPE_CHECKING:
    from fairlead.core.arrays import ComplexArray
    from fairlead.core.soundness.facts import Facts

ABOUT = About(
    code="noisy",
    title="Noisy",
    reason=(
        "The points scatter about their curve. The best match and its SWR then move from sweep to "
        "sweep although nothing has changed, Q depends on the slope and moves more, and smaller "
        "differences between sweeps mean nothing."
    ),
    threshold=(
        "a standard deviation of 1 % of full scale in the real or imaginary part of G (0.01); "
        "suspect from 3 %"
    ),
    source="common practice, no source; analyzers on a bench stay below 0.5 %",
    advice=(
        "Narrow the analyzer's bandwidth or average, look for a loose connector, and sweep when "
        "no strong transmitter is near."
    ),
)
_NOTE, _SUSPECT = 0.01, 0.03
_SIGMAS = 2.0
_AROUND = 5
_MOST_SHOWN = 3


def find(facts: Facts) -> list[Finding]:
    """The noise, and its approximate effect on best match, minimum SWR and Q."""
    if facts.noise < _NOTE:
        return []
    text = f"noise of {100 * facts.noise:.2g} % of full scale"
    index = int(facts.rho.argmin())
    effects = []
    rho = float(facts.rho[index])
    # The lowest of noisy points lies below the true value, and so does its lower bound.
    high = min(rho + _SIGMAS * facts.noise * 2, 1.0)
    effects.append(f"the SWR {shown_swr(rho)} at the best point may be up to {shown_swr(high)}")
    if facts.reflection is not None:
        effects += _on_place(facts, facts.reflection, index)
        effects += _on_resonances(facts)
    text += ": " + ", ".join(effects)
    return [ABOUT.found(text, severity="suspect" if facts.noise >= _SUSPECT else "note")]


def _on_place(facts: Facts, reflection: ComplexArray, index: int) -> list[str]:
    """Effects on best match and Q, from a straight line of G where |G| has risen by up to 1/3."""
    near = np.flatnonzero(facts.rho > float(facts.rho[index]) + 1 / 3)
    place = int(near.searchsorted(index))
    low = int(near[place - 1]) + 1 if place > 0 else 0
    high = int(near[place]) if place < near.size else facts.rho.size
    if high - low < _AROUND:
        return []
    hz, part = facts.frequency_hz[low:high], reflection[low:high]
    offset_hz = hz - hz.mean()
    spread = float((offset_hz**2).sum())
    slope = abs(complex((offset_hz * part).sum()) / spread)
    error = facts.noise / math.sqrt(spread)
    if slope <= _SIGMAS * error:
        return [f"the best match at {shown_mhz(float(facts.frequency_hz[index]))} hidden by it"]
    wander_hz = _SIGMAS * facts.noise / math.sqrt(high - low) / slope
    return [
        f"the best match known to about ± {shown_width(wander_hz)}",
        f"Q to about ± {100 * _SIGMAS * error / slope:.0f} %",
    ]


def _on_resonances(facts: Facts) -> list[str]:
    """Where the reactance goes through zero to and fro by less than the noise."""
    hidden = hidden_resonances(
        facts.analysis.track, facts.analysis.sampling.is_phase_known, facts.noise
    )
    shown = [shown_span(low_hz, high_hz) for low_hz, high_hz in hidden]
    if len(shown) > _MOST_SHOWN:
        shown[_MOST_SHOWN:] = [counted(len(shown) - _MOST_SHOWN, "more span")]
    return [f"the resonances hidden by it from {', '.join(shown)}"] if shown else []
