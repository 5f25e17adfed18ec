"""The field for a typed number: decimal point or comma, whatever the system's locale.

Qt's own spin boxes follow the locale: where the comma is the decimal sign they read "85.5" as 855.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QLineEdit, QWidget

from fairlead.app.look.tool_tip import tool_tip
from fairlead.core.errors import FairleadError, ValueTextError
from fairlead.core.units import parse_number

if TYPE_CHECKING:
    from PySide6.QtGui import QFocusEvent, QKeyEvent

_STEPS = {
    Qt.Key.Key_Up: 1,
    Qt.Key.Key_Down: -1,
    Qt.Key.Key_PageUp: 10,
    Qt.Key.Key_PageDown: -10,
}


class NumberField(QLineEdit):
    """Shows a number with its unit; invalid input stays, with the reason, to be corrected.

    Arrow and Page keys change the number in steps.

    Parameters
    ----------
    name : str
        For screen readers and messages.
    unit : str
        Shown after the number; may be typed or left out.
    bounds : tuple of float
        Lowest and highest number.
    step : float
    decimals : int
        The most that are shown; 0 for whole numbers only.
    value : float
        At the start.
    """

    changed = Signal()
    """`value` or `problem` has changed."""

    def __init__(
        self,
        name: str,
        unit: str,
        bounds: tuple[float, float],
        step: float,
        decimals: int,
        value: float,
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(parent)
        self._name = name
        self._unit = unit
        self._low, self._high = bounds
        self._step = step
        self._decimals = decimals
        self._value = value
        self._problem = ""
        self._tip = ""
        self.setAccessibleName(name)
        # Dropped files are for the window.
        self.setAcceptDrops(False)
        self.setText(self._text(value))
        self.setCursorPosition(0)
        self.textChanged.connect(self._on_text)

    def value(self) -> float:
        """The last valid number."""
        return self._value

    def setValue(self, value: float) -> None:
        """Show another number, kept within the bounds."""
        self.setText(self._text(min(max(value, self._low), self._high)))
        self.setCursorPosition(0)

    @property
    def problem(self) -> str:
        """Why the text is invalid; empty if it is valid."""
        return self._problem

    def set_tip(self, tip: str) -> None:
        """What to show on hover while there is no problem."""
        self._tip = tip
        self.setToolTip(tool_tip(self._problem or tip))

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Step with arrow and Page keys; Escape restores the last valid number."""
        steps = _STEPS.get(Qt.Key(event.key()))
        if steps is not None:
            self.setValue(self._value + steps * self._step)
            self.selectAll()
            event.accept()
        elif event.key() == Qt.Key.Key_Escape and self._problem:
            self.setValue(self._value)
            event.accept()
        else:
            super().keyPressEvent(event)

    def focusOutEvent(self, event: QFocusEvent) -> None:
        """Rewrite a valid number in the program's own form."""
        if not self._problem:
            self.setValue(self._value)
        super().focusOutEvent(event)

    def _text(self, value: float) -> str:
        text = f"{value:.{self._decimals}f}"
        if self._decimals:
            text = text.rstrip("0").rstrip(".")
        return f"{text} {self._unit}"

    def _on_text(self, text: str) -> None:
        before = self._value, self._problem
        problem = ""
        try:
            self._value = self._parsed(text)
        except FairleadError as error:
            problem = str(error)
        self._take_problem(problem)
        if before != (self._value, self._problem):
            self.changed.emit()

    def _parsed(self, text: str) -> float:
        bare = text.strip()
        if bare.casefold().endswith(self._unit.casefold()):
            bare = bare[: -len(self._unit)]
        value = round(parse_number(bare, self._name.lower()), self._decimals)
        if not self._low <= value <= self._high:
            raise ValueTextError(
                f"{value:g} {self._unit} is out of range for {self._name.lower()}",
                f"enter {self._low:g} to {self._high:g} {self._unit}",
            )
        return value

    def _take_problem(self, problem: str) -> None:
        self._problem = problem
        self.setAccessibleDescription(problem)
        self.setToolTip(tool_tip(problem or self._tip))
        mark = "true" if problem else "false"
        if self.property("refused") != mark:
            self.setProperty("refused", mark)
            self.style().unpolish(self)
            self.style().polish(self)
