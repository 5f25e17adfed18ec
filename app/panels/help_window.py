"""A help page in a window of its own, so that work can continue beside it."""

from __future__ import annotations

from PySide6.QtCore import QMimeData, Qt, Signal
from PySide6.QtGui import QGuiApplication
from PySide6.QtWidgets import (
    QDialog,
    QDialogButtonBox,
    QPushButton,
    QTextBrowser,
    QVBoxLayout,
    QWidget,
)


class HelpWindow(QDialog):
    """Shows one page at a time, to read, copy or print."""

    print_wanted = Signal()
    """The page is to be printed."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setModal(False)
        self.resize(620, 560)
        self.page = QTextBrowser()
        self.page.setAccessibleName("Help")
        self.page.setOpenLinks(False)
        buttons = QDialogButtonBox(QDialogButtonBox.StandardButton.Close)
        self.copy_button = QPushButton("&Copy page")
        self.print_button = QPushButton("&Print ...")
        for button in (self.copy_button, self.print_button):
            button.setAutoDefault(False)
            buttons.addButton(button, QDialogButtonBox.ButtonRole.ActionRole)
        self.copy_button.clicked.connect(self._copy)
        self.print_button.clicked.connect(self.print_wanted)
        buttons.rejected.connect(self.reject)
        column = QVBoxLayout(self)
        column.addWidget(self.page)
        column.addWidget(buttons)

    def show_page(self, title: str, html: str) -> None:
        """Show a page, from its top."""
        self.setWindowTitle(title)
        self.page.setHtml(html)
        self.page.document().setDocumentMargin(14)
        self.show()
        self.page.setFocus(Qt.FocusReason.OtherFocusReason)

    def _copy(self) -> None:
        """The page as text and as HTML, for a letter or a note beside the analyzer."""
        data = QMimeData()
        data.setText(self.page.toPlainText())
        data.setHtml(self.page.toHtml())
        QGuiApplication.clipboard().setMimeData(data)
