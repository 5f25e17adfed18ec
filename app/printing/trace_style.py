"""How each sweep is drawn on paper: colour or grey, dash, marker, width."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from fairlead.app.look.palette import DASHES, LIGHT, MARKERS

if TYPE_CHECKING:
    from fairlead.core.document.entry import Style

NOMINAL_WIDTH_MM = 0.36
_MARK_MM = 1.7
_REFERENCE_WIDER = 1.35
_BLACK, _DARK_GREY = "#000000", "#707070"

# Dash and marker alone repeat after 12 sweeps. A third feature, chosen by the colour's index,
# distinguishes them without colour: filled, hollow, or filled in grey.
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
    """Colours of everything except sweeps."""

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
    """The style of a sweep on paper; indices wrap around their lists."""
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


def curve_width_mm(count: int) -> float:
    """Line width of a curve: thinner if there are many."""
    return 0.4 if count <= 5 else 0.34 if count <= 10 else 0.28


def tolerance_mm(width_mm: float) -> float:
    """How far a simplified curve may be off: a fraction of its line's width."""
    return width_mm / 10


def trace_width_mm(width_mm: float, *, is_emphasised: bool) -> float:
    """Line width of one curve: the reference stands out a little."""
    return width_mm * (_REFERENCE_WIDER if is_emphasised else 1.0)


def mark_size_mm(count: int) -> float:
    """Size of the markers: smaller if there are many curves."""
    return _MARK_MM if count <= 10 else 0.85 * _MARK_MM
