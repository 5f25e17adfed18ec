"""Moving band edges and limit with keys: one undo step for as long as a key is held."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from PySide6.QtCore import QCoreApplication, QEvent, QObject, QTimer
from PySide6.QtGui import QKeyEvent

if TYPE_CHECKING:
    from fairlead.app.document.document import Document
    from fairlead.app.document.edits import Edits
    from fairlead.core.bands import Band, Edge

LIMIT_STEP = 0.1
_STEPS_IN_A_BAND = 200
# For steps chosen from the menu with the mouse, where no key is released.
_END_AFTER_MS = 1000


def edge_step_hz(band: Band) -> float:
    """A step of 1, 2 or 5 times a power of ten, about 1/200 of the band, at least 1 Hz."""
    rough_hz = band.width_hz / _STEPS_IN_A_BAND
    decade = 10.0 ** math.floor(math.log10(rough_hz))
    factor = next(f for f in (1, 2, 5, 10) if rough_hz <= f * decade * 1.0001)
    return max(1.0, factor * decade)


class KeySteps(QObject):
    """Begins a gesture at the first step and ends it when the key is released."""

    def __init__(self, document: Document, edits: Edits, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._document = document
        self._edits = edits
        self._is_stepping = False
        self._moving = ""
        self._step_hz = 0.0
        self._timer = QTimer(self)
        self._timer.setSingleShot(True)
        self._timer.setInterval(_END_AFTER_MS)
        self._timer.timeout.connect(self.end)

    def move_edge(self, edge: Edge, direction: int) -> None:
        """Move an edge one step up or down, to the next whole multiple of the step."""
        self._begin(edge)
        here_hz = self._document.bench.band.edge_hz(edge)
        self._edits.drag_edge(edge, _next_multiple(here_hz, self._step_hz, direction))

    def move_limit(self, direction: int) -> None:
        """Move the limit by 0.1 up or down."""
        self._begin("limit")
        here = self._document.bench.limit_swr
        self._edits.drag_limit(round(_next_multiple(here, LIMIT_STEP, direction), 6))

    def end(self) -> None:
        """End the gesture, leaving its undo step."""
        self._timer.stop()
        application = QCoreApplication.instance()
        if self._is_stepping and application is not None:
            self._is_stepping = False
            application.removeEventFilter(self)
            self._edits.end_gesture()

    def eventFilter(self, _watched: QObject, event: QEvent) -> bool:
        """Notice the release of the key; on some systems a held key repeats its release."""
        if (
            event.type() == QEvent.Type.KeyRelease
            and isinstance(event, QKeyEvent)
            and not event.isAutoRepeat()
        ):
            self.end()
        return False

    def _begin(self, moving: str) -> None:
        application = QCoreApplication.instance()
        if application is None:
            return
        goes_on = self._is_stepping and self._edits.is_in_gesture and moving == self._moving
        if not goes_on:
            self.end()
            self._edits.begin_gesture()
            # The step size is kept while the key is held, though the band's width changes.
            self._step_hz = edge_step_hz(self._document.bench.band)
            self._is_stepping, self._moving = True, moving
            application.installEventFilter(self)
        self._timer.start()


def _next_multiple(value: float, step: float, direction: int) -> float:
    place = value / step
    nearest = round(place)
    if abs(place - nearest) < 1e-6:
        return (nearest + direction) * step
    return (math.ceil(place) if direction > 0 else math.floor(place)) * step
