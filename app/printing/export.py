"""Writes the picture: PNG, SVG and PDF at true size, whole or not at all."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QRectF, QSize, Qt
from PySide6.QtGui import QColor, QImage, QPainter

from fairlead.app.printing.fonts import UNITS_PER_MM, FontMeasure, chosen_families
from fairlead.app.printing.formats import ending_of, tidied
from fairlead.app.printing.layout import lay_out
from fairlead.app.printing.paint import paint_picture
from fairlead.app.printing.pdf import UNITS_PER_INCH, begin, end, open_buffer, pdf_of, software
from fairlead.app.printing.png import png_of
from fairlead.core.atomic_file import write_atomic
from fairlead.core.comparison.knowledge import NOTHING_KNOWN
from fairlead.core.document.picture_request import MM_PER_INCH
from fairlead.core.errors import FairleadError

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping, Sequence

    from fairlead.app.printing.layout import PrintedPicture
    from fairlead.app.printing.shapes import DescribedSheet
    from fairlead.core.analysis.analyses import Analyses
    from fairlead.core.comparison.changes import ChangeSummary
    from fairlead.core.comparison.knowledge import Knowledge
    from fairlead.core.document.bench import Bench
    from fairlead.core.document.picture_request import PictureRequest


NOT_DRAWN = "Comment"
"""Keyword of the PNG specification."""


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
    besides: Sequence[str] = (),
) -> str:
    """Draw a bench to a file; its extension determines the format.

    What ``analyses``, ``known`` and ``changes`` tell of the sweeps is not worked out again; what
    ``besides`` says stands below the table.

    An existing file is replaced only once the new one is complete. Files that the sweeps were read
    from are never replaced, nor any other of the ``originals``.

    Returns
    -------
    str
        What is not drawn for want of room, and the height that shows it; empty if all is drawn.

    Raises
    ------
    FairleadError
        If the extension is unknown, there is nothing to draw, or the file cannot be written.
    """
    ending_of(path)  # refused before anything is laid out
    picture, families = laid_out(
        bench,
        request,
        analyses,
        known,
        changes,
        shows_uncertainty=shows_uncertainty,
        besides=besides,
    )
    write_sheet(picture, request, families, path, bench.source_files | originals)
    return "" if picture.missing is None else picture.missing.remark


def write_sheet(
    sheet: DescribedSheet,
    request: PictureRequest,
    families: tuple[str, ...],
    path: str,
    never_over: frozenset[str] = frozenset(),
) -> None:
    """Write what is laid out, at the size and resolution of the request.

    Raises
    ------
    FairleadError
        If the extension is unknown or the file cannot be written.
    """
    make = _MAKERS[ending_of(path)]
    write_atomic(path, [make(sheet, request, families)], never_over=never_over)


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

    What is not drawn for want of room stands under `NOT_DRAWN`, if anything is.

    Raises
    ------
    FairleadError
        If there is nothing to draw, or the bitmap is too large.
    """
    picture, families = laid_out(
        bench, request, analyses, known, changes, shows_uncertainty=shows_uncertainty
    )
    image = _image(picture, request, families)
    if picture.missing is not None:
        image.setText(NOT_DRAWN, picture.missing.remark)
    return image


def laid_out(
    bench: Bench,
    request: PictureRequest,
    analyses: Analyses | None = None,
    known: Knowledge = NOTHING_KNOWN,
    changes: Mapping[int, ChangeSummary] | None = None,
    *,
    shows_uncertainty: bool = True,
    besides: Sequence[str] = (),
) -> tuple[PrintedPicture, tuple[str, ...]]:
    """The picture, laid out for the fonts of this system, and their families.

    Raises
    ------
    FairleadError
        If there is nothing to draw.
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
        besides=besides,
    )
    return picture, families


def _image(picture: DescribedSheet, request: PictureRequest, families: tuple[str, ...]) -> QImage:
    request.check_bitmap()
    width_px, height_px = request.size_px
    formats = QImage.Format
    kind = formats.Format_ARGB32_Premultiplied if request.transparent else formats.Format_RGB32
    image = QImage(width_px, height_px, kind)
    if image.isNull():
        raise FairleadError(
            f"no memory for a bitmap of {width_px} x {height_px} pixels", "choose fewer dpi"
        )
    # Before creating the painter, which takes its resolution from the image.
    dots_per_meter = round(request.dpi / MM_PER_INCH * 1000)
    image.setDotsPerMeterX(dots_per_meter)
    image.setDotsPerMeterY(dots_per_meter)
    image.fill(Qt.GlobalColor.transparent if request.transparent else QColor("#ffffff"))
    painter = begin(QPainter(), image)
    scale = request.dpi / UNITS_PER_INCH
    painter.scale(scale, scale)
    paint_picture(painter, picture, families, is_transparent=request.transparent)
    end(painter)
    # Without transparency greys take a third of the room.
    if request.grey and not request.transparent:
        image = image.convertToFormat(QImage.Format.Format_Grayscale8)
    for key, text in _words(picture).items():
        image.setText(key, text)
    return image


def png_bytes(picture: DescribedSheet, request: PictureRequest, families: tuple[str, ...]) -> bytes:
    """The file's content.

    Raises
    ------
    FairleadError
        If the bitmap is too large.
    """
    return png_of(_image(picture, request, families), _words(picture))


def _svg(picture: DescribedSheet, request: PictureRequest, families: tuple[str, ...]) -> bytes:
    # Only SVG needs this library; PNG is faster without it.
    from PySide6.QtSvg import QSvgGenerator  # noqa: PLC0415

    buffer = open_buffer()
    generator = QSvgGenerator(QSvgGenerator.SvgVersion.Svg11)
    generator.setOutputDevice(buffer)
    generator.setResolution(UNITS_PER_INCH)
    width, height = request.width_mm * UNITS_PER_MM, request.height_mm * UNITS_PER_MM
    generator.setSize(QSize(round(width), round(height)))
    generator.setViewBox(QRectF(0, 0, round(width), round(height)))
    generator.setTitle(picture.title)
    generator.setDescription(picture.description)
    painter = begin(QPainter(), generator)
    # The font may be missing where the file is opened: outlines look the same everywhere, and the
    # text is in the title and the description.
    paint_picture(painter, picture, families, outline_text=True, is_transparent=request.transparent)
    end(painter)
    return tidied(bytes(buffer.data().data()))


_MAKERS: dict[str, Callable[[DescribedSheet, PictureRequest, tuple[str, ...]], bytes]] = {
    ".png": png_bytes,
    ".svg": _svg,
    ".pdf": lambda picture, request, families: pdf_of(
        picture, families, is_transparent=request.transparent
    ),
}


def _words(picture: DescribedSheet) -> dict[str, str]:
    """Text of a PNG file, under keywords of the PNG specification."""
    return {"Title": picture.title, "Description": picture.description, "Software": software()}
