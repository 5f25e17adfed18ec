"""What a laid-out picture is made of: plain values in millimetres, y downwards, no Qt.

The layout makes them, the painter paints them, tests read them.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Protocol

if TYPE_CHECKING:
    from fairlead.core.arrays import FloatArray

MM_PER_PT = 25.4 / 72
# Fractions of the type size; close enough for every sans serif font used here.
CAP_HEIGHT = 0.72
DESCENT = 0.22


@dataclass(frozen=True, slots=True)
class Box:
    """A rectangle: left, top, right, bottom in mm."""

    left: float
    top: float
    right: float
    bottom: float

    @property
    def width(self) -> float:
        """Width in mm."""
        return self.right - self.left

    @property
    def height(self) -> float:
        """Height in mm."""
        return self.bottom - self.top

    def grown(self, by_mm: float) -> Box:
        """The box enlarged on all sides."""
        return Box(self.left - by_mm, self.top - by_mm, self.right + by_mm, self.bottom + by_mm)

    def overlaps(self, other: Box) -> bool:
        """Whether the two share an area."""
        return (
            self.left < other.right
            and other.left < self.right
            and self.top < other.bottom
            and other.top < self.bottom
        )

    def holds(self, other: Box) -> bool:
        """Whether the other lies inside, to a hundredth of a millimetre."""
        slack = 0.01
        return (
            self.left - slack <= other.left
            and self.top - slack <= other.top
            and other.right <= self.right + slack
            and other.bottom <= self.bottom + slack
        )


@dataclass(frozen=True, slots=True)
class Pen:
    """Colour "#rrggbb", width in mm, and lengths of dashes and gaps in mm (empty: solid)."""

    colour: str
    width_mm: float
    dash_mm: tuple[float, ...] = ()


@dataclass(frozen=True, slots=True, eq=False)
class Line:
    """A polyline; ``points`` of shape (n, 2)."""

    points: FloatArray
    pen: Pen


@dataclass(frozen=True, slots=True)
class StraightLine:
    """A straight line from (x1, y1) to (x2, y2)."""

    x1: float
    y1: float
    x2: float
    y2: float
    pen: Pen


@dataclass(frozen=True, slots=True)
class Fill:
    """A filled rectangle."""

    box: Box
    colour: str


@dataclass(frozen=True, slots=True, eq=False)
class Area:
    """A filled polygon, ``points`` of shape (n, 2); translucent."""

    points: FloatArray
    colour: str
    opacity: float


@dataclass(frozen=True, slots=True)
class CircleArc:
    """Part of a circle, counter-clockwise on paper; a span of 360 is the whole circle."""

    x: float
    y: float
    radius_mm: float
    start_deg: float
    span_deg: float
    pen: Pen


@dataclass(frozen=True, slots=True)
class Mark:
    """A marker of a sweep.

    Attributes
    ----------
    shape : str
        One of `fairlead.app.look.palette.MARKERS`.
    x, y : float
        Centre.
    size_mm : float
        Height and width.
    colour : str
    is_hollow : bool
        Outline on white; cross and plus are enclosed in a circle.
    """

    shape: str
    x: float
    y: float
    size_mm: float
    colour: str
    is_hollow: bool = False


@dataclass(frozen=True, slots=True)
class Text:
    """One line of plain text.

    Attributes
    ----------
    text : str
    x, y : float
        Left end of the baseline; for upright text the lower end.
    width_mm : float
        As measured.
    size_pt : float
    colour : str
    is_bold : bool
    is_upright : bool
        Rotated a quarter turn counter-clockwise; reads upwards.
    halo : bool
        White background, for text on top of lines.
    """

    text: str
    x: float
    y: float
    width_mm: float
    size_pt: float
    colour: str
    is_bold: bool = False
    is_upright: bool = False
    halo: bool = False

    @property
    def box(self) -> Box:
        """The area of the letters."""
        up_mm = self.size_pt * MM_PER_PT * CAP_HEIGHT
        down_mm = self.size_pt * MM_PER_PT * DESCENT
        if self.is_upright:
            return Box(self.x - up_mm, self.y - self.width_mm, self.x + down_mm, self.y)
        return Box(self.x, self.y - up_mm, self.x + self.width_mm, self.y + down_mm)


@dataclass(frozen=True, slots=True)
class Clipped:
    """Shapes clipped to a box."""

    box: Box
    shapes: tuple[Shape, ...]


Shape = Line | StraightLine | Fill | Area | CircleArc | Mark | Text | Clipped


class Sheet(Protocol):
    """What is painted as a whole: a picture, or a page."""

    @property
    def width_mm(self) -> float:
        """True width on paper."""

    @property
    def height_mm(self) -> float:
        """True height on paper."""

    @property
    def title(self) -> str:
        """Also written into the file."""

    @property
    def shapes(self) -> tuple[Shape, ...]:
        """All shapes, in painting order."""


class DescribedSheet(Sheet, Protocol):
    """The same with its content in words."""

    @property
    def description(self) -> str:
        """Written into the file, for those who cannot see it."""
