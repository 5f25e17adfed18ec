"""Contents that scroll where the screen is too small for them, and nowhere else."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QSize, Qt
from PySide6.QtWidgets import QFrame, QScrollArea

if TYPE_CHECKING:
    from PySide6.QtWidgets import QWidget

_LEAST_PX = 120


class Scrolled(QScrollArea):
    """Asks for the whole height of its contents, and makes do with less; Tab scrolls along."""

    def __init__(
        self, contents: QWidget, *, is_wide: bool = False, parent: QWidget | None = None
    ) -> None:
        super().__init__(parent)
        self._contents = contents
        self.setWidget(contents)
        self.setWidgetResizable(True)
        self.setFrameShape(QFrame.Shape.NoFrame)
        # Its contents have the keyboard.
        self.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self._is_wide = is_wide
        if not is_wide:
            self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)

    def sizeHint(self) -> QSize:
        """The contents in full, with room for the bar."""
        return self._contents.sizeHint() + QSize(self._bar_px, 0)

    def minimumSizeHint(self) -> QSize:
        """Their width, and a few lines of their height; what is wide scrolls sideways, too."""
        if self._is_wide:
            return QSize(_LEAST_PX, _LEAST_PX)
        least = self._contents.minimumSizeHint()
        return QSize(least.width() + self._bar_px, min(least.height(), _LEAST_PX))

    @property
    def _bar_px(self) -> int:
        return self.verticalScrollBar().sizeHint().width()
