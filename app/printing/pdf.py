"""A laid-out sheet as PDF at true size: lines stay lines, text stays text in embedded fonts."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QBuffer, QIODevice, QMarginsF, QSizeF
from PySide6.QtGui import QPageLayout, QPageSize, QPainter, QPdfWriter

from fairlead.app.printing.fonts import UNITS_PER_MM
from fairlead.app.printing.paint import paint_picture
from fairlead.app.version import version
from fairlead.core.document.picture_request import MM_PER_INCH
from fairlead.core.errors import FairleadError

if TYPE_CHECKING:
    from PySide6.QtGui import QImage

    from fairlead.app.printing.shapes import Sheet

UNITS_PER_INCH = round(MM_PER_INCH * UNITS_PER_MM)


def pdf_of(sheet: Sheet, families: tuple[str, ...], *, is_transparent: bool = False) -> bytes:
    """One page of the sheet's size.

    Raises
    ------
    FairleadError
        If it cannot be painted.
    """
    buffer = open_buffer()
    writer = QPdfWriter(buffer)
    writer.setTitle(sheet.title)
    writer.setCreator(software())
    writer.setResolution(UNITS_PER_INCH)
    page = QPageSize(
        QSizeF(sheet.width_mm, sheet.height_mm),
        QPageSize.Unit.Millimeter,
        "Sheet",
        QPageSize.SizeMatchPolicy.ExactMatch,
    )
    # The size itself sets the orientation.
    if not writer.setPageLayout(
        QPageLayout(page, QPageLayout.Orientation.Portrait, QMarginsF(0, 0, 0, 0))
    ):
        raise FairleadError("the page of the PDF could not be set up", "choose another size")
    painter = begin(QPainter(), writer)
    paint_picture(painter, sheet, families, is_transparent=is_transparent)
    end(painter)
    return bytes(buffer.data().data())


def software() -> str:
    """Name and version, for the file's own description of itself."""
    return f"Fairlead {version()}"


def open_buffer() -> QBuffer:
    """Memory that a file is made in."""
    buffer = QBuffer()
    if not buffer.open(QIODevice.OpenModeFlag.WriteOnly):
        raise FairleadError("no memory for the picture", "choose a smaller size")
    return buffer


def begin(painter: QPainter, device: QImage | QPdfWriter | object) -> QPainter:
    """The painter, painting on a device."""
    if not painter.begin(device):  # type: ignore[arg-type]
        raise FairleadError("the picture could not be painted", "choose a smaller size")
    return painter


def end(painter: QPainter) -> None:
    """Finish what was begun."""
    if not painter.end():
        raise FairleadError("the picture could not be finished", "choose a smaller size")
