"""Writes the picture: PNG, SVG and PDF at true size, whole or not at all."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import (
    QBuffer,
    QIODevice,
    QMarginsF,
    QRectF,
    QSize,
    QSizeF,
)
from PySide6.QtGui import (
    QColor,
    QImage,
    QPageLayout,
    QPageSize,
    QPainter,
    QPdfWriter,
)

from fairlead.app.printing.fonts import UNITS_PER_MM, FontMeasure, chosen_families
from fairlead.app.printing.formats import ending_of, tidied
from fairlead.app.printing.layout import lay_out
from fairlead.app.printing.paint import paint_picture
from fairlead.app.printing.png import png_of
from fairlead.app.version import version
from fairlead.core.atomic_file import write_atomic
from fairlead.core.comparison.knowledge import NOTHING_KNOWN
from fairlead.core.document.picture_request import MM_PER_INCH
from fairlead.core.errors import FairleadError

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping

    from fairlead.app.printing.layout import PrintedPicture
    from fairlead.core.analysis.analyses import Analyses
    from fairlead.core.comparison.changes import ChangeSummary
    from fairlead.core.comparison.knowledge import Knowledge
    from fairlead.core.document.bench import Bench
    from fairlead.core.document.picture_request import PictureRequest

_UNITS_PER_INCH = round(MM_PER_INCH * UNITS_PER_MM)


def write_picture(
    bench: Bench,
    request: PictureRequest,
    path: str,
    analyses: Analyses | None = None,
    originals: frozenset[str] = frozenset(),
    known: Knowledge = NOTHING_KNOWN,
    changes: Mapping[int, ChangeSummary] | None = None,
    *,
    shows_uncertainty: bool = True,
) -> None:
    """Draw a bench to a file; its extension determines the format.

    What ``analyses``, ``known`` and ``changes`` tell of the sweeps is not worked out again.

    An existing file is replaced only once the new one is complete. Files that the sweeps were read
    from are never replaced, nor any other of the ``originals``.

    Raises
    ------
    FairleadError
        If the extension is unknown, there is nothing to draw, or the file cannot be written.
    """
    make = _MAKERS[ending_of(path)]
    families = chosen_families()
    picture = lay_out(
        bench,
        request,
        FontMeasure(families),
        analyses,
        known,
        changes,
        shows_uncertainty=shows_uncertainty,
    )
    write_atomic(
        path, [make(picture, request, families)], never_over=bench.source_files | originals
    )


def render_image(
    bench: Bench,
    request: PictureRequest,
    analyses: Analyses | None = None,
    known: Knowledge = NOTHING_KNOWN,
    changes: Mapping[int, ChangeSummary] | None = None,
    *,
    shows_uncertainty: bool = True,
) -> QImage:
    """The picture as a bitmap with its resolution and description, for the clipboard.

    Raises
    ------
    FairleadError
        If there is nothing to draw, or the bitmap is too large.
    """
    families = chosen_families()
    picture = lay_out(
        bench,
        request,
        FontMeasure(families),
        analyses,
        known,
        changes,
        shows_uncertainty=shows_uncertainty,
    )
    return _image(picture, request, families)


def _image(picture: PrintedPicture, request: PictureRequest, families: tuple[str, ...]) -> QImage:
    request.check_bitmap()
    width_px, height_px = request.size_px
    image = QImage(width_px, height_px, QImage.Format.Format_RGB32)
    if image.isNull():
        raise FairleadError(
            f"no memory for a bitmap of {width_px} x {height_px} pixels", "choose fewer dpi"
        )
    # Before creating the painter, which takes its resolution from the image.
    dots_per_meter = round(request.dpi / MM_PER_INCH * 1000)
    image.setDotsPerMeterX(dots_per_meter)
    image.setDotsPerMeterY(dots_per_meter)
    image.fill(QColor("#ffffff"))
    painter = _begin(QPainter(), image)
    scale = request.dpi / _UNITS_PER_INCH
    painter.scale(scale, scale)
    paint_picture(painter, picture, families)
    _end(painter)
    if request.grey:
        image = image.convertToFormat(QImage.Format.Format_Grayscale8)
    for key, text in _words(picture).items():
        image.setText(key, text)
    return image


def _png(picture: PrintedPicture, request: PictureRequest, families: tuple[str, ...]) -> bytes:
    return png_of(_image(picture, request, families), _words(picture))


def _svg(picture: PrintedPicture, request: PictureRequest, families: tuple[str, ...]) -> bytes:
    # Only SVG needs this library; PNG is faster without it.
    from PySide6.QtSvg import QSvgGenerator  # noqa: PLC0415

    buffer = _open_buffer()
    generator = QSvgGenerator(QSvgGenerator.SvgVersion.Svg11)
    generator.setOutputDevice(buffer)
    generator.setResolution(_UNITS_PER_INCH)
    width, height = request.width_mm * UNITS_PER_MM, request.height_mm * UNITS_PER_MM
    generator.setSize(QSize(round(width), round(height)))
    generator.setViewBox(QRectF(0, 0, round(width), round(height)))
    generator.setTitle(picture.title)
    generator.setDescription(picture.description)
    painter = _begin(QPainter(), generator)
    # The font may be missing where the file is opened: outlines look the same everywhere, and the
    # text is in the title and the description.
    paint_picture(painter, picture, families, outline_text=True)
    _end(painter)
    return tidied(bytes(buffer.data().data()))


def _pdf(picture: PrintedPicture, request: PictureRequest, families: tuple[str, ...]) -> bytes:
    buffer = _open_buffer()
    writer = QPdfWriter(buffer)
    writer.setTitle(picture.title)
    writer.setCreator(_software())
    writer.setResolution(_UNITS_PER_INCH)
    page = QPageSize(
        QSizeF(request.width_mm, request.height_mm),
        QPageSize.Unit.Millimeter,
        "PrintedPicture",
        QPageSize.SizeMatchPolicy.ExactMatch,
    )
    # The size itself sets the orientation.
    if not writer.setPageLayout(
        QPageLayout(page, QPageLayout.Orientation.Portrait, QMarginsF(0, 0, 0, 0))
    ):
        raise FairleadError("the page of the PDF could not be set up", "choose another size")
    painter = _begin(QPainter(), writer)
    paint_picture(painter, picture, families)
    _end(painter)
    return bytes(buffer.data().data())


_MAKERS: dict[str, Callable[[PrintedPicture, PictureRequest, tuple[str, ...]], bytes]] = {
    ".png": _png,
    ".svg": _svg,
    ".pdf": _pdf,
}


def _words(picture: PrintedPicture) -> dict[str, str]:
    """Text of a PNG file, under keywords of the PNG specification."""
    return {"Title": picture.title, "Description": picture.description, "Software": _software()}


def _software() -> str:
    return f"Fairlead {version()}"


def _open_buffer() -> QBuffer:
    buffer = QBuffer()
    if not buffer.open(QIODevice.OpenModeFlag.WriteOnly):
        raise FairleadError("no memory for the picture", "choose a smaller size")
    return buffer


def _begin(painter: QPainter, device: QImage | QPdfWriter | object) -> QPainter:
    if not painter.begin(device):  # type: ignore[arg-type]
        raise FairleadError("the picture could not be painted", "choose a smaller size")
    return painter


def _end(painter: QPainter) -> None:
    if not painter.end():
        raise FairleadError("the picture could not be finished", "choose a smaller size")
