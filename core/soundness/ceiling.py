"""Loss limits the SWR: the highest SWR of a whole sweep shows how much loss there may be.

What goes out through a one-way loss of A dB and comes back from total reflection has lost 2 A dB:
|G| = r = 10^(-A/10), SWR at most (1 + r) / (1 - r).
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

import numpy as np

from fairlead.core.soundness.cable_loss import lengths_m
from fairlead.core.soundness.finding import About, Finding
from fairlead.core.soundness.flat import LEAST_SHARE, MOST_MAGNITUDE
from fairlead.core.soundness.wording import shown_span, shown_swr, shown_width

if TYPE_CHECKING:
    from fairlead.core.arrays import FloatArray
    from fairlead.core.soundness.facts import Facts

ABOUT = About(
    code="swr-ceiling",
    title="An SWR that cannot rise",
    reason=(
        "Away from its band an antenna reflects nearly everything, and the SWR rises far above "
        "5. Where it does not, something may be absorbing power on the way: behind a loss of A dB "
        "even an open cable shows no more than SWR (1 + r) / (1 - r) with r = 10^(-A/10), and "
        "what is at the far end hardly shows. A low SWR then proves nothing about the antenna."
    ),
    threshold=(
        "|G| stays under 0.63 (2 dB one way, SWR 4.4; where the phase does not decide, 0.5: 3 dB, "
        "SWR 3) over a span wider than three 2:1 widths, or than 10 % of the frequency where the "
        "SWR never crosses 2:1, and is level (within 0.05 and 15 %) over a fifth of the sweep at "
        "one end; not reported where one resonance without loss explains the curve. An error of "
        "the analyzer of 0.03 (30 dB) is allowed for"
    ),
    source=(
        "return loss at the near end is that at the far end plus twice the loss (published, "
        "brats-qth.org training notes); the thresholds are common practice, no source"
    ),
    advice=(
        "Disconnect the antenna and sweep again: if hardly anything changes, you are looking at "
        "the cable. Measure the cable's loss open or shorted, or measure at the antenna. If "
        "there is no cable in this sweep, state that it was taken at the feed point (Edit > Feed "
        "line), and the verdict on the band counts."
    ),
    doubt="a lossy cable with nothing at its end would show the same",
    doubted=("yes",),
)
_MOST_MAGNITUDE = 10**-0.2
_WIDTHS = 3.0
_ERROR = 0.03
_TWO_TO_ONE = 1 / 3
# Without phase the loss must be plain: 3 dB, SWR 3.
_MOST_OF_SCALAR = 0.5
# A delay of this many standard errors is real.
_SURE = 5.0
# A lossless circuit of Q 2 and matched: 1 / (1 - |G|^2) = 1 + r Q^2 u^2 / 4.
_LEAST_BEND = 0.7
_SIGMAS = 4.0
_OFF = (0.01, 0.05)
# Range of |G| over a fifth of the sweep that counts as level: an analyzer's error, and a share.
_LEVEL = (0.05, 0.15)
_FEWEST_POINTS = 5
_C_M_PER_S = 299_792_458.0


def find(facts: Facts) -> list[Finding]:
    """The possible causes with their arithmetic, without deciding between them."""
    largest = float(np.sort(facts.rho)[-1 - facts.rho.size // 200])
    if facts.rho.size < _FEWEST_POINTS or not _is_capped(facts, largest):
        return []
    line = facts.line
    if line is not None and line.is_good and not math.isnan(line.far_magnitude):
        is_lossy = line.far_magnitude <= _MOST_MAGNITUDE
        return [ABOUT.found(_text(facts, max(largest, line.far_magnitude)))] if is_lossy else []
    turns = 0.0 if line is None else line.delay_s * (facts.high_hz - facts.low_hz)
    is_sure = line is not None and line.is_good and line.delay_s >= _SURE * line.delay_error_s
    if line is not None and turns >= 1 and is_sure:
        metres = line.delay_s * _C_M_PER_S / 2
        more = (
            f". The reflection turns {turns:.3g} times over the span, as behind a line of "
            f"{metres:.3g} m electrical length with nothing resonant at its end"
        )
        return [ABOUT.found(_text(facts, largest) + more)]
    if largest > _MOST_OF_SCALAR or _is_one_resonance(facts.frequency_hz, facts.rho, facts.noise):
        return []
    return [ABOUT.found(_text(facts, largest), severity="note")]


def _is_capped(facts: Facts, largest: float) -> bool:
    """Whether |G| stays low over a wide span and has levelled off at one end at least."""
    if not MOST_MAGNITUDE + _SIGMAS * facts.noise < largest <= _MOST_MAGNITUDE:
        return False
    width_hz = _width_below(facts, _TWO_TO_ONE)
    span_hz = facts.high_hz - facts.low_hz
    is_wide = span_hz >= _WIDTHS * width_hz if width_hz else facts.share >= LEAST_SHARE
    fifth = max(2, facts.rho.size // 5)
    ranges = (float(np.ptp(part)) for part in (facts.rho[:fifth], facts.rho[-fifth:]))
    return is_wide and min(ranges) <= _LEVEL[0] + _LEVEL[1] * largest


def _width_below(facts: Facts, magnitude: float) -> float | None:
    """Width around the best point where |G| stays below; None if it does over the whole sweep.

    Zero if it never gets that low.
    """
    index = int(facts.rho.argmin())
    above = np.flatnonzero(facts.rho > magnitude)
    if not above.size:
        return None
    place = int(above.searchsorted(index))
    low = int(above[place - 1]) if place > 0 else 0
    high = int(above[place]) if place < above.size else facts.rho.size - 1
    if facts.rho[index] > magnitude:
        return 0.0
    return float(facts.frequency_hz[high] - facts.frequency_hz[low])


def _is_one_resonance(frequency_hz: FloatArray, rho: FloatArray, noise: float) -> bool:
    """Whether 1 / (1 - |G|^2) is a parabola in u with its least value inside the sweep."""
    centre_hz = math.sqrt(float(frequency_hz[0] * frequency_hz[-1]))
    u = frequency_hz / centre_hz - centre_hz / frequency_hz
    c2, c1, c0 = np.polyfit(u, 1 / (1 - rho**2), 2).tolist()
    if c2 < _LEAST_BEND or not u[0] < -c1 / (2 * c2) < u[-1]:
        return False
    fitted = np.sqrt(1 - 1 / np.maximum(c0 + c1 * u + c2 * u**2, 1.0))
    off = float(np.sort(np.abs(fitted - rho))[int(0.95 * (rho.size - 1))])
    return off <= max(_SIGMAS * noise, _OFF[0] + _OFF[1] * float(rho.max()))


def _text(facts: Facts, largest: float) -> str:
    loss_db = -10 * math.log10(largest)
    least_db = -10 * math.log10(min(largest + _ERROR, 1.0))
    centre_hz = math.sqrt(facts.low_hz * facts.high_hz)
    cables = " or ".join(
        f"{metres:.2g} m of {name}" for name, metres in lengths_m(loss_db, centre_hz).items()
    )
    cable = f" (as {cables} have at {centre_hz / 1e6:.3g} MHz)" if cables else ""
    width = shown_width(facts.high_hz - facts.low_hz)
    return (
        f"the SWR stays under {shown_swr(largest)} over {width} "
        f"({shown_span(facts.low_hz, facts.high_hz)}). It may be an antenna or a termination that "
        f"is matched over all of it; or a loss of {loss_db:.2g} dB one way{cable}, at least "
        f"{least_db:.2g} dB with an analyzer error of 30 dB, behind which even an open end would "
        "show no more"
    )
