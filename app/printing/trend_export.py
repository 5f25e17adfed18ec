"""The picture of a trend: to a file at true size, and as a bitmap for the window."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Self

from PySide6.QtGui import QColor, QImage, QPainter

from fairlead.app.look.palette import LIGHT
from fairlead.app.printing.drying_picture import lay_out_drying
from fairlead.app.printing.export import write_sheet
from fairlead.app.printing.fonts import UNITS_PER_MM, FontMeasure, chosen_families
from fairlead.app.printing.paint import paint_picture
from fairlead.app.printing.trace_style import COLOUR_INK, GREY_INK, Ink
from fairlead.app.printing.trend_picture import lay_out_trend
from fairlead.core.document.picture_request import MM_PER_INCH

if TYPE_CHECKING:
    from collections.abc import Sequence

    from PySide6.QtCore import QSize

    from fairlead.app.look.palette import Theme
    from fairlead.app.printing.shapes import Sheet
    from fairlead.core.comparison.repeats.drying import Drying
    from fairlead.core.document.bench import Bench
    from fairlead.core.document.picture_request import PictureRequest
    from fairlead.core.figure_table import FigureSpec
    from fairlead.core.over_time.trends import OverTime

# On a screen letters are larger than on paper.
_SCALE_MM = MM_PER_INCH / 132.0
DRYING_TITLE = "Drying curve"


def write_trend(
    bench: Bench,
    spec: FigureSpec,
    found: OverTime,
    request: PictureRequest,
    path: str,
    originals: frozenset[str] = frozenset(),
) -> None:
    """Draw a trend to a file; size, resolution and colours are those of the request.

    Raises
    ------
    FairleadError
        If the extension is unknown or the file cannot be written.
    """
    style = _Style.of_request(request)
    page = lay_out_trend(
        bench, spec, found, *style.given, title=request.title, caption=request.caption
    )
    write_sheet(page, request, style.families, path, bench.source_files | originals)


def write_drying(
    bench: Bench,
    found: Drying,
    said: Sequence[str],
    request: PictureRequest,
    path: str,
    originals: frozenset[str] = frozenset(),
) -> None:
    """Draw a drying curve to a file, what is said of it below.

    Raises
    ------
    FairleadError
        If the extension is unknown or the file cannot be written.
    """
    style = _Style.of_request(request)
    title = DRYING_TITLE if request.title is None else request.title
    page = lay_out_drying(found, *style.given, title=title, said=said)
    write_sheet(page, request, style.families, path, bench.source_files | originals)


def render_drying(found: Drying, size: QSize, ratio: float, theme: Theme) -> QImage:
    """The curve alone in the colours of the window; see `render_trend`."""
    style = _Style.of_window(size, theme)
    return _image(lay_out_drying(found, *style.given), style.families, size, ratio, theme)


def render_trend(
    bench: Bench, spec: FigureSpec, found: OverTime, size: QSize, ratio: float, theme: Theme
) -> QImage:
    """The plot alone in the colours of the window.

    Parameters
    ----------
    size : QSize
        In pixels of the window.
    ratio : float
        Pixels of the screen to one of these.
    """
    style = _Style.of_window(size, theme)
    page = lay_out_trend(bench, spec, found, *style.given, title="", has_words=False)
    return _image(page, style.families, size, ratio, theme)


@dataclass(frozen=True, slots=True)
class _Style:
    """Size in mm, inks and fonts of a curve, on paper or in the window."""

    size_mm: tuple[float, float]
    ink: Ink
    curve: str
    families: tuple[str, ...]

    @classmethod
    def of_request(cls, request: PictureRequest) -> Self:
        ink, curve = (GREY_INK, "#000000") if request.grey else (COLOUR_INK, LIGHT.curves[0])
        return cls((request.width_mm, request.height_mm), ink, curve, chosen_families())

    @classmethod
    def of_window(cls, size: QSize, theme: Theme) -> Self:
        size_mm = size.width() * _SCALE_MM, size.height() * _SCALE_MM
        return cls(size_mm, _ink(theme), theme.curves[0], chosen_families())

    @property
    def given(self) -> tuple[tuple[float, float], Ink, str, FontMeasure]:
        """In the order in which a picture is laid out by them."""
        return self.size_mm, self.ink, self.curve, FontMeasure(self.families)


def _image(
    page: Sheet, families: tuple[str, ...], size: QSize, ratio: float, theme: Theme
) -> QImage:
    image = QImage(size * ratio, QImage.Format.Format_RGB32)
    image.setDevicePixelRatio(ratio)
    image.fill(QColor(theme.base))
    painter = QPainter(image)
    painter.scale(1 / (UNITS_PER_MM * _SCALE_MM), 1 / (UNITS_PER_MM * _SCALE_MM))
    paint_picture(painter, page, families, paper=theme.base)
    painter.end()
    return image


def _ink(theme: Theme) -> Ink:
    return Ink(
        text=theme.text,
        muted=theme.muted,
        axis=theme.text,
        grid=theme.grid_minor,
        band_fill=theme.base,
        band=theme.band,
        limit=theme.limit,
    )
