"""Printing on paper: the picture, the report page, a help page; each with a preview."""

from __future__ import annotations

from typing import TYPE_CHECKING

from fairlead.core.atomic_file import check_may_write
from fairlead.core.errors import FairleadError

if TYPE_CHECKING:
    from collections.abc import Callable

    from PySide6.QtGui import QTextDocument
    from PySide6.QtPrintSupport import QPrinter
    from PySide6.QtWidgets import QWidget

    from fairlead.app.document.document import Document
    from fairlead.app.files.settings import Settings
    from fairlead.app.panels.message_bar import MessageBar
    from fairlead.app.panels.print_preview import PrintPreview
    from fairlead.core.report_page.paper import Paper


class PaperHandler:
    """Opens the preview; prints when a printer has been chosen there."""

    def __init__(
        self, document: Document, messages: MessageBar, settings: Settings, window: QWidget
    ) -> None:
        self._document = document
        self._messages = messages
        self._settings = settings
        self._window = window
        self._shown: PrintPreview | None = None

    @property
    def shown(self) -> PrintPreview | None:
        """The preview while it is open."""
        return self._shown

    def print_picture(self) -> None:
        """Print the picture with the settings that it would be saved with."""
        from fairlead.app.printing.export import laid_out  # noqa: PLC0415 - seldom needed
        from fairlead.app.printing.on_paper import print_sheet  # noqa: PLC0415

        document = self._document
        try:
            sheet, families = laid_out(
                document.bench,
                document.bench.picture,
                document.analyses,
                document.knowledge,
                document.changes,
                shows_uncertainty=self._settings.shows_uncertainty,
            )
        except FairleadError as error:
            self._messages.say("error", [str(error)])
            return
        self._preview(
            "Print the picture",
            lambda printer: print_sheet(printer, sheet, families),
            is_upright=sheet.width_mm <= sheet.height_mm,
        )

    def print_report(self) -> None:
        """Print the report page on the paper of the printer, A4 or Letter."""
        from fairlead.app.printing.fonts import FontMeasure, chosen_families  # noqa: PLC0415
        from fairlead.app.printing.on_paper import print_sheet  # noqa: PLC0415 - seldom needed
        from fairlead.app.printing.page import lay_out_page, told_of  # noqa: PLC0415

        document = self._document
        families = chosen_families()
        shows_uncertainty = self._settings.shows_uncertainty
        papers: tuple[Paper, ...] = ("a4", "letter")
        try:
            told = told_of(document.bench, document.analyses, document.knowledge, document.changes)
            pages = {
                paper: lay_out_page(
                    told, paper, FontMeasure(families), shows_uncertainty=shows_uncertainty
                )
                for paper in papers
            }
        except FairleadError as error:
            self._messages.say("error", [str(error)])
            return

        def paint(printer: QPrinter) -> None:
            print_sheet(printer, pages["letter" if _is_letter(printer) else "a4"], families)

        self._preview("Print the report", paint, is_upright=True)

    def print_text(self, title: str, text: QTextDocument) -> None:
        """Print a help page."""
        self._preview(title, lambda printer: text.print_(printer), is_upright=True)  # noqa: PLW0108

    def _preview(self, title: str, paint: Callable[[QPrinter], None], *, is_upright: bool) -> None:
        from PySide6.QtCore import Qt  # noqa: PLC0415 - with the rest
        from PySide6.QtGui import QPageLayout  # noqa: PLC0415
        from PySide6.QtPrintSupport import QPrinter  # noqa: PLC0415 - a library of its own

        from fairlead.app.panels.print_preview import PrintPreview  # noqa: PLC0415

        printer = QPrinter(QPrinter.PrinterMode.HighResolution)
        way = QPageLayout.Orientation
        printer.setPageOrientation(way.Portrait if is_upright else way.Landscape)
        preview = PrintPreview(title, printer, paint, self._window)
        preview.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        preview.finished.connect(self._on_finished)
        preview.print_wanted.connect(lambda: self._print(preview, printer, paint))
        self._shown = preview
        preview.open()

    def _print(
        self, preview: PrintPreview, printer: QPrinter, paint: Callable[[QPrinter], None]
    ) -> None:
        try:
            # A printer may write a file, and that may be one of the originals.
            if printer.outputFileName():
                check_may_write(printer.outputFileName(), self._document.bench.source_files)
            paint(printer)
        except FairleadError as error:
            preview.show_problem(str(error))
            return
        where = printer.outputFileName() or printer.printerName()
        preview.accept()
        self._messages.say("note", [f"Printed to {where}"])

    def _on_finished(self) -> None:
        self._shown = None


def _is_letter(printer: QPrinter) -> bool:
    from PySide6.QtGui import QPageSize  # noqa: PLC0415 - only needed here

    return printer.pageLayout().pageSize().id() == QPageSize.PageSizeId.Letter
