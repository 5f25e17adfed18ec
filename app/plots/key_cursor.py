"""A cursor on the curves, moved by keys: the readout without a mouse."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np
from PySide6.QtCore import Qt
from PySide6.QtGui import QAccessible, QAccessibleAnnouncementEvent

from fairlead.app.document.view_state import Hover

if TYPE_CHECKING:
    from collections.abc import Sequence

    from PySide6.QtCore import QObject

    from fairlead.app.plots.curves import Curve
    from fairlead.core.arrays import IntArray

_LARGE_STEP = 10
CURSOR_KEYS = frozenset(
    {
        Qt.Key.Key_Left,
        Qt.Key.Key_Right,
        Qt.Key.Key_Up,
        Qt.Key.Key_Down,
        Qt.Key.Key_Home,
        Qt.Key.Key_End,
        Qt.Key.Key_PageUp,
        Qt.Key.Key_PageDown,
    }
)


def moved(
    hover: Hover | None,
    key: int,
    curves: Sequence[Curve],
    span_hz: tuple[float, float],
    *,
    is_large: bool,
) -> Hover | None:
    """Where the cursor goes.

    Parameters
    ----------
    hover : Hover or None
        Where it is; it begins at the least reflection of the first curve.
    key : int
        One of `CURSOR_KEYS`: Left and Right go along the curve (ten points if ``is_large``), Page
        up and down by a tenth of what is shown, Home and End to its ends, Up and Down to the curve
        before or after at the same frequency.
    curves : sequence of Curve
        Those drawn, in the order of the list.
    span_hz : tuple of float
        Lowest and highest frequency shown.

    Returns
    -------
    Hover or None
        None if nothing is shown there.
    """
    inside = [_points_inside(curve, span_hz) for curve in curves]
    rows = [i for i, points in enumerate(inside) if points.size]
    if not rows:
        return None
    row = next((i for i in rows if hover is not None and curves[i].key == hover.key), None)
    if row is None or hover is None:
        points = inside[rows[0]]
        power = curves[rows[0]].analysis.power[points]
        return Hover(curves[rows[0]].key, int(points[int(np.argmin(power))]))
    if key in (Qt.Key.Key_Up, Qt.Key.Key_Down):
        at_hz = curves[row].analysis.frequency_hz[hover.index]
        step = 1 if key == Qt.Key.Key_Down else -1
        row = rows[(rows.index(row) + step) % len(rows)]
        away = np.abs(curves[row].analysis.frequency_hz[inside[row]] - at_hz)
        return Hover(curves[row].key, int(inside[row][int(np.argmin(away))]))
    first, last = int(inside[row][0]), int(inside[row][-1])
    page = max((last - first) // 10, 1)
    step = _LARGE_STEP if is_large else 1
    index = {
        Qt.Key.Key_Left: hover.index - step,
        Qt.Key.Key_Right: hover.index + step,
        Qt.Key.Key_PageUp: hover.index + page,
        Qt.Key.Key_PageDown: hover.index - page,
        Qt.Key.Key_Home: first,
        Qt.Key.Key_End: last,
    }[Qt.Key(key)]
    return Hover(curves[row].key, min(max(index, first), last))


def announce(source: QObject, text: str) -> None:
    """Have assistive technology read a text when it has finished what it is reading."""
    event = QAccessibleAnnouncementEvent(source, text)
    event.setPoliteness(QAccessible.AnnouncementPoliteness.Polite)
    QAccessible.updateAccessibility(event)


def _points_inside(curve: Curve, span_hz: tuple[float, float]) -> IntArray:
    grid_hz = curve.analysis.frequency_hz
    first = int(np.searchsorted(grid_hz, span_hz[0], side="left"))
    last = int(np.searchsorted(grid_hz, span_hz[1], side="right"))
    return np.arange(first, last)
