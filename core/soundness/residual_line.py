"""A piece of line between the analyzer's reference plane and the antenna."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

import numpy as np

from fairlead.core.soundness.finding import About, Finding
from fairlead.core.soundness.wording import shown_mhz

if TYPE_CHECKING:
    from fairlead.core.arrays import ComplexArray
    from fairlead.core.soundness.facts import Facts

ABOUT = About(
    code="line-in-sweep",
    title="A line in the sweep",
    reason=(
        "The sweep was taken at the near end of a line, and the line transforms the impedance. R, "
        "X, resonances and Q are those at the analyzer's end and not the antenna's; a longer line "
        "raises Q and adds resonances. The best match hardly moves, and the SWR only falls with "
        "the line's loss."
    ),
    threshold=(
        "a fit of one resonance behind a delay leaves no more than the noise and 0.004 of |G|, the "
        "delay is at least 25 times its standard error and at least 1/8 wavelength of line, "
        "without it the fit is worse by ten standard deviations, and the sweep shows the resonance "
        "with its flanks, or none (|G| within 30 %) and a full turn; "
        "where the reflection turns 2.5 times or more over the sweep and the fit leaves more, the "
        "line is reported as not separable, or by its mean turn where nowhere 3/4 of the power is "
        "absorbed"
    ),
    source=(
        "line behind a single resonance: own derivation; the plain slope of the phase would count "
        "the resonance as line"
    ),
    advice=(
        "Calibrate at the antenna's end of the line, or remove the line by calculation; compare "
        "R, X and Q only between sweeps with the same line."
    ),
)
_SURE = 25.0
_LEVEL = 0.7
_SURE_OF_LINE = 10.0
# The standard error does not include that of the model: this many cover 95 % of invented lines.
_ERRORS = 5.0
_KNOWN_AT_BEST = 0.005
_LEAST_WAVES = 1 / 8
_LEAST_TURNS = 2.5
# 3/4 of the power is absorbed at |G| = 1/2.
_ABSORBING = 0.5
_C_M_PER_S = 299_792_458.0
_SOLID_POLYETHYLENE = 0.66


def find(facts: Facts) -> list[Finding]:
    """The length of the line, or that there clearly is a line of unknown length."""
    line = facts.line
    if line is None:
        if facts.reflection is None:
            return []
        return _plain_line(facts, _mean_turn_s(facts.reflection, facts))
    waves = line.delay_s * line.centre_hz / 2
    # Part of a resonance without its flanks fits many lines.
    is_whole = not math.isnan(line.far_magnitude)
    # A reactance alone goes round once at most.
    turns = line.delay_s * (facts.high_hz - facts.low_hz)
    is_plain = turns >= 1 and float(facts.rho.min()) > _LEVEL * float(facts.rho.max())
    is_sure = line.delay_s >= _SURE * line.delay_error_s and line.evidence >= _SURE_OF_LINE
    if line.is_good and waves >= _LEAST_WAVES and is_sure and (is_whole or is_plain):
        metres = line.delay_s * _C_M_PER_S / 2
        known_m = max(_ERRORS * line.delay_error_s * _C_M_PER_S / 2, _KNOWN_AT_BEST * metres)
        text = (
            f"behind a line of {metres:.3g} ± {known_m:.1g} m electrical length "
            f"({_SOLID_POLYETHYLENE * metres:.3g} m at velocity factor {_SOLID_POLYETHYLENE:g}), "
            f"{waves:.2g} wavelengths at {shown_mhz(line.centre_hz)}: R, X, resonance and Q are "
            "those at the analyzer's end"
        )
        return [ABOUT.found(text, severity="note")]
    if not _absorbs(facts):
        return _plain_line(facts, line.mean_turn_s)
    turns = line.mean_turn_s * (facts.high_hz - facts.low_hz)
    if line.is_good or turns < _LEAST_TURNS:
        return []
    text = (
        f"the reflection turns {turns:.2g} times over the sweep, as behind a line, but its "
        "length is not separable from the antenna's own turn"
    )
    return [ABOUT.found(text, severity="note")]


def _absorbs(facts: Facts) -> bool:
    """Whether something absorbs 3/4 of the power somewhere; a match over all of it is no dip."""
    return float(facts.rho.min()) < _ABSORBING


def _mean_turn_s(reflection: ComplexArray, facts: Facts) -> float:
    turn_rad = -float(np.angle(reflection[1:] * reflection[:-1].conj()).sum())
    return turn_rad / (2 * math.pi * (facts.high_hz - facts.low_hz))


def _plain_line(facts: Facts, delay_s: float) -> list[Finding]:
    """By the mean turn alone: an antenna's own turn, if there is one, is counted as line."""
    turns = delay_s * (facts.high_hz - facts.low_hz)
    if _absorbs(facts) or turns < _LEAST_TURNS:
        return []
    text = (
        f"the reflection turns {turns:.2g} times over the sweep, as at the near end of a line of "
        f"up to about {delay_s * _C_M_PER_S / 2:.2g} m electrical length with no match at its far "
        "end: left open or shorted, or an antenna far from its band"
    )
    return [ABOUT.found(text, severity="note")]
