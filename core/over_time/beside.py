"""Numbers that people note with a sweep: "12 °C, wind 3 m/s", a height, a resistance.

A trend is read beside one of them. What a number is of is known only by where it was noted and by
its unit, so that is what it is called.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Sequence

    from fairlead.core.document.entry import Entry

TEMPERATURE = "temperature"
_FEWEST = 3
_NUMBER = re.compile(
    r"(?<![\w.,])([+\-−]?\d+(?:[.,]\d+)?)\s*"
    r"(°\s?[CF]|%|m/s|km/h|hPa|m?[\u03a9\u2126]|mm|cm|m|min|h)(?![\w/])"
)


@dataclass(frozen=True, slots=True)
class Beside:
    """A quantity that several sweeps state.

    Attributes
    ----------
    name : str
        "temperature", or the field in which it was noted.
    unit : str
    """

    name: str
    unit: str

    @property
    def title(self) -> str:
        """Name and unit, as a heading."""
        return f"{self.name[0].upper()}{self.name[1:]} ({self.unit})"


def numbers_of(entry: Entry) -> dict[Beside, float]:
    """The numbers noted with a sweep, the first of each kind; degrees Fahrenheit as Celsius."""
    noted = entry.circumstances
    found: dict[Beside, float] = {}
    for name, text in (
        ("weather", noted.weather),
        ("condition", entry.condition),
        ("height", noted.height),
        ("DC resistance", noted.continuity),
    ):
        for number, unit in _NUMBER.findall(text):
            value = float(number.replace(",", ".").replace("−", "-"))
            if unit.startswith("°"):
                is_fahrenheit = unit.endswith("F")
                value = (value - 32) / 1.8 if is_fahrenheit else value
                found.setdefault(Beside(TEMPERATURE, "°C"), value)
            else:
                found.setdefault(Beside(name, unit.replace("\u2126", "\u03a9")), value)
    return found


def quantities(entries: Sequence[Entry]) -> tuple[Beside, ...]:
    """What at least three of some sweeps state, with at least two different values."""
    values: dict[Beside, list[float]] = {}
    for entry in entries:
        for quantity, value in numbers_of(entry).items():
            values.setdefault(quantity, []).append(value)
    return tuple(
        quantity
        for quantity, found in values.items()
        if len(found) >= _FEWEST and len(set(found)) > 1
    )
