"""What is known of a point, typed where it is."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QFrame, QHBoxLayout, QLabel, QWidget

from fairlead.app.panels.tracing.overlay import UNITS, VALUE_WORDS
from fairlead.app.panels.typed_field import TypedField
from fairlead.core.errors import FairleadError
from fairlead.core.units import format_mhz, parse_frequency_hz, parse_number

if TYPE_CHECKING:
    from PySide6.QtCore import QPointF
    from PySide6.QtGui import QKeyEvent

    from fairlead.app.panels.tracing.draft import KnownPoint

_GAP_PX = 16


class PointEditor(QFrame):
    """Two fields beside a point; either may stay empty."""

    frequency_typed = Signal(object)
    """Hz, or None where the field was emptied."""
    value_typed = Signal(object)
    """In the unit of its kind, or None."""
    left = Signal()
    """Enter or Escape: back to the picture."""

    def __init__(self, parent: QWidget) -> None:
        super().__init__(parent)
        self._around = parent
        self.setFrameShape(QFrame.Shape.StyledPanel)
        self.setAutoFillBackground(True)
        self.frequency = TypedField(
            "Frequency at this point", "Frequency here; empty if it is not known", "145.000 MHz"
        )
        self.value = TypedField("Value at this point", "Empty if it is not known", "0000.00")
        self._value_words = QLabel()
        row = QHBoxLayout(self)
        row.setContentsMargins(6, 4, 6, 4)
        row.addWidget(QLabel("MHz"))
        row.addWidget(self.frequency)
        row.addWidget(self._value_words)
        row.addWidget(self.value)
        self.frequency.typed.connect(self._on_frequency)
        self.value.typed.connect(self._on_value)
        self.hide()

    def show_point(self, point: KnownPoint) -> None:
        """Show what is known of a point."""
        hz = point.frequency_hz
        self.frequency.show_value("" if hz is None else format_mhz(hz, 6).rstrip("0").rstrip("."))
        self.value.show_value("" if point.value is None else f"{point.value:.10g}")
        self._value_words.setText(VALUE_WORDS[point.kind] + UNITS[point.kind])
        self.adjustSize()

    def place_at(self, spot: QPointF) -> None:
        """Stand beside a spot of the parent, and within it."""
        area = self._around.size()
        x = round(spot.x()) + _GAP_PX
        if x + self.width() > area.width():
            x = round(spot.x()) - _GAP_PX - self.width()
        y = round(spot.y()) + _GAP_PX
        if y + self.height() > area.height():
            y = round(spot.y()) - _GAP_PX - self.height()
        x = max(0, min(x, area.width() - self.width()))
        self.move(x, max(0, min(y, area.height() - self.height())))

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Enter goes on to the next field and then to the picture, Escape to the picture."""
        is_enter = event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter)
        field = self.frequency if self.frequency.hasFocus() else self.value
        if is_enter and not field.is_waiting and field is self.frequency:
            self.value.setFocus()
            self.value.selectAll()
        elif event.key() == Qt.Key.Key_Escape or (is_enter and not field.is_waiting):
            self.left.emit()
        event.accept()

    def _on_frequency(self, text: str) -> None:
        try:
            found = parse_frequency_hz(text, "MHz") if text.strip() else None
        except FairleadError as error:
            self.frequency.refuse(str(error))
            return
        self.frequency_typed.emit(found)

    def _on_value(self, text: str) -> None:
        try:
            found = parse_number(text, "the value") if text.strip() else None
        except FairleadError as error:
            self.value.refuse(str(error))
            return
        self.value_typed.emit(found)
