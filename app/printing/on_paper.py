"""A laid-out sheet on a printer's paper: at its true size, smaller only where the paper is."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtGui import QPageLayout, QPainter

from fairlead.app.printing.fonts import UNITS_PER_MM
from fairlead.app.printing.paint import paint_picture
from fairlead.app.printing.pdf import UNITS_PER_INCH, begin, end, software

if TYPE_CHECKING:
    from PySide6.QtPrintSupport import QPrinter

    from fairlead.app.printing.shapes import DescribedSheet

# Rounding of page sizes: ISO 216 allows 1.5 mm.
_TOLERANCE_MM = 2.0


def print_sheet(printer: QPrinter, sheet: DescribedSheet, families: tuple[str, ...]) -> None:
    """Paint a sheet on the page of a printer.

    A sheet of the paper's size covers it; a smaller one stands in the middle of the top of what can
    be printed on, and a larger one is made smaller to fit there.

    Raises
    ------
    FairleadError
        If it cannot be painted.
    """
    printer.setFullPage(True)
    printer.setDocName(sheet.title)
    printer.setCreator(software())
    millimetres = QPageLayout.Unit.Millimeter
    full = printer.pageLayout().fullRect(millimetres)
    inside = printer.pageLayout().paintRect(millimetres)
    is_page = (
        abs(full.width() - sheet.width_mm) < _TOLERANCE_MM
        and abs(full.height() - sheet.height_mm) < _TOLERANCE_MM
    )
    room = full if is_page else inside
    factor = min(1.0, room.width() / sheet.width_mm, room.height() / sheet.height_mm)
    left_mm = room.left() + (room.width() - factor * sheet.width_mm) / 2
    painter = begin(QPainter(), printer)
    scale = printer.resolution() / UNITS_PER_INCH
    painter.scale(scale, scale)
    painter.translate(left_mm * UNITS_PER_MM, room.top() * UNITS_PER_MM)
    painter.scale(factor, factor)
    paint_picture(painter, sheet, families)
    end(painter)
