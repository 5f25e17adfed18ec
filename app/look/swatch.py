"""A short sample of a curve for lists and the table: colour, dash and marker together."""

from __future__ import annotations

from functools import lru_cache
from typing import TYPE_CHECKING

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QIcon, QImage, QPainter, QPen, QPixmap, QPolygonF

from fairlead.app.look.palette import DASHES, MARKERS

if TYPE_CHECKING:
    from fairlead.app.look.palette import Theme
    from fairlead.core.document.entry import Style

_LINE_WIDTH = 2.0
_MARKER_RADIUS = 4.0

ENVELOPE_ALPHA = 46
"""Of the surface between the least and the largest value of a group, of 255."""
MEAN_WIDTH = 3.0
"""Of the mean of a group: wider than any sweep."""


@lru_cache(maxsize=512)
def swatch_image(style: Style, theme: Theme, width: int, height: int, ratio: float = 1.0) -> QImage:
    """A line with its marker in the middle, on a transparent background.

    Parameters
    ----------
    style : Style
    theme : Theme
        Its curve colours are used.
    width, height : int
        In device-independent pixels.
    ratio : float
        Device pixel ratio.
    """
    image = QImage(
        round(width * ratio), round(height * ratio), QImage.Format.Format_ARGB32_Premultiplied
    )
    image.setDevicePixelRatio(ratio)
    image.fill(Qt.GlobalColor.transparent)
    colour = QColor(theme.curves[style.colour % len(theme.curves)])
    pen = QPen(colour, _LINE_WIDTH)
    pen.setCapStyle(Qt.PenCapStyle.FlatCap)
    dash = DASHES[style.dash % len(DASHES)]
    if dash:
        pen.setDashPattern(list(dash))
    painter = QPainter(image)
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    painter.setPen(pen)
    middle = QPointF(width / 2, height / 2)
    painter.drawLine(QPointF(0, middle.y()), QPointF(width, middle.y()))
    _draw_marker(painter, MARKERS[style.marker % len(MARKERS)], middle, colour)
    painter.end()
    return image


@lru_cache(maxsize=128)
def group_swatch_image(
    style: Style, theme: Theme, width: int, height: int, ratio: float = 1.0
) -> QImage:
    """A group as plots show it: the mean in the middle of its envelope; as `swatch_image`."""
    image = QImage(
        round(width * ratio), round(height * ratio), QImage.Format.Format_ARGB32_Premultiplied
    )
    image.setDevicePixelRatio(ratio)
    image.fill(Qt.GlobalColor.transparent)
    colour = QColor(theme.curves[style.colour % len(theme.curves)])
    painter = QPainter(image)
    box = QRectF(0.5, 2.5, width - 1, height - 5)
    fill = QColor(colour)
    fill.setAlpha(ENVELOPE_ALPHA)
    painter.fillRect(box, fill)
    painter.setPen(QPen(colour, 1))
    painter.drawLine(box.topLeft(), box.topRight())
    painter.drawLine(box.bottomLeft(), box.bottomRight())
    pen = QPen(colour, MEAN_WIDTH)
    pen.setCapStyle(Qt.PenCapStyle.FlatCap)
    dash = DASHES[style.dash % len(DASHES)]
    if dash:
        pen.setDashPattern([part * _LINE_WIDTH / MEAN_WIDTH for part in dash])
    painter.setPen(pen)
    painter.drawLine(QPointF(0, height / 2), QPointF(width, height / 2))
    painter.end()
    return image


def group_swatch_icon(style: Style, theme: Theme, size: int = 16) -> QIcon:
    """The same as a square icon."""
    made = QIcon()
    for ratio in (1.0, 2.0):
        made.addPixmap(QPixmap.fromImage(group_swatch_image(style, theme, size, size, ratio)))
    return made


def swatch_icon(style: Style, theme: Theme, size: int = 16) -> QIcon:
    """The same as a square icon, for headers and menus."""
    made = QIcon()
    for ratio in (1.0, 2.0):
        made.addPixmap(QPixmap.fromImage(swatch_image(style, theme, size, size, ratio)))
    return made


@lru_cache(maxsize=8)
def over_limit_sign(theme: Theme, size: int = 12) -> QIcon:
    """An arrow through a line: a value over the limit, for those who do not see the tint."""
    made = QIcon()
    for ratio in (1.0, 2.0):
        image = QImage(
            round(size * ratio), round(size * ratio), QImage.Format.Format_ARGB32_Premultiplied
        )
        image.setDevicePixelRatio(ratio)
        image.fill(Qt.GlobalColor.transparent)
        painter = QPainter(image)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.setPen(QPen(QColor(theme.text), 1.5))
        middle, low, tip = size / 2, size - 2.0, 1.5
        painter.drawLine(QPointF(1, low - 3), QPointF(size - 1, low - 3))
        painter.drawLine(QPointF(middle, low), QPointF(middle, tip))
        for side in (-3, 3):
            painter.drawLine(QPointF(middle, tip), QPointF(middle + side, tip + 3))
        painter.end()
        made.addPixmap(QPixmap.fromImage(image))
    return made


def _draw_marker(painter: QPainter, name: str, middle: QPointF, colour: QColor) -> None:
    r = _MARKER_RADIUS
    x, y = middle.x(), middle.y()
    painter.setPen(QPen(colour, _LINE_WIDTH))
    painter.setBrush(colour)
    if name == "circle":
        painter.drawEllipse(middle, r - 0.5, r - 0.5)
    elif name == "square":
        painter.drawRect(QRectF(x - r + 1, y - r + 1, 2 * r - 2, 2 * r - 2))
    elif name == "triangle":
        _polygon(painter, (x, y - r), (x + r, y + r - 1), (x - r, y + r - 1))
    elif name == "diamond":
        _polygon(painter, (x, y - r), (x + r, y), (x, y + r), (x - r, y))
    elif name == "cross":
        painter.drawLine(QPointF(x - r, y - r), QPointF(x + r, y + r))
        painter.drawLine(QPointF(x - r, y + r), QPointF(x + r, y - r))
    else:
        painter.drawLine(QPointF(x - r, y), QPointF(x + r, y))
        painter.drawLine(QPointF(x, y - r - 1), QPointF(x, y + r + 1))


def _polygon(painter: QPainter, *corners: tuple[float, float]) -> None:
    painter.setPen(Qt.PenStyle.NoPen)
    painter.drawPolygon(QPolygonF([QPointF(*corner) for corner in corners]))
