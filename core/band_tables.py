"""Published amateur allocations, 160 m to 23 cm, for the three ITU Regions.

The edges are law and change; national rules come first. The tables give what the Regions'
allocations and the sources below say, not what a licence allows.

Sources, by the letter in each row:
a  47 CFR 97.301 (revision of 1 September 2021)      b  47 CFR 97.305 (31 May 2024)
c  47 CFR Part 97, older edition, by ITU Region      d  IARU Region 1, HF pages quoting RR Article 5
e  IARU Region 1 HF band plan, 16 October 2020       f  IARU Region 2 band plan, 2008
g  IARU Region 3 document R3-004, September 2019     i  notes on WRC-19 of IARU Region 2 and RSGB
m  ITU Radio Regulations Article 5, from memory
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import Literal

from fairlead.core.bands import Band
from fairlead.core.errors import ValueTextError
from fairlead.core.units import is_span, parse_span_hz

Region = Literal[1, 2, 3]
REGIONS: tuple[Region, ...] = (1, 2, 3)
REGION_TEXT = {
    1: "Region 1: Europe, Africa, the Middle East, northern Asia",
    2: "Region 2: the Americas",
    3: "Region 3: southern and eastern Asia, Oceania",
}
NATIONAL_RULES = "Allocations by ITU Region; the rules of your country and your licence come first."


@dataclass(frozen=True, slots=True)
class Allocation:
    """One band of the amateur service in one ITU Region.

    Attributes
    ----------
    name : str
        Trade name by wavelength, "6 m".
    region : Region
    low_hz, high_hz : float
    source : str
        Letters of the sources in the module's text.
    note : str
        What differs from country to country, or empty.
    """

    name: str
    region: Region
    low_hz: float
    high_hz: float
    source: str
    note: str = ""

    @property
    def band(self) -> Band:
        """The band with its full name, "6 m, Region 1"."""
        return Band(self.low_hz, self.high_hz, f"{self.name}, Region {self.region}")


_Edges = tuple[float, float] | None

# name; edges in kHz for Regions 1, 2, 3 (None: no allocation); sources; note
_ROWS: tuple[tuple[str, tuple[_Edges, _Edges, _Edges], str, str], ...] = (
    ("160 m", ((1810, 1850), (1800, 2000), (1800, 2000)), "cef", "Region 1: to 2000 in places"),
    ("80 m", ((3500, 3800), (3500, 4000), (3500, 3900)), "cdf", ""),
    ("60 m", ((5351.5, 5366.5),) * 3, "be", "channels or no access in places"),
    ("40 m", ((7000, 7200), (7000, 7300), (7000, 7200)), "bdg", ""),
    ("30 m", ((10100, 10150),) * 3, "c", "secondary"),
    ("20 m", ((14000, 14350),) * 3, "b", ""),
    ("17 m", ((18068, 18168),) * 3, "b", ""),
    ("15 m", ((21000, 21450),) * 3, "b", ""),
    ("12 m", ((24890, 24990),) * 3, "b", ""),
    ("10 m", ((28000, 29700),) * 3, "bm", ""),
    ("6 m", ((50000, 52000), (50000, 54000), (50000, 54000)), "ai", "Region 1: differs a lot"),
    ("2 m", ((144000, 146000), (144000, 148000), (144000, 148000)), "a", ""),
    ("1.25 m", (None, (222000, 225000), None), "a", "United States' edges"),
    ("70 cm", ((430000, 440000), (420000, 450000), (430000, 440000)), "am", "Region 2: US edges"),
    ("33 cm", (None, (902000, 928000), None), "a", ""),
    ("23 cm", ((1240000, 1300000),) * 3, "a", "secondary"),
)


def _build() -> tuple[Allocation, ...]:
    return tuple(
        Allocation(name, region, edges[0] * 1e3, edges[1] * 1e3, source, note)
        for name, by_region, source, note in _ROWS
        for region, edges in zip(REGIONS, by_region, strict=True)
        if edges is not None
    )


ALLOCATIONS: tuple[Allocation, ...] = _build()


def allocations(region: Region) -> tuple[Allocation, ...]:
    """The bands of one Region, from long to short waves."""
    return tuple(row for row in ALLOCATIONS if row.region == region)


_NAME = re.compile(
    r"\s*([0-9]+(?:[.,][0-9]+)?)\s*(c?m)(?:et(?:er|re)s?)?\s*"
    r"[,/]?\s*(?:(?:R|(?:ITU )?Region)\s*([123]))?\s*",
    re.IGNORECASE,
)
_REGION_OF_DIGIT: dict[str | None, Region] = {str(region): region for region in REGIONS}


def find_band(text: str, region: Region = 1) -> Band:
    """A published band by its name: "6m", "6 metres", "70cm", also with its Region, "6m/R2".

    Raises
    ------
    ValueTextError
        If there is no such band in that Region.
    """
    match = _NAME.fullmatch(text)
    if match is not None:
        number, unit, own_region = match.groups()
        region = _REGION_OF_DIGIT.get(own_region, region)
        name = f"{number.replace(',', '.')} {unit.lower()}"
        for row in allocations(region):
            if row.name == name:
                return row.band
    names = ", ".join(row.name.replace(" ", "") for row in allocations(region))
    raise ValueTextError(
        f'no band "{text}" in Region {region}', f'choose one of {names}, or give edges "50:52MHz"'
    )


def parse_band(text: str, region: Region = 1) -> Band:
    """A published band by name, or a custom one by its edges ("50:52MHz").

    Raises
    ------
    ValueTextError
        If the text is neither.
    """
    return Band(*parse_span_hz(text)) if is_span(text) else find_band(text, region)
