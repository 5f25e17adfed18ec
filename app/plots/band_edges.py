"""The handles of the plot over frequency: band edges, bar between them, limit line.

They only show the document. What is under the mouse is found by pixel, so that an edge can be
grabbed from a few pixels away and always has priority over what lies beneath.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Literal

from PySide6.QtCore import QPointF, QRectF, QSizeF, Qt
from PySide6.QtGui import QColor, QFont, QPainter
from PySide6.QtWidgets import QGraphicsItem

from fairlead.app.look.palette import LIGHT
from fairlead.app.plots.line_handle import GRAB_PX, LineHandle, edge_text
from fairlead.app.plots.screen_line import FAR_PX

if TYPE_CHECKING:
    from collections.abc import Iterator

    from PySide6.QtWidgets import QStyleOptionGraphicsItem, QWidget

    from fairlead.app.drawing.screen_map import ScreenMap
    from fairlead.app.look.palette import Theme
    from fairlead.core.bands import Band

Grip = Literal["low", "high", "limit", "band"] | int
"""What can be dragged; a number is the key of a marker."""

_TAG_TOP = 2.0
_BAR_GAP = 5.0
_BAR_HEIGHT = 6.0


class _Bar(QGraphicsItem):
    """The bar between the edges that moves the whole band."""

    def __init__(self, parent: QGraphicsItem) -> None:
        super().__init__(parent)
        self._colour = QColor(LIGHT.band)
        self._is_hot = False
        self._width = 0.0

    def set_tones(self, colour: str) -> None:
        self._colour = QColor(colour)
        self.update()

    def set_hot(self, *, is_hot: bool) -> None:
        if is_hot != self._is_hot:
            self._is_hot = is_hot
            self.update()

    def set_width(self, width: float) -> None:
        if width != self._width:
            self.prepareGeometryChange()
            self._width = width

    @property
    def in_plot(self) -> QRectF:
        return QRectF(0, 0, self._width, _BAR_HEIGHT).translated(self.pos())

    def boundingRect(self) -> QRectF:
        return QRectF(-1, -1, self._width + 2, _BAR_HEIGHT + 2)

    def paint(
        self, painter: QPainter, option: QStyleOptionGraphicsItem, widget: QWidget | None = None
    ) -> None:
        del option, widget
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        colour = QColor(self._colour)
        colour.setAlpha(255 if self._is_hot else 150)
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setBrush(colour)
        painter.drawRoundedRect(QRectF(0, 0, self._width, _BAR_HEIGHT), 3, 3)


class _Shade(QGraphicsItem):
    """The shading between the edges; on a change only the strips that differ are painted."""

    def __init__(self, parent: QGraphicsItem) -> None:
        super().__init__(parent)
        self._colour = QColor(LIGHT.band)
        self._size = QSizeF()
        self._span = (0.0, 0.0)

    def set_tones(self, colour: str) -> None:
        self._colour = QColor(colour)
        self._colour.setAlpha(30)
        self.update()

    def set_size(self, size: QSizeF) -> None:
        if size != self._size:
            self.prepareGeometryChange()
            self._size = size

    def set_span(self, left: float, right: float) -> None:
        for before, after in zip(self._span, (left, right), strict=True):
            if before != after:
                start = min(before, after)
                self.update(QRectF(start - 1, 0, abs(after - before) + 2, self._size.height()))
        self._span = (left, right)

    def boundingRect(self) -> QRectF:
        return QRectF(QPointF(0, 0), self._size)

    def paint(
        self, painter: QPainter, option: QStyleOptionGraphicsItem, widget: QWidget | None = None
    ) -> None:
        del option, widget
        left, right = max(self._span[0], 0.0), min(self._span[1], self._size.width())
        if left < right:
            painter.fillRect(QRectF(left, 0, right - left, self._size.height()), self._colour)


class Handles:
    """Both edges, the bar between them, the shaded band and the limit line."""

    def __init__(self, parent: QGraphicsItem) -> None:
        self._shade = _Shade(parent)
        self._shade.setZValue(10)
        self._bar = _Bar(parent)
        self._bar.setZValue(30)
        self._limit = LineHandle(parent)
        self._limit.setZValue(40)
        self._low, self._high = LineHandle(parent), LineHandle(parent)
        for edge in (self._low, self._high):
            edge.setZValue(50)
        self._x = (0.0, 0.0)
        self._y = 0.0
        self._has_limit = False
        self._has_band = True
        self._ground = QRectF()

    def set_theme(self, theme: Theme) -> None:
        """Use other tones."""
        for edge in (self._low, self._high):
            edge.set_tones(theme.band, theme)
        self._limit.set_tones(theme.limit, theme)
        self._shade.set_tones(theme.band)
        self._bar.set_tones(theme.band)

    def set_font(self, font: QFont) -> None:
        """Write in another font."""
        for handle in (self._low, self._high, self._limit):
            handle.set_font(font)

    def show_band(self, band: Band | None, screen: ScreenMap) -> None:
        """Position edges, shading and bar at the band, or hide them without one."""
        self._has_band = band is not None
        self._shade.setVisible(self._has_band)
        if band is None:
            self._ground = QRectF(0, 0, screen.width, screen.height)
            for item in (self._low, self._high, self._bar):
                item.setVisible(False)
            return
        self._x = (screen.x(band.low_hz), screen.x(band.high_hz))
        self._ground = QRectF(0, 0, screen.width, screen.height)
        self._shade.set_size(self._ground.size())
        self._shade.set_span(*self._x)
        texts = edge_text(band.low_hz), edge_text(band.high_hz)
        tags = _tags_of(
            (self._low.tag_size(texts[0]), self._high.tag_size(texts[1])), self._x, screen
        )
        for handle, x, text, tag in zip((self._low, self._high), self._x, texts, tags, strict=True):
            handle.set_shape(text, QRectF(-0.5, 0, 1.5, screen.height), tag)
            handle.setPos(round(x), 0)
            handle.setVisible(-5 <= x <= screen.width + 5)
        left, right = max(self._x[0], 0.0) + _BAR_GAP, min(self._x[1], screen.width) - _BAR_GAP
        # Below the tags, which may lie inside the band where there is no room outside.
        top = max(tag.bottom() for tag in tags) + 4
        self._bar.setVisible(right - left >= _BAR_HEIGHT)
        self._bar.setPos(left, top)
        self._bar.set_width(max(right - left, 0.0))

    def show_limit(self, place: float | None, text: str, screen: ScreenMap) -> None:
        """Position the limit line on the axis, or hide it without one."""
        self._has_limit = place is not None
        if place is None:
            self._limit.setVisible(False)
            return
        self._y = screen.y(place)
        text = f"limit {text}"
        size = self._limit.tag_size(text)
        above = -size.height() - 2 if self._y > size.height() + 2 else 3.0
        self._limit.set_shape(
            text,
            QRectF(0, -0.5, screen.width, 1.5),
            QRectF(QPointF(round(screen.width - size.width() - 4), above), size),
        )
        self._limit.setPos(0, round(min(max(self._y, -FAR_PX), FAR_PX)))
        self._limit.setVisible(-1 <= self._y <= screen.height + 1)

    @property
    def foot(self) -> float:
        """How far edge tags and bar reach below the upper edge of the plot, in pixels."""
        return self._bar.in_plot.bottom() if self._has_band else 0.0

    @property
    def parts(self) -> tuple[Grip, ...]:
        """What the keys can move, in the order of Tab."""
        edges: tuple[Grip, ...] = ("low", "high") if self._has_band else ()
        return (*edges, "limit") if self._has_limit else edges

    def mark(self, *, focused: Grip | None, hot: Grip | None) -> None:
        """Show which handle the keys move and which is under the mouse."""
        for part, handle in self._lines():
            handle.set_state(is_focused=part == focused, is_hot=part == hot)
        self._bar.set_hot(is_hot=hot == "band")

    def at(self, point: QPointF) -> Grip | None:
        """What can be grabbed at a pixel: edges first, then limit and bar."""
        if not self._ground.contains(point):
            return None
        part = self._edge_near(point.x()) or self._tag_at(point)
        if part is not None:
            return part
        if self._limit.isVisible() and abs(point.y() - self._y) <= GRAB_PX:
            return "limit"
        if self._bar.isVisible() and self._bar.in_plot.adjusted(0, -3, 0, 3).contains(point):
            return "band"
        return None

    def _edge_near(self, x: float) -> Grip | None:
        if not self._has_band:
            return None
        gaps = [abs(x - edge) for edge in self._x]
        if min(gaps) > GRAB_PX:
            return None
        if gaps[0] == gaps[1]:
            # Both at one position: each can be dragged to its own side.
            return "low" if x < self._x[0] else "high"
        return "low" if gaps[0] < gaps[1] else "high"

    def _tag_at(self, point: QPointF) -> Grip | None:
        for part, handle in self._lines():
            if handle.isVisible() and handle.tag_in_plot.contains(point):
                return part
        return None

    def _lines(self) -> Iterator[tuple[Grip, LineHandle]]:
        yield "low", self._low
        yield "high", self._high
        yield "limit", self._limit


def _tags_of(
    sizes: tuple[QSizeF, QSizeF], edges: tuple[float, float], screen: ScreenMap
) -> tuple[QRectF, QRectF]:
    """The tags of both edges, from their lines; where they would overlap one is below the other."""
    low, high = (
        _tag_beside(size, x, side, screen)
        for size, x, side in zip(sizes, edges, (-1, 1), strict=True)
    )
    if low.translated(round(edges[0]), 0).intersects(high.translated(round(edges[1]), 0)):
        high.translate(0, low.height() + 2)
    return low, high


def _tag_beside(size: QSizeF, x: float, side: int, screen: ScreenMap) -> QRectF:
    """A tag outside the band, or inside where the border would cut it."""
    outside = size.width() <= (x if side < 0 else screen.width - x) - 2
    to_left = (side < 0) == outside
    return QRectF(QPointF(-size.width() if to_left else 1.0, _TAG_TOP), size)
