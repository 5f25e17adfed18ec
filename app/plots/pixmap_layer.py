"""A layer of a plot that is painted once and then only copied to the screen."""

from __future__ import annotations

from abc import abstractmethod
from typing import TYPE_CHECKING

import numpy as np
from PySide6.QtCore import QRectF, QSize, Qt
from PySide6.QtGui import QPainter, QPixmap, QRegion
from PySide6.QtWidgets import QGraphicsItem

if TYPE_CHECKING:
    from PySide6.QtCore import QSizeF
    from PySide6.QtWidgets import QStyleOptionGraphicsItem, QWidget

    from core.arrays import FloatArray


class PixmapLayer(QGraphicsItem):
    """Covers the whole plot, in pixels from its upper left corner.

    The picture is kept as a pixmap, so that a line that moves over the layer costs a copy of the
    few pixels it uncovers. Subclasses paint in `paint_layer`.
    """

    def __init__(self, parent: QGraphicsItem) -> None:
        super().__init__(parent)
        # Without this the exposed part is not told and the whole pixmap is copied each time.
        self.setFlag(QGraphicsItem.GraphicsItemFlag.ItemUsesExtendedStyleOption)
        self._size = QRectF()
        self._pixmap = QPixmap()
        self._stale: list[QRectF] | None = None

    @abstractmethod
    def paint_layer(self, painter: QPainter, areas: FloatArray) -> None:
        """Paint; nothing outside the areas can be seen.

        Parameters
        ----------
        areas : FloatArray, shape (4, k)
            Left, right, top and bottom of each, in pixels.
        """

    def set_size(self, size: QSizeF) -> None:
        """Cover a plot of another size."""
        if size != self._size.size():
            self.prepareGeometryChange()
            self._size = QRectF(0, 0, size.width(), size.height())
        self.renew()

    def renew(self, areas: list[QRectF] | None = None) -> None:
        """Paint again before the next showing: everything, or some areas only."""
        if areas is None:
            self._stale = None
            self.update()
        elif self._stale is not None:
            self._stale += areas
            for area in areas:
                self.update(area)

    def boundingRect(self) -> QRectF:
        """The whole plot."""
        return self._size

    def paint(
        self, painter: QPainter, option: QStyleOptionGraphicsItem, widget: QWidget | None = None
    ) -> None:
        """Copy the exposed part."""
        del widget
        self._bring_up_to_date(painter.device().devicePixelRatioF())
        ratio = self._pixmap.devicePixelRatio()
        exposed = option.exposedRect.toAlignedRect() & self._size.toAlignedRect()
        source = QRectF(
            exposed.x() * ratio,
            exposed.y() * ratio,
            exposed.width() * ratio,
            exposed.height() * ratio,
        )
        painter.drawPixmap(QRectF(exposed), self._pixmap, source)

    def _bring_up_to_date(self, ratio: float) -> None:
        whole = QRectF(0, 0, self._size.width() * ratio, self._size.height() * ratio)
        wanted = whole.toAlignedRect().size().expandedTo(QSize(1, 1))
        if self._pixmap.size() != wanted or self._pixmap.devicePixelRatio() != ratio:
            self._pixmap = QPixmap(wanted)
            self._pixmap.setDevicePixelRatio(ratio)
            self._stale = None
        if self._stale is None:
            self._pixmap.fill(Qt.GlobalColor.transparent)
            self._paint_areas([self._size])
        elif self._stale:
            self._paint_areas(self._stale)
        self._stale = []

    def _paint_areas(self, areas: list[QRectF]) -> None:
        painter = QPainter(self._pixmap)
        try:
            if self._stale is not None:
                # Whole pixels: a half cleared one would be painted twice.
                areas = [QRectF(area.toAlignedRect()) for area in areas]
                painter.setCompositionMode(QPainter.CompositionMode.CompositionMode_Source)
                region = QRegion()
                for area in areas:
                    painter.fillRect(area, Qt.GlobalColor.transparent)
                    region += area.toRect()
                painter.setCompositionMode(QPainter.CompositionMode.CompositionMode_SourceOver)
                painter.setClipRegion(region)
            painter.setRenderHint(QPainter.RenderHint.Antialiasing)
            self.paint_layer(painter, _sides(areas))
        finally:
            painter.end()


def _sides(areas: list[QRectF]) -> FloatArray:
    sides = [(area.left(), area.right(), area.top(), area.bottom()) for area in areas]
    return np.array(sides, dtype=np.float64).T
