"""A resistance measured along a conductor with an ohmmeter, as people note it.

"12 mΩ along 1.35 m, quarter wave, 12 mm aluminium": the reading and its length, which resonant
conductor it is, and as far as known its diameter and metal.
"""

from __future__ import annotations

import re
from dataclasses import dataclass

_NUMBER = r"(\d{1,7}(?:[.,]\d{1,7})?)"
_OHM = re.compile(rf"(?<![\w.,−-]){_NUMBER}\s*(µ|μ|m|milli)?\s?([\u03a9\u2126]|[Oo]hms?)(?!\w)")
_ALONG = re.compile(rf"\b(?:along|over)\s+{_NUMBER}\s*(mm|cm|m|in|ft)\b")
_THICK = re.compile(rf"(?<![\w.,]){_NUMBER}\s*(mm|in)\b")
_METRES = {"mm": 1e-3, "cm": 1e-2, "m": 1.0, "in": 0.0254, "ft": 0.3048}
_OHMS = {"": 1.0, "m": 1e-3, "milli": 1e-3, "µ": 1e-6, "μ": 1e-6}
# A reading that is a limit of the meter, not a value.
_NO_VALUE = re.compile(r"[<>≤≥]|\bopen\b", re.IGNORECASE)
_HALF = re.compile(r"half[- ]?wave|\bdipole|[λ]/2", re.IGNORECASE)
_QUARTER = re.compile(r"quarter[- ]?wave|\bmonopole|ground[- ]?plane|[λ]/4", re.IGNORECASE)
# Lowest resistivity that is usual, at 20 degrees Celsius: copper, silver and pure aluminium as in
# handbook tables (CRC Handbook of Chemistry and Physics, from memory), brass the least of its kinds
# (common practice, no source). Alloys have more, so the loss is at least as stated.
RESISTIVITY_OHM_M = {
    "copper": 1.68e-8,
    "silver": 1.59e-8,
    "aluminium": 2.65e-8,
    "brass": 6.0e-8,
}
_METALS = {**{name: name for name in RESISTIVITY_OHM_M}, "aluminum": "aluminium"}


@dataclass(frozen=True, slots=True)
class DcReading:
    """What was noted.

    Attributes
    ----------
    resistance_ohm : float
    length_m : float
        Along which it was measured.
    waves : float
        Length of the whole resonant conductor in wavelengths: 0.5 or 0.25.
    diameter_m : float or None
    metal : str
        A key of `RESISTIVITY_OHM_M`; empty if none of them is named.
    """

    resistance_ohm: float
    length_m: float
    waves: float
    diameter_m: float | None
    metal: str


def reading_of(text: str) -> DcReading | str:
    """The reading noted in a text, or the reason why there is none to use.

    Parameters
    ----------
    text : str
        As typed, in any order.
    """
    if not text.strip():
        return "no DC resistance is noted"
    found = _OHM.search(text)
    if found is None or _NO_VALUE.search(text) or _value(found[1]) <= 0:
        return "the DC check notes no resistance in mΩ or Ω"
    along = _ALONG.search(text)
    if along is None or _value(along[1]) <= 0:
        return 'the DC check does not say along which length it was taken, as in "along 1.35 m"'
    is_half, is_quarter = _HALF.search(text) is not None, _QUARTER.search(text) is not None
    if is_half == is_quarter:
        return 'the DC check does not say whether the conductor is a "half wave" or "quarter wave"'
    thick = _THICK.search(text[: along.start()] + text[along.end() :])
    diameter_m = None if thick is None else _value(thick[1]) * _METRES[thick[2]]
    metals = [metal for word, metal in _METALS.items() if re.search(rf"\b{word}\b", text.lower())]
    return DcReading(
        _value(found[1]) * _OHMS[found[2] or ""],
        _value(along[1]) * _METRES[along[2]],
        0.5 if is_half else 0.25,
        diameter_m or None,
        metals[0] if len(metals) == 1 else "",
    )


def _value(text: str) -> float:
    return float(text.replace(",", "."))
