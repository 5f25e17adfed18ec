"""A row of widgets that goes on in a further row where the width does not suffice."""

from __future__ import annotations

from PySide6.QtCore import QPoint, QRect, QSize, Qt
from PySide6.QtWidgets import QLayout, QLayoutItem, QWidget


class WrappingRow(QLayout):
    """Widgets from left to right, each at its own width; the last one takes what is left.

    Parameters
    ----------
    spacing, row_spacing : int
        Between two widgets of a row, and between two rows, in pixels.
    last_narrowest : int
        The last widget is a remark: hidden where it has less width than this, in pixels, or needs
        more height than its row.
    """

    def __init__(self, spacing: int, row_spacing: int, last_narrowest: int) -> None:
        super().__init__()
        self._items: list[QLayoutItem] = []
        self._gap, self._row_gap = spacing, row_spacing
        self._last_narrowest = last_narrowest
        self.setContentsMargins(0, 0, 0, 0)

    def addItem(self, item: QLayoutItem) -> None:
        """Append an item."""
        self._items.append(item)

    def count(self) -> int:
        """Number of items."""
        return len(self._items)

    def itemAt(self, index: int) -> QLayoutItem | None:
        """The item at an index, or None."""
        return self._items[index] if 0 <= index < len(self._items) else None

    def takeAt(self, index: int) -> QLayoutItem | None:
        """Remove and return the item at an index, or None."""
        return self._items.pop(index) if 0 <= index < len(self._items) else None

    def expandingDirections(self) -> Qt.Orientation:
        """None: it takes the height of its rows."""
        return Qt.Orientation(0)

    def height_at(self, width: int) -> int:
        """Height of all rows at a width, in pixels."""
        rows = self._rows(width)
        gaps = self._row_gap * (len(rows) - 1)
        return sum(_height(row) for row in rows) + gaps

    def minimumSize(self) -> QSize:
        """The widest widget, and one row."""
        fixed = self._items[:-1]
        return QSize(
            max((item.sizeHint().width() for item in fixed), default=0),
            max((item.sizeHint().height() for item in fixed), default=0),
        )

    def sizeHint(self) -> QSize:
        """All in one row."""
        fixed = self._items[:-1]
        width = sum(item.sizeHint().width() for item in fixed) + self._gap * len(fixed)
        return QSize(width, self.minimumSize().height())

    def setGeometry(self, rect: QRect) -> None:
        """Place the widgets, and give their parent the height of the rows.

        Qt's own height for width would be asked again, of the whole window, whenever a text in it
        changes: at each step of a drag.
        """
        super().setGeometry(rect)
        height_px = self.height_at(rect.width())
        parent = self.parentWidget()
        if parent is not None and parent.minimumHeight() != height_px:
            parent.setFixedHeight(height_px)
        y = rect.y()
        x = rect.x()
        height = 0
        for row in self._rows(rect.width()):
            x, height = rect.x(), _height(row)
            for item in row:
                item.setGeometry(QRect(QPoint(x, y), QSize(item.sizeHint().width(), height)))
                x += item.sizeHint().width() + self._gap
            y += height + self._row_gap
        self._place_last(QRect(x, y - self._row_gap - height, rect.right() + 1 - x, height))

    def _place_last(self, rect: QRect) -> None:
        last: QWidget | None = self._items[-1].widget()
        if last is not None:
            is_whole = last.heightForWidth(rect.width()) <= rect.height()
            last.setVisible(rect.width() >= self._last_narrowest and is_whole)
            last.setGeometry(rect)

    def _rows(self, width: int) -> list[list[QLayoutItem]]:
        """All but the last item, in rows."""
        rows: list[list[QLayoutItem]] = [[]]
        left = width
        for item in self._items[:-1]:
            wanted = item.sizeHint().width()
            if rows[-1] and wanted > left:
                rows.append([])
                left = width
            rows[-1].append(item)
            left -= wanted + self._gap
        return rows


def _height(row: list[QLayoutItem]) -> int:
    return max((item.sizeHint().height() for item in row), default=0)
