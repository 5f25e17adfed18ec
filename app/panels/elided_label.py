"""A label that shortens its text to the width it has."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QSize, Qt
from PySide6.QtWidgets import QLabel, QSizePolicy, QWidget

from fairlead.app.look.tool_tip import tool_tip

if TYPE_CHECKING:
    from PySide6.QtGui import QResizeEvent


class ElidedLabel(QLabel):
    """Plain text on one line; the full text is in the tool tip and for assistive technology.

    Parameters
    ----------
    mode : Qt.TextElideMode
        Where the ellipsis goes.
    """

    def __init__(
        self,
        text: str = "",
        mode: Qt.TextElideMode = Qt.TextElideMode.ElideMiddle,
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(parent)
        self._mode = mode
        self._full_text = ""
        self._tip: str | None = None
        self.setTextFormat(Qt.TextFormat.PlainText)
        self.setSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Preferred)
        self.set_full_text(text)

    @property
    def full_text(self) -> str:
        """The text before it is shortened."""
        return self._full_text

    def set_full_text(self, text: str, tip: str | None = None) -> None:
        """Show another text; without a tool tip the text itself serves as one."""
        if text == self._full_text and tip == self._tip:
            return
        self._full_text, self._tip = text, tip
        self.setAccessibleName(text if tip is None else tip)
        self.setToolTip(tool_tip(text if tip is None else tip) if text else "")
        self._elide()

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Shorten again."""
        super().resizeEvent(event)
        self._elide()

    def minimumSizeHint(self) -> QSize:
        """Any width will do."""
        return QSize(0, super().minimumSizeHint().height())

    def _elide(self) -> None:
        shown = self.fontMetrics().elidedText(self._full_text, self._mode, max(self.width(), 10))
        if shown != self.text():
            self.setText(shown)
