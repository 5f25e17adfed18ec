"""How each sweep is drawn on paper: colour or grey, dash, marker."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from fairlead.app.look.palette import DASHES, LIGHT, MARKERS

if TYPE_CHECKING:
    from fairlead.core.document.bench import Style

NOMINAL_WIDTH_MM = 0.36
_BLACK, _DARK_GREY = "#000000", "#707070"

# Dash and marker alone come round again after 12 sweeps. A third sign, chosen by the colour's
# index, keeps them apart without colour: filled, hollow, or filled in grey.
_FILLED, _HOLLOW, _GREY = range(3)
_THIRD_SIGN = (_FILLED, _FILLED, _HOLLOW, _HOLLOW, _GREY)


@dataclass(frozen=True, slots=True)
class TraceStyle:
    """Colour "#rrggbb", dashes and gaps in mm, marker's shape and whether it is hollow."""

    colour: str
    dash_mm: tuple[float, ...]
    marker: str
    is_hollow: bool


@dataclass(frozen=True, slots=True)
class Ink:
    """Colours of everything that is no sweep."""

    text: str
    muted: str
    axis: str
    grid: str
    band_fill: str
    band: str
    limit: str


COLOUR_INK = Ink(
    text="#000000",
    muted="#4a4a4a",
    axis="#000000",
    grid="#bfc4ca",
    band_fill="#f6f1dc",
    band=LIGHT.band,
    limit=LIGHT.limit,
)
GREY_INK = Ink(
    text="#000000",
    muted="#4a4a4a",
    axis="#000000",
    grid="#c2c2c2",
    band_fill="#efefef",
    band="#404040",
    limit="#000000",
)


def trace_style(style: Style, *, grey: bool) -> TraceStyle:
    """The style of a sweep on paper; indices go round their lists."""
    sign = _THIRD_SIGN[style.colour % len(_THIRD_SIGN)]
    if grey:
        colour = _DARK_GREY if sign == _GREY else _BLACK
    else:
        colour = LIGHT.curves[style.colour % len(LIGHT.curves)]
    dash = DASHES[style.dash % len(DASHES)]
    return TraceStyle(
        colour=colour,
        dash_mm=tuple(round(part * NOMINAL_WIDTH_MM, 3) for part in dash),
        marker=MARKERS[style.marker % len(MARKERS)],
        is_hollow=sign == _HOLLOW,
    )
