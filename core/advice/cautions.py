"""Cautions about what can hurt somebody who follows the advice, given once, next to it.

Local codes, the terms of the licence and qualified people come first; nothing here replaces them.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from fairlead.core.advice.answers import Advice

FIRST = "Local codes, your licence and qualified people come before this program."
POWER = (
    "A bad match can destroy a transmitter and overheat a line: look for the fault before you "
    "transmit, and start with low power."
)
# Limits: 47 CFR 1.1310, table 1; ICNIRP guidelines 2020, Health Physics 118(5).
EXPOSURE = (
    "Work out the RF exposure of people nearby before you transmit, by the limits of your country "
    "(published ones: 47 CFR 1.1310; ICNIRP 2020)."
)
STATIC = (
    "Before you connect an analyzer: make sure that no thunderstorm is near, and discharge the "
    "antenna's static to ground."
)
# Distance: United States Technician question pool, T0B06 (reach plus 10 ft).
MASTS = (
    "Lower the antenna to work on it, and keep it and its mast so far from power lines that "
    "nothing can touch one even while falling: its full reach plus at least 3 m (10 ft)."
)
# Above this the antenna's own terminals are at high voltage: an end-fed wire has thousands of ohms.
_HOT_OHM = 1000.0
# SWR at the radio above which a caution is given (common practice, no source).
_BAD_MATCH = 2.0


def hot_end(peak_v: float) -> str:
    """Caution about a high voltage at the antenna, such as at both ends of an end-fed wire."""
    return (
        f"Expect about {_two_digits(peak_v)} V peak at the antenna's terminals at full power, and "
        "as much or more at a wire's far end: keep both out of reach of people, animals and "
        "anything that burns."
    )


def _two_digits(value: float) -> str:
    return f"{float(f'{value:.2g}'):.0f}"


def cautions(advice: Advice) -> tuple[str, ...]:
    """The cautions that apply to the advice, each once."""
    said = []
    steps = [place.steps for one in advice.budgets for place in one.places if place.steps]
    if any(one.swr_radio > _BAD_MATCH for one in steps):
        said.append(POWER)
    hot_v = [
        one.antenna_peak_v
        for one in steps
        if one.power_w > 0 and one.antenna_peak_v**2 / (2 * one.power_w) > _HOT_OHM
    ]
    if hot_v:
        said.append(hot_end(max(hot_v)))
    said.append(EXPOSURE)
    if advice.question.wants_shift or advice.question.trim or advice.question.match:
        said += [STATIC, MASTS]
    return (*said, FIRST)
