"""A help page in a window of its own, so that work can continue beside it."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QDialog, QDialogButtonBox, QTextBrowser, QVBoxLayout, QWidget


class HelpWindow(QDialog):
    """Shows one page at a time."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setModal(False)
        self.resize(620, 560)
        self.page = QTextBrowser()
        self.page.setAccessibleName("Help")
        self.page.setOpenLinks(False)
        buttons = QDialogButtonBox(QDialogButtonBox.StandardButton.Close)
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
