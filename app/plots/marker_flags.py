"""The markers in a plot over frequency: a dotted line each, with its name at the top."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QFont, QFontMetricsF

from fairlead.app.look.palette import LIGHT
from fairlead.app.plots.line_handle import GRAB_PX, LineHandle, edge_text

if TYPE_CHECKING:
    from collections.abc import Sequence

    from PySide6.QtWidgets import QGraphicsItem

    from fairlead.app.drawing.screen_map import ScreenMap
    from fairlead.app.look.palette import Theme
    from fairlead.core.document.session import Marker

_GAP_PX = 3.0
# The curves below are what is to be read: tags take no more of the height.
_DEEPEST_SHARE = 0.6
_MOST_ROWS = 4
_WIDEST_PX = 130.0


class MarkerFlags:
    """Shows markers and finds them by pixel; tags that would overlap stand below each other.

    They are at the top, since best matches are at the bottom. A marker whose tag has no room is a
    line without one: it can still be dragged, and the table beside has its name.
    """

    def __init__(self, parent: QGraphicsItem) -> None:
        self._parent = parent
        self._theme = LIGHT
        self._font = QFont()
        self._flags: dict[int, LineHandle] = {}
        self._x: dict[int, float] = {}
        self._height = 0.0

    @property
    def keys(self) -> tuple[int, ...]:
        """Keys of the markers shown, by frequency."""
        return tuple(self._flags)

    def set_theme(self, theme: Theme) -> None:
        """Use other tones."""
        self._theme = theme
        for flag in self._flags.values():
            flag.set_tones(theme.text, theme)

    def set_font(self, font: QFont) -> None:
        """Write in another font."""
        self._font = font
        for flag in self._flags.values():
            flag.set_font(font)

    def show(self, markers: Sequence[Marker], screen: ScreenMap, top: float) -> None:
        """Position lines, and tags from a distance below the upper edge."""
        self._match(markers)
        self._height = screen.height
        self._x = {marker.key: screen.x(marker.frequency_hz) for marker in markers}
        ends: list[float] = []
        for marker in markers:
            flag, x = self._flags[marker.key], self._x[marker.key]
            is_inside = 0 <= x <= screen.width
            flag.setVisible(is_inside)
            if is_inside:
                self._place(flag, marker, round(x), screen, top, ends)

    def _place(
        self,
        flag: LineHandle,
        marker: Marker,
        x: float,
        screen: ScreenMap,
        top: float,
        ends: list[float],
    ) -> None:
        """Put a tag into the first row where it has room; ``ends`` are those of the rows."""
        text = QFontMetricsF(self._font).elidedText(
            marker.name or edge_text(marker.frequency_hz), Qt.TextElideMode.ElideRight, _WIDEST_PX
        )
        size = flag.tag_size(text)
        step = size.height() + _GAP_PX
        most = min(max(int((_DEEPEST_SHARE * screen.height - top) / step), 1), _MOST_ROWS)
        left = min(max(x - size.width() / 2, 0.0), max(screen.width - size.width(), 0.0))
        free = (row for row, end in enumerate(ends) if end + _GAP_PX <= left)
        row = next(free, len(ends))
        tag = QRectF()
        if row < most:
            ends[row : row + 1] = [left + size.width()]
            tag = QRectF(QPointF(round(left - x), round(top + row * step)), size)
        flag.set_shape(text, QRectF(-0.5, 0, 1.5, screen.height), tag)
        flag.setPos(x, 0)

    def mark(self, *, focused: int | None, hot: int | None) -> None:
        """Show which marker the keys move and which is under the mouse."""
        for key, flag in self._flags.items():
            flag.set_state(is_focused=key == focused, is_hot=key == hot)

    def at(self, point: QPointF) -> int | None:
        """The marker whose tag or line is at a pixel; tags first."""
        shown = {key: flag for key, flag in self._flags.items() if flag.isVisible()}
        for key, flag in shown.items():
            if flag.tag_in_plot.contains(point):
                return key
        if not shown or not 0 <= point.y() <= self._height:
            return None
        nearest = min(shown, key=lambda key: abs(self._x[key] - point.x()))
        return nearest if abs(self._x[nearest] - point.x()) <= GRAB_PX else None

    def _match(self, markers: Sequence[Marker]) -> None:
        """One flag for each marker, in their order."""
        keys = [marker.key for marker in markers]
        for key in set(self._flags) - set(keys):
            flag = self._flags.pop(key)
            flag.scene().removeItem(flag)
        self._flags = {key: self._flags.get(key) or self._new() for key in keys}

    def _new(self) -> LineHandle:
        flag = LineHandle(self._parent, is_dotted=True)
        flag.setZValue(38)
        flag.set_tones(self._theme.text, self._theme)
        flag.set_font(self._font)
        return flag
