"""A layer of a plot that is painted once and then only copied to the screen."""

from __future__ import annotations

import time
from abc import abstractmethod
from typing import TYPE_CHECKING

import numpy as np
from PySide6.QtCore import QRectF, QSize, Qt, QTimer
from PySide6.QtGui import QPainter, QPixmap, QRegion
from PySide6.QtWidgets import QGraphicsItem
from shiboken6 import isValid

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator

    from PySide6.QtCore import QSizeF
    from PySide6.QtWidgets import QStyleOptionGraphicsItem, QWidget

    from fairlead.core.arrays import FloatArray

# Three layers take turns, and the window responds in between.
_PIECES_S = 0.01
_DONE = object()


class PixmapLayer(QGraphicsItem):
    """Covers the whole plot, in pixels from its upper left corner.

    The layer is cached as a pixmap, so that a line moving over it costs only a copy of the few
    pixels that it uncovers. Subclasses paint in `paint_layer`; a layer with very much on it is
    painted piece by piece instead (`pieces`), and the window responds in between.
    """

    def __init__(self, parent: QGraphicsItem) -> None:
        super().__init__(parent)
        # Without this Qt does not pass the exposed part and the whole pixmap is copied each time.
        self.setFlag(QGraphicsItem.GraphicsItemFlag.ItemUsesExtendedStyleOption)
        self._size = QRectF()
        self._pixmap = QPixmap()
        self._stale: list[QRectF] | None = None
        self._rest: Iterator[None] | None = None
        self._painter: QPainter | None = None

    @abstractmethod
    def paint_layer(self, painter: QPainter, areas: FloatArray) -> None:
        """Paint; nothing outside the areas is visible.

        Parameters
        ----------
        areas : FloatArray, shape (4, k)
            Left, right, top and bottom of each, in pixels.
        """

    @property
    def is_empty(self) -> bool:
        """Whether there is nothing to paint: most plots have no groups, for example."""
        return False

    @property
    def is_large(self) -> bool:
        """Whether painting everything at once would freeze the window."""
        return False

    def pieces(self, canvas: Callable[[], QPainter], areas: FloatArray) -> Iterator[None]:
        """Paint as `paint_layer` does, with a pause after each piece.

        Parameters
        ----------
        canvas : callable
            Returns the painter, which is a new one after each pause.
        areas : FloatArray, shape (4, k)
        """
        self.paint_layer(canvas(), areas)
        yield

    def set_size(self, size: QSizeF) -> None:
        """Cover a plot of another size."""
        if size != self._size.size():
            self.prepareGeometryChange()
            self._size = QRectF(0, 0, size.width(), size.height())
        self.renew()

    def renew(self, areas: list[QRectF] | None = None) -> None:
        """Mark as outdated: everything, or only some areas."""
        if areas is None or self._rest is not None:
            self._stale = None
            self._rest = None
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
        if self.is_empty:
            return
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
            self._rest = None
            if self.is_large:
                self._rest = self.pieces(self._canvas, _sides([self._size]))
                self._paint_pieces()
            else:
                self._paint_areas([self._size])
        elif self._stale:
            self._paint_areas(self._stale)
        self._stale = []

    def _paint_pieces(self) -> None:
        """Continue painting for a moment; the rest follows after other events."""
        rest = self._rest
        if rest is None:
            return
        end_s = time.monotonic() + _PIECES_S
        self._painter = QPainter(self._pixmap)
        try:
            while next(rest, _DONE) is not _DONE:
                if time.monotonic() >= end_s:
                    break
            else:
                self._rest = None
        finally:
            self._painter.end()
            self._painter = None
        if self._rest is not None:
            QTimer.singleShot(0, lambda: self._go_on(rest))

    def _go_on(self, rest: Iterator[None]) -> None:
        # By now the plot may be gone or paint something else.
        if isValid(self) and self._rest is rest:
            self._paint_pieces()
            self.update()

    def _canvas(self) -> QPainter:
        if self._painter is None:
            raise RuntimeError("pieces are painted by _paint_pieces only")
        return self._painter

    def _paint_areas(self, areas: list[QRectF]) -> None:
        painter = QPainter(self._pixmap)
        try:
            if self._stale is not None:
                # Whole pixels: a partly cleared one would be painted twice.
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
