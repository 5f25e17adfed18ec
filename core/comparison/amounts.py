"""Amounts of change in words: a number, its uncertainty and its unit."""

from __future__ import annotations

import math

_DIGITS = 3


def frequency_text(value_hz: float, half_hz: float | None, *, signed: bool = False) -> str:
    """A frequency difference in MHz or kHz with its half width; "unknown" if that is infinite."""
    if half_hz is not None and math.isinf(half_hz):
        return "unknown"
    largest_hz = max(abs(value_hz), half_hz or 0.0)
    unit, scale = ("MHz", 1e6) if largest_hz >= 1e6 else ("kHz", 1e3)
    half = None if half_hz is None else half_hz / scale
    return f"{with_half(value_hz / scale, half, signed=signed)} {unit}"


def with_half(value: float, half: float | None, *, signed: bool = False) -> str:
    """A value with its half width in two digits, or with three digits if there is none."""
    if half:
        decimals = 1 - math.floor(math.log10(half))
    else:
        decimals = _DIGITS - 1 - math.floor(math.log10(abs(value) or 1.0))
    decimals = min(max(decimals, 0), 6)
    text = signed_text(value, decimals) if signed else f"{value:.{decimals}f}"
    return text if not half else f"{text} ± {half:.{decimals}f}"


def signed_text(value: float, decimals: int) -> str:
    """A number with its sign, and a true minus."""
    return f"{value:+.{decimals}f}".replace("-", "−")
