"""The preview before printing: the sheet on its paper, upright or across."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QPageLayout
from PySide6.QtPrintSupport import QPrintDialog, QPrintPreviewWidget
from PySide6.QtWidgets import (
    QDialog,
    QDialogButtonBox,
    QHBoxLayout,
    QLabel,
    QPushButton,
    QRadioButton,
    QVBoxLayout,
    QWidget,
)

if TYPE_CHECKING:
    from collections.abc import Callable

    from PySide6.QtPrintSupport import QPrinter


class PrintChooser:
    """The system's dialog for printer, copies and paper, in one place so that tests can answer."""

    @classmethod
    def ask(cls, printer: QPrinter, parent: QWidget) -> bool:
        """Let the user set up a printer; whether to go on."""
        dialog = QPrintDialog(printer, parent)
        dialog.setWindowTitle("Print")
        return dialog.exec() == QDialog.DialogCode.Accepted


class PrintPreview(QDialog):
    """Shows what would be printed; prints nothing itself.

    Parameters
    ----------
    printer : QPrinter
        Its paper is shown, and changed by the choice of upright or across.
    paint : callable
        Paints on a printer.
    """

    print_wanted = Signal()
    """The user has chosen a printer and wants it."""

    def __init__(
        self,
        title: str,
        printer: QPrinter,
        paint: Callable[[QPrinter], None],
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(parent)
        self._printer = printer
        self.setWindowTitle(title)
        self.setModal(True)
        self.resize(760, 680)
        self.preview = QPrintPreviewWidget(printer)
        self.preview.setAccessibleName("Preview of the printed page")
        self.preview.paintRequested.connect(paint)
        self.upright = QRadioButton("&Upright")
        self.across = QRadioButton("&Across")
        is_upright = printer.pageLayout().orientation() == QPageLayout.Orientation.Portrait
        (self.upright if is_upright else self.across).setChecked(True)
        self.upright.toggled.connect(self._turn)
        self.problem = QLabel()
        self.problem.setTextFormat(Qt.TextFormat.PlainText)
        self.problem.setWordWrap(True)
        self.print_button = QPushButton("&Print ...")
        self.print_button.setDefault(True)
        self.print_button.clicked.connect(self._ask)
        buttons = QDialogButtonBox(QDialogButtonBox.StandardButton.Close)
        buttons.addButton(self.print_button, QDialogButtonBox.ButtonRole.ActionRole)
        buttons.rejected.connect(self.reject)
        row = QHBoxLayout()
        row.addWidget(self.upright)
        row.addWidget(self.across)
        row.addStretch(1)
        column = QVBoxLayout(self)
        column.addLayout(row)
        column.addWidget(self.preview, 1)
        column.addWidget(self.problem)
        column.addWidget(buttons)

    def show_problem(self, problem: str) -> None:
        """Say why it cannot be printed; empty if it can."""
        self.problem.setText(problem)
        self.problem.setVisible(bool(problem))

    def _turn(self, is_upright: bool) -> None:
        way = QPageLayout.Orientation.Portrait if is_upright else QPageLayout.Orientation.Landscape
        self.preview.setOrientation(way)

    def _ask(self) -> None:
        if PrintChooser.ask(self._printer, self):
            self.print_wanted.emit()
