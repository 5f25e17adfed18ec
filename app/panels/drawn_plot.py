"""A plot that somebody else draws, at whatever size it has."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QSize
from PySide6.QtGui import QImage, QPainter, QPaintEvent, QResizeEvent
from PySide6.QtWidgets import QSizePolicy, QWidget

if TYPE_CHECKING:
    from collections.abc import Callable

_PLOT_SIZE, _LEAST_PLOT_SIZE = QSize(760, 330), QSize(420, 200)


class DrawnPlot(QWidget):
    """Shows what it is given at its own size."""

    def __init__(self, name: str, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._draw: Callable[[QSize, float], QImage] | None = None
        self._image = QImage()
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Expanding)
        self.setAccessibleName(name)

    def sizeHint(self) -> QSize:
        """Room for dates to be read."""
        return _PLOT_SIZE

    def minimumSizeHint(self) -> QSize:
        """Still legible."""
        return _LEAST_PLOT_SIZE

    @property
    def image(self) -> QImage:
        """What is shown."""
        return self._image

    def show_drawn(self, draw: Callable[[QSize, float], QImage], words: str) -> None:
        """Show another plot; ``words`` are for those who cannot see it."""
        self._draw = draw
        self.setAccessibleDescription(words)
        self._image = QImage()
        self.update()

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Draw it again at the new size."""
        super().resizeEvent(event)
        self._image = QImage()

    def paintEvent(self, _event: QPaintEvent) -> None:
        """The plot."""
        if self._image.isNull() and self._draw is not None:
            self._image = self._draw(self.size(), self.devicePixelRatioF())
        QPainter(self).drawImage(0, 0, self._image)
