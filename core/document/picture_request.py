"""Picture settings: size, resolution, texts, colour or grey."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

from fairlead.core.errors import FairleadError
from fairlead.core.views.registry import view_named
from fairlead.core.views.swr import SWR

if TYPE_CHECKING:
    from fairlead.core.views.quantity import Quantity

Legend = Literal["name", "condition", "date", "place"]
LEGENDS: tuple[Legend, ...] = ("name", "condition", "date", "place")
ChangesShown = Literal["if-room", "yes", "no"]
CHANGES_SHOWN: tuple[ChangesShown, ...] = ("if-room", "yes", "no")

MM_PER_INCH = 25.4
SMALLEST_MM = (80.0, 60.0)
LARGEST_MM = 1200.0
DPI_RANGE = (50, 2400)
MOST_PIXELS = 150_000_000
"""A bitmap of this size takes 600 MB while it is painted."""


@dataclass(frozen=True, slots=True)
class PictureRequest:
    """Settings of a picture.

    Attributes
    ----------
    width_mm, height_mm : float
        True size on paper.
    dpi : int
        Pixels per inch of a bitmap; SVG and PDF have none.
    grey : bool
        Black and greys only; dashes and markers distinguish the sweeps.
    title : str or None
        None: a title made from the bench; empty: no title.
    caption : str
        The user's own line below the picture; may be empty.
    mark_best_match : bool
        Whether a thin stem leads from each best match down to the frequency axis.
    legend : {"name", "condition", "date", "place"}
        What is written beside a sweep's line: its name; with its condition; with condition and
        date; with condition and place.
    view : str
        Id of the quantity that is plotted over frequency, beside the Smith chart.
    changes : {"if-room", "yes", "no"}
        Whether it says in words what changed against the reference: among the remarks where one or
        two sweeps are compared and all remarks have room; in lines of its own; not at all.
    markers : bool
        Whether the markers are drawn, with the values of all sweeps at them in a table.
    log_frequency : bool
        Whether the frequency axis is logarithmic.
    transparent : bool
        No paper is painted behind the picture: what it is laid on shows through.

    Raises
    ------
    FairleadError
        If a size is too small to be legible or too large to be painted, or there is no such view.
    """

    width_mm: float = 180.0
    height_mm: float = 100.0
    dpi: int = 300
    grey: bool = False
    title: str | None = None
    caption: str = ""
    mark_best_match: bool = True
    legend: Legend = "condition"
    view: str = SWR.id
    changes: ChangesShown = "if-room"
    markers: bool = True
    log_frequency: bool = False
    transparent: bool = False

    def __post_init__(self) -> None:
        for what, value, smallest in (
            ("width", self.width_mm, SMALLEST_MM[0]),
            ("height", self.height_mm, SMALLEST_MM[1]),
        ):
            if not smallest <= value <= LARGEST_MM:
                raise FairleadError(
                    f"a picture with a {what} of {value:g} mm cannot be laid out",
                    f"choose a {what} from {smallest:g} to {LARGEST_MM:g} mm",
                )
        if not DPI_RANGE[0] <= self.dpi <= DPI_RANGE[1]:
            raise FairleadError(
                f"{self.dpi} dpi is not a resolution for print",
                f"choose {DPI_RANGE[0]} to {DPI_RANGE[1]}; 300 is usual",
            )
        view_named(self.view)

    @property
    def quantity(self) -> Quantity:
        """What is plotted over frequency."""
        return view_named(self.view)

    @property
    def size_px(self) -> tuple[int, int]:
        """Width and height of a bitmap in pixels."""
        scale = self.dpi / MM_PER_INCH
        return round(self.width_mm * scale), round(self.height_mm * scale)

    def check_bitmap(self) -> None:
        """Refuse a bitmap that would not fit into memory.

        Raises
        ------
        FairleadError
        """
        width_px, height_px = self.size_px
        if width_px * height_px > MOST_PIXELS:
            raise FairleadError(
                f"a bitmap of {width_px} x {height_px} pixels is too large",
                "choose fewer dpi or a smaller size, or write SVG or PDF",
            )
