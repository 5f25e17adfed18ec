"""Numbers as the checks write them."""

from __future__ import annotations

import math


def shown_mhz(frequency_hz: float) -> str:
    """A frequency with six digits at most: "145.25 MHz"."""
    return f"{frequency_hz / 1e6:.6g} MHz"


def shown_span(low_hz: float, high_hz: float) -> str:
    """From one frequency to another: "144 to 146 MHz"."""
    return f"{low_hz / 1e6:.6g} to {high_hz / 1e6:.6g} MHz"


def shown_width(width_hz: float) -> str:
    """A difference of frequencies with three digits."""
    return f"{width_hz / 1e3:.3g} kHz" if width_hz < 1e6 else f"{width_hz / 1e6:.3g} MHz"


def shown_swr(magnitude: float) -> str:
    """The SWR of |G| with three digits; of total reflection "infinity"."""
    if magnitude >= 1 - 1e-9:
        return "infinity"
    return f"{(1 + magnitude) / (1 - magnitude):.3g}"


def counted(number: int, what: str) -> str:
    """A number with its noun: "1 point", "12 points"."""
    return f"{number} {what}" if number == 1 else f"{number} {what}s"


def rounded_up(number: float) -> int:
    """A number of points rounded up to two digits: 1234 becomes 1300."""
    unit = 10 ** max(0, math.floor(math.log10(number)) - 1)
    return int(math.ceil(number / unit) * unit)
