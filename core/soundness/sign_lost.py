"""A reactance or phase that has lost its sign."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

import numpy as np

from fairlead.core.soundness.finding import About, Finding
from fairlead.core.soundness.smoothed import smoothed
from fairlead.core.soundness.wording import shown_mhz

if TYPE_CHECKING:
    from fairlead.core.arrays import FloatArray
    from fairlead.core.soundness.facts import Facts

ABOUT = About(
    code="sign-lost",
    title="Sign of the reactance lost",
    reason=(
        "The reactance falls to zero and rises again with a sharp bend, where that of an "
        "antenna crosses zero. Simple meters show only its magnitude. The SWR is right; the "
        "resonance is missing, and Smith chart, Q and any line calculation are wrong on one side "
        "of it."
    ),
    threshold=(
        "no point has the other sign by more than three times the noise, and somewhere the "
        "imaginary part of G reaches zero with a bend five times as sharp as beside it, while the "
        "real part runs on smoothly"
    ),
    source="common practice, no source",
    advice=(
        "Export signed values (R and X, or S11 with its phase) from the meter, or use the sweep "
        "for its SWR only."
    ),
)
_SIGMAS = 3.0
_BEND_SIGMAS = 8.0
_TIMES = 5.0
_AROUND = 4
_FEWEST_POINTS = 12


def find(facts: Facts) -> list[Finding]:
    """Looks for sharp bends where Im G bounces off zero."""
    if facts.reflection is None or facts.rho.size < _FEWEST_POINTS:
        return []
    imag = facts.reflection.imag
    least, most = float(imag.min()), float(imag.max())
    nothing = _SIGMAS * facts.noise + 1e-9
    if least < -nothing and most > nothing:
        return []
    at_hz, curve, noise = smoothed(facts, facts.reflection)
    size: FloatArray = np.abs(curve.imag)
    kinks = _kinks(size, np.ascontiguousarray(curve.real), noise)
    if not kinks:
        return []
    hz = float(at_hz[kinks[0]])
    text = (
        f"the imaginary part of the reflection never changes its sign but bounces off zero, first "
        f"at {shown_mhz(hz)}: the sign of reactance or phase is lost"
    )
    return [ABOUT.found(text, hz, float(at_hz[kinks[-1]]))]


def _kinks(size: FloatArray, real: FloatArray, noise: float) -> list[int]:
    inner = np.arange(_AROUND, size.size - _AROUND)
    lowest = inner[(size[inner] <= size[inner - 1]) & (size[inner] < size[inner + 1])]
    step = np.maximum(
        np.abs(size[lowest] - size[lowest - 1]), np.abs(size[lowest + 1] - size[lowest])
    )
    found = []
    for index in lowest[size[lowest] <= step].tolist():
        part = slice(index - _AROUND, index + _AROUND + 1)
        bend, other = (np.diff(values[part], n=2) for values in (size, real))
        sharp = float(bend[2:5].max())
        beside = float(np.abs(np.concatenate((bend[:1], bend[-1:]))).max())
        if (
            sharp > _TIMES * beside
            and sharp > _TIMES * float(np.abs(other[2:5]).max())
            and sharp > _BEND_SIGMAS * math.sqrt(6) * noise
        ):
            found.append(int(index))
    return found
