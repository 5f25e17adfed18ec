"""How a picture is looked at: where its pixels are on the screen, and copies of it for far away."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QPointF, QRectF, QSizeF, Qt
from PySide6.QtGui import QImage, QPainter

if TYPE_CHECKING:
    from collections.abc import Sequence

_LARGEST_SCALE = 40.0
_ROOM = 0.96
_SMOOTH_UP_TO = 3.0
_SMALLEST_COPY_PX = 700


def halved_copies(image: QImage) -> list[QImage]:
    """A picture, and copies of half its size, a quarter and so on; any thread may make them."""
    copies = [image]
    while min(copies[-1].width(), copies[-1].height()) > 2 * _SMALLEST_COPY_PX:
        half = copies[-1].size() / 2
        keep, smooth = Qt.AspectRatioMode.IgnoreAspectRatio, Qt.TransformationMode
        copies.append(copies[-1].scaled(half, keep, smooth.SmoothTransformation))
    return copies


class Looking:
    """Scale and offset; a place is in pixels of the picture, a spot in pixels of the widget.

    A picture of 50 megapixels is drawn from copies of half its size, a quarter and so on, so that
    a step of the wheel takes no longer than with a small one.
    """

    def __init__(self) -> None:
        self._copies: list[QImage] = []
        self.scale = 1.0
        """Screen pixels a pixel of the picture."""
        self._offset = QPointF()

    @property
    def size(self) -> QSizeF:
        """Of the picture, in its pixels; empty without one."""
        return QSizeF(self._copies[0].size()) if self._copies else QSizeF()

    def show(self, copies: Sequence[QImage], area: QSizeF) -> None:
        """Look at the whole of another picture, given with its `halved_copies`."""
        self._copies = list(copies)
        self.fit(area)

    def fit(self, area: QSizeF) -> None:
        """Show the whole picture in the middle."""
        size = self.size
        if size.isEmpty() or area.isEmpty():
            return
        self.scale = _ROOM * min(area.width() / size.width(), area.height() / size.height())
        rest = area - size * self.scale
        self._offset = QPointF(rest.width() / 2, rest.height() / 2)

    def zoom(self, factor: float, spot: QPointF) -> None:
        """Zoom about a spot, which stays where it is."""
        place = self.place(spot)
        smallest = 16 / max(1.0, self.size.width(), self.size.height())
        self.scale = min(max(self.scale * factor, smallest), _LARGEST_SCALE)
        self._offset += spot - self.spot(place)

    def pan(self, by: QPointF) -> None:
        """Move the picture on the screen."""
        self._offset += by

    def reveal(self, place: QPointF, area: QSizeF, margin: float = 24.0) -> None:
        """Move just as far as needed to have a place in sight."""
        spot = self.spot(place)
        x = min(max(spot.x(), margin), area.width() - margin)
        y = min(max(spot.y(), margin), area.height() - margin)
        self._offset += QPointF(x, y) - spot

    def place(self, spot: QPointF) -> QPointF:
        """Place in the picture at a spot of the widget."""
        return (spot - self._offset) / self.scale

    def spot(self, place: QPointF) -> QPointF:
        """Spot of the widget at a place in the picture."""
        return place * self.scale + self._offset

    def kept_inside(self, place: QPointF) -> QPointF:
        """The nearest place in the picture."""
        size = self.size
        return QPointF(
            min(max(place.x(), 0.0), size.width()), min(max(place.y(), 0.0), size.height())
        )

    def paint(self, painter: QPainter, target: QRectF) -> None:
        """Paint what of the picture lies in a part of the widget."""
        if self._copies:
            self._paint(painter, target, self._offset, self.scale)

    def paint_closely(
        self, painter: QPainter, target: QRectF, centre: QPointF, scale: float
    ) -> None:
        """Paint the surroundings of a place, larger, with every pixel to be seen."""
        if self._copies:
            self._paint(painter, target, target.center() - centre * scale, scale)

    def smaller(self, widest_px: float) -> tuple[QImage, float]:
        """The smallest copy that is at least so wide, if any is, and its share of the size."""
        fitting = [copy for copy in self._copies if copy.width() >= widest_px]
        copy = fitting[-1] if fitting else self._copies[0]
        return copy, copy.width() / self._copies[0].width()

    def _paint(self, painter: QPainter, target: QRectF, offset: QPointF, scale: float) -> None:
        full = self._copies[0]
        level = 0
        while level + 1 < len(self._copies) and scale * 2 ** (level + 1) <= 1:
            level += 1
        copy = self._copies[level]
        seen = QRectF((target.topLeft() - offset) / scale, target.size() / scale)
        seen &= QRectF(full.rect())
        if seen.isEmpty():
            return
        # Whole pixels, so that none is cut at the rim.
        seen = QRectF(seen.toAlignedRect() & full.rect())
        there = QRectF(seen.topLeft() * scale + offset, seen.size() * scale)
        across, down = copy.width() / full.width(), copy.height() / full.height()
        source = QRectF(
            seen.x() * across, seen.y() * down, seen.width() * across, seen.height() * down
        )
        painter.save()
        painter.setClipRect(target, Qt.ClipOperation.IntersectClip)
        painter.setRenderHint(QPainter.RenderHint.SmoothPixmapTransform, scale < _SMOOTH_UP_TO)
        painter.drawImage(there, copy, source)
        painter.restore()
