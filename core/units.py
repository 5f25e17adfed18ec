"""Parse what people type ("14.2M", "145,5 MHz", "50:52MHz") and format what they read."""

from __future__ import annotations

import math
import re
from functools import lru_cache

from fairlead.core.errors import ValueTextError

DASH = "–"
"""Stands for a figure that does not exist."""

_FACTORS = {"hz": 1.0, "": None, "k": 1e3, "khz": 1e3, "m": 1e6, "mhz": 1e6, "g": 1e9, "ghz": 1e9}
_FREQUENCY = re.compile(r"\s*([+]?[0-9.,]+(?:[eE][+-]?[0-9]+)?)\s*([A-Za-z]*)\s*")
_NUMBER = re.compile(r"[+-]?(?:[0-9]+\.?[0-9]*|\.[0-9]+)(?:[eE][+-]?[0-9]+)?")
# Groups of three digits with one mark, decimals with the other: "1,234.5" and "1.234,5".
_GROUPED = (
    re.compile(r"[+-]?[0-9]{1,3}(?:,[0-9]{3})+\.[0-9]*"),
    re.compile(r"[+-]?[0-9]{1,3}(?:\.[0-9]{3})+,[0-9]*"),
)
# The comma may part thousands or decimals; after a point or a zero only decimals are meant.
_EITHER = re.compile(r"[+-]?[1-9][0-9]{0,2},[0-9]{3}")
_SEPARATOR = re.compile(r"\s*(?::|\.\.+|…|–|—|−|\sto\s|(?<![eE])-)\s*")
_EXAMPLES = 'write for example "50.5 MHz", "145,5M" or "7100 kHz"'
# Without a unit people mean MHz; nobody's MHz reach six digits, so larger numbers are Hz.
_PLAIN_NUMBER_IS_HZ_FROM = 100_000.0
_LARGEST_SWR_SHOWN = 9999


def parse_frequency_hz(text: str, unit: str = "") -> float:
    """Frequency in Hz of typed text.

    Parameters
    ----------
    text : str
        A number with point or comma, and Hz, kHz, MHz, GHz or k, M, G in any case.
    unit : str
        Unit to use when the text has none. Empty: MHz below 100 000, Hz from there on.

    Raises
    ------
    ValueTextError
        If it is no positive finite frequency.
    """
    match = _FREQUENCY.fullmatch(text)
    if match is None:
        raise ValueTextError(f'"{text.strip()}" is not a frequency', _EXAMPLES)
    number, found_unit = match.groups()
    key = (found_unit or unit).lower()
    if key not in _FACTORS:
        raise ValueTextError(f'"{found_unit or unit}" is not a unit of frequency', _EXAMPLES)
    # Thousands of GHz are no frequency of an antenna, so "1,296 GHz" can mean one thing only.
    if key in ("g", "ghz") and _EITHER.fullmatch(number):
        number = number.replace(",", ".")
    value = _value(number)
    if value is None:
        raise ValueTextError(f'"{text.strip()}" is not a frequency', _EXAMPLES)
    factor = _FACTORS[key]
    if factor is None:
        factor = 1.0 if value >= _PLAIN_NUMBER_IS_HZ_FROM else 1e6
    # 50.1 * 1e6 is 50099999.999...: what was typed in decimals is meant in whole millihertz.
    frequency_hz = round(value * factor, 3)
    if not (math.isfinite(frequency_hz) and frequency_hz > 0):
        raise ValueTextError(f'"{text.strip()}" is not a positive frequency', _EXAMPLES)
    return frequency_hz


def parse_span_hz(text: str) -> tuple[float, float]:
    """Low and high frequency in Hz of text like "50:52MHz", "50 - 52 MHz", "144MHz to 146MHz".

    A unit given once serves both numbers.

    Raises
    ------
    ValueTextError
        If there are not two frequencies, or the first is not below the second.
    """
    parts = _SEPARATOR.split(text.strip())
    if len(parts) != 2:
        raise ValueTextError(f'"{text}" is not a band', 'write for example "50:52MHz"')
    low, high = parts
    low_hz, high_hz = parse_frequency_hz(low, _unit(high)), parse_frequency_hz(high, _unit(low))
    if not low_hz < high_hz:
        raise ValueTextError(f'"{text}": the low edge is not below the high edge', "swap the two")
    return low_hz, high_hz


def is_span(text: str) -> bool:
    """Whether the text has the sign between two frequencies that `parse_span_hz` looks for."""
    return _SEPARATOR.search(text.strip()) is not None


def _unit(text: str) -> str:
    """The letters at the end of a typed frequency."""
    found = re.search(r"[A-Za-z]*$", text)
    return found.group() if found else ""


def parse_number(text: str, what: str) -> float:
    """A finite number with point or comma, whatever the system's locale.

    Parameters
    ----------
    text : str
    what : str
        Names it in the error.

    Raises
    ------
    ValueTextError
        If it is not a finite number, or may be two: "1,234".
    """
    value = _value(text.strip())
    if value is None or not math.isfinite(value):
        raise ValueTextError(
            f'"{text.strip()}" is not a number for {what}', "write for example 2.0"
        )
    return value


def _value(text: str) -> float | None:
    """Value of typed digits; None where they are no number.

    Raises
    ------
    ValueTextError
        Where they may be two numbers.
    """
    if _EITHER.fullmatch(text):
        point, none = text.replace(",", "."), text.replace(",", "")
        raise ValueTextError(
            f'"{text}" may be {float(point):g} or {none}', f"write {point} or {none}"
        )
    if _GROUPED[0].fullmatch(text):
        text = text.replace(",", "")
    elif _GROUPED[1].fullmatch(text):
        text = text.replace(".", "")
    text = text.replace(",", ".")
    return float(text) if _NUMBER.fullmatch(text) else None


@lru_cache(maxsize=256)
def mhz_decimals(step_hz: float) -> int:
    """Decimals of a frequency in MHz that a sweep of this step supports.

    Interpolation finds a best match to some 1/20 of a step in practice (common practice, no
    source): 25 kHz steps give 3 decimals.
    """
    place_mhz = step_hz / 20 / 1e6
    return min(6, max(0, math.ceil(-math.log10(place_mhz) - 1e-9))) if place_mhz > 0 else 6


def format_mhz(frequency_hz: float | None, decimals: int = 3) -> str:
    """Frequency in MHz without its unit; a dash where it does not exist."""
    if frequency_hz is None or not math.isfinite(frequency_hz):
        return DASH
    return f"{frequency_hz / 1e6:.{decimals}f}"


def format_frequency(frequency_hz: float | None, decimals: int = 3) -> str:
    """Frequency with its unit: "50.313 MHz"."""
    text = format_mhz(frequency_hz, decimals)
    return text if text == DASH else f"{text} MHz"


def swr_decimals(ratio: float) -> int:
    """Decimals of an SWR for people: 2 below 10, 1 below 100, none above."""
    return 2 if ratio < 10 else 1 if ratio < 100 else 0


def format_swr(ratio: float | None, decimals: int | None = None) -> str:
    """SWR for people, with `swr_decimals` unless it is told how many; infinity as a sign.

    No analyzer tells an SWR above 9999 (|G| = 0.9998) from another.
    """
    if ratio is None or math.isnan(ratio):
        return DASH
    if math.isinf(ratio):
        return "∞"
    if ratio > _LARGEST_SWR_SHOWN:
        return f"> {_LARGEST_SWR_SHOWN}"
    return f"{ratio:.{swr_decimals(ratio) if decimals is None else decimals}f}"


def format_signed(value: float | None, decimals: int) -> str:
    """A change with its sign, a true minus, and a dash where it does not exist."""
    return DASH if value is None or not math.isfinite(value) else _signed(value, decimals)


def format_number(value: float | None, decimals: int) -> str:
    """A number with fixed decimals; a dash where it does not exist, a sign for infinity."""
    if value is None or math.isnan(value):
        return DASH
    if math.isinf(value):
        return "∞" if value > 0 else "−∞"
    return _without_sign_of_zero(f"{value:.{decimals}f}").replace("-", "−")


def _signed(value: float, decimals: int) -> str:
    return _without_sign_of_zero(f"{value:+.{decimals}f}").replace("-", "−")


def _without_sign_of_zero(text: str) -> str:
    return text if text.strip("+-0.") else text.lstrip("+-")
