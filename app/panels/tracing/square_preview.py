"""The picture as if taken from in front, while its corners are dragged."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QPointF, QRectF, QSize, Qt
from PySide6.QtGui import QColor, QImage, QPainter, QPaintEvent, QPen, QPolygonF, QTransform
from PySide6.QtWidgets import QWidget

if TYPE_CHECKING:
    from fairlead.app.document.view_state import ViewState
    from fairlead.core.picture_trace.straighten import Corners

_MARGIN_SHARE = 0.08


class SquarePreview(QWidget):
    """Shows what lies between four corners, and a little around it, as a rectangle."""

    def __init__(self, view_state: ViewState, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._view_state = view_state
        self._image = QImage()
        self._share = 1.0
        self._corners: Corners | None = None
        self.setAccessibleName("Straightened picture")
        self.setMinimumHeight(120)
        self.hide()

    def sizeHint(self) -> QSize:
        """As wide as what stands below it."""
        return QSize(220, 150)

    def show_picture(self, image: QImage, share: float) -> None:
        """Show another picture, of a share of its full size."""
        self._image, self._share = image, share
        self.update()

    def show_corners(self, corners: Corners | None) -> None:
        """Straighten it by other corners; hidden without any."""
        self._corners = corners
        self.setVisible(corners is not None)
        self.update()

    def paintEvent(self, _event: QPaintEvent) -> None:
        """The picture through the homography of its corners."""
        painter = QPainter(self)
        painter.fillRect(self.rect(), QColor(self._view_state.theme.window))
        transform = self._transform()
        if transform is None:
            return
        painter.setRenderHint(QPainter.RenderHint.SmoothPixmapTransform)
        painter.setTransform(transform)
        painter.drawImage(QPointF(0, 0), self._image)
        painter.resetTransform()
        painter.setPen(QPen(QColor(self._view_state.theme.accent), 1, Qt.PenStyle.DashLine))
        painter.drawRect(self._target())

    def _target(self) -> QRectF:
        across, down = _MARGIN_SHARE * self.width(), _MARGIN_SHARE * self.height()
        return QRectF(self.rect()).adjusted(across, down, -across, -down)

    def _transform(self) -> QTransform | None:
        """None where the corners are those of no rectangle."""
        if self._corners is None or self._image.isNull():
            return None
        source = QPolygonF([QPointF(x, y) * self._share for x, y in self._corners])
        box = self._target()
        target = QPolygonF([box.topLeft(), box.topRight(), box.bottomRight(), box.bottomLeft()])
        found = QTransform()
        if not QTransform.quadToQuad(source, target, found):
            return None
        return found
