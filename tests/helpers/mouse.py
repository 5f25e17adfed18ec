"""Real mouse, wheel and key events, sent to widgets as the window system would send them."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QCoreApplication, QEvent, QPoint, QPointF, Qt
from PySide6.QtGui import QKeyEvent, QMouseEvent, QWheelEvent

if TYPE_CHECKING:
    from collections.abc import Iterable

    from PySide6.QtWidgets import QWidget

LEFT = Qt.MouseButton.LeftButton
MIDDLE = Qt.MouseButton.MiddleButton
NO_BUTTON = Qt.MouseButton.NoButton
NO_MODIFIER = Qt.KeyboardModifier.NoModifier


def run_events(times: int = 2) -> None:
    """Let posted events run; what one event posts runs in the next turn."""
    for _ in range(times):
        QCoreApplication.processEvents()


def delete(widget: QWidget) -> None:
    """Delete a widget now, with all its pixels; plain turns of the loop leave that for later."""
    widget.deleteLater()
    run_events(4)
    QCoreApplication.sendPostedEvents(None, QEvent.Type.DeferredDelete)


class Mouse:
    """A mouse over one widget, in pixels of that widget."""

    def __init__(self, widget: QWidget) -> None:
        self._widget = widget
        self._at = QPointF(0, 0)
        self._buttons = NO_BUTTON

    def move(self, at: QPointF, modifiers: Qt.KeyboardModifier = NO_MODIFIER) -> None:
        """Move there, with whatever buttons are held."""
        self._at = QPointF(at)
        self._send(QEvent.Type.MouseMove, NO_BUTTON, modifiers)

    def press(self, button: Qt.MouseButton = LEFT) -> None:
        """Press a button where the mouse is."""
        self._buttons |= button
        self._send(QEvent.Type.MouseButtonPress, button)

    def release(
        self, button: Qt.MouseButton = LEFT, modifiers: Qt.KeyboardModifier = NO_MODIFIER
    ) -> None:
        """Let a button go."""
        self._buttons &= ~button
        self._send(QEvent.Type.MouseButtonRelease, button, modifiers)

    def click(self, at: QPointF) -> None:
        """Move there, press and let go."""
        self.move(at)
        self.press()
        self.release()

    def double_click(self, at: QPointF) -> None:
        """The four events of a double click."""
        self.click(at)
        self._buttons |= LEFT
        self._send(QEvent.Type.MouseButtonDblClick, LEFT)
        self.release()

    def drag(
        self, path: Iterable[QPointF], button: Qt.MouseButton = LEFT, *, let_go: bool = True
    ) -> None:
        """Press at the first point, move through the others, let go at the last."""
        first, *others = path
        self.move(first)
        self.press(button)
        for at in others:
            self.move(at)
        if let_go:
            self.release(button)

    def wheel(
        self, at: QPointF, notches: float, modifiers: Qt.KeyboardModifier = NO_MODIFIER
    ) -> None:
        """Turn the wheel; positive turns away from the user."""
        self._at = QPointF(at)
        event = QWheelEvent(
            at,
            self._widget.mapToGlobal(at),
            QPoint(),
            QPoint(0, round(120 * notches)),
            self._buttons,
            modifiers,
            Qt.ScrollPhase.NoScrollPhase,
            False,
        )
        QCoreApplication.sendEvent(self._widget, event)
        run_events()

    def leave(self) -> None:
        """Leave the widget."""
        QCoreApplication.sendEvent(self._widget, QEvent(QEvent.Type.Leave))
        run_events()

    def _send(
        self,
        kind: QEvent.Type,
        button: Qt.MouseButton,
        modifiers: Qt.KeyboardModifier = NO_MODIFIER,
    ) -> None:
        event = QMouseEvent(
            kind, self._at, self._widget.mapToGlobal(self._at), button, self._buttons, modifiers
        )
        QCoreApplication.sendEvent(self._widget, event)
        run_events()


def press_key(
    widget: QWidget,
    key: Qt.Key,
    modifiers: Qt.KeyboardModifier = NO_MODIFIER,
    *,
    is_repeat: bool = False,
) -> None:
    """Press a key, or let a held one repeat itself."""
    _send_key(widget, QEvent.Type.KeyPress, key, modifiers, is_repeat=is_repeat)


def release_key(
    widget: QWidget,
    key: Qt.Key,
    modifiers: Qt.KeyboardModifier = NO_MODIFIER,
    *,
    is_repeat: bool = False,
) -> None:
    """Let a key go; some window systems also send this between two repeats."""
    _send_key(widget, QEvent.Type.KeyRelease, key, modifiers, is_repeat=is_repeat)


def tap_key(widget: QWidget, key: Qt.Key, modifiers: Qt.KeyboardModifier = NO_MODIFIER) -> None:
    """Press a key and let it go."""
    press_key(widget, key, modifiers)
    release_key(widget, key, modifiers)


def _send_key(
    widget: QWidget,
    kind: QEvent.Type,
    key: Qt.Key,
    modifiers: Qt.KeyboardModifier,
    *,
    is_repeat: bool,
) -> None:
    QCoreApplication.sendEvent(widget, QKeyEvent(kind, key, modifiers, "", is_repeat))
    run_events()
