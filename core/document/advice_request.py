"""What is asked of the advice, as it was typed: kept with the bench, and undone with it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

if TYPE_CHECKING:
    from fairlead.core.transform.step import Plane

Cut = Literal["whole", "part", "measured"]
SERIES_NAMES = ("E12", "E24")
"""Standard series of coils and capacitors."""
NETWORKS = (
    *("L network", "shunt stub, shorted", "shunt stub, open", "series stub, shorted"),
    *("series stub, open", "series section", "quarter-wave transformer"),
)
"""Kinds of matching networks."""


@dataclass(frozen=True, slots=True)
class AdviceRequest:
    """The questions; what cannot be understood stays as it was typed.

    Attributes
    ----------
    power, radio, line : str
        Of the station, as in `fairlead.core.advice.asked.parse_station`.
    cut : {"whole", "part", "measured"}
        What is cut: the whole antenna is scaled; a part of it; or two sweeps say what a cut does.
    length : str
        Of what is cut, with its unit; empty for an answer in per cent.
    target : str
        Frequency of the best match that is wanted; empty for the middle of the band.
    before_key : int or None
        The sweep before the last cut.
    cut_by : str
        How much was cut then, with its unit.
    match_at : str
        Frequency to match at; empty for the whole band.
    match_end : {"feed", "radio"}
        Where the network stands.
    series : {"E12", "E24"}
    coil_q, capacitor_q : str
    stub_line, section_line : str
        Types of line, or their numbers: of stubs, and of a section of another impedance.
    network : str
        The kind that is looked at, of `NETWORKS`; empty for the best.
    in_picture : bool
        Whether the printed picture shows that network's way over the Smith chart.
    """

    power: str = "100 W"
    radio: str = "fixed"
    line: str = ""
    cut: Cut = "whole"
    length: str = ""
    target: str = ""
    before_key: int | None = None
    cut_by: str = ""
    match_at: str = ""
    match_end: Plane = "feed"
    series: str = "E24"
    coil_q: str = "150"
    capacitor_q: str = "1000"
    stub_line: str = "RG-213"
    section_line: str = "RG-59"
    network: str = ""
    in_picture: bool = False
