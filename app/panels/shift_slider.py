"""The what-if slider: by how many per cent the sweeps are moved, with its best place."""

from __future__ import annotations

from PySide6.QtCore import QSignalBlocker, Qt, Signal
from PySide6.QtWidgets import QHBoxLayout, QLabel, QPushButton, QSlider, QWidget

from fairlead.app.look.tool_tip import tool_tip

# Steps of the slider in per cent; it reaches ten to both sides.
STEP_PERCENT = 0.02
MOST_PERCENT = 10.0


class ShiftSlider(QWidget):
    """A drag is one gesture; so is each key."""

    began = Signal()
    moved = Signal(float)
    """Per cent."""
    ended = Signal()

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._best: float | None = None
        self.slider = QSlider(Qt.Orientation.Horizontal)
        steps = round(MOST_PERCENT / STEP_PERCENT)
        self.slider.setRange(-steps, steps)
        self.slider.setPageStep(25)
        self.slider.setAccessibleName("What-if: shift of the frequency in per cent")
        self.slider.setToolTip(
            tool_tip(
                "Moves the selected sweeps, or all, along the frequency axis as if the whole "
                "antenna were scaled; what was measured stays"
            )
        )
        self.label = QLabel()
        self.label.setMinimumWidth(self.fontMetrics().horizontalAdvance("What-if: −10.00 %"))
        self.best_button = QPushButton("To the best shi&ft")
        self.back_button = QPushButton("As measure&d")
        for button in (self.best_button, self.back_button):
            button.setAutoDefault(False)
        title = QLabel("What if the antenna were tuned lower or higher")
        title.setBuddy(self.slider)
        row = QHBoxLayout(self)
        row.setContentsMargins(0, 0, 0, 0)
        row.addWidget(title)
        row.addWidget(self.slider, 1)
        for widget in (self.label, self.best_button, self.back_button):
            row.addWidget(widget)
        self.slider.sliderPressed.connect(self.began)
        self.slider.valueChanged.connect(self._on_slid)
        self.slider.sliderReleased.connect(self.ended)
        self.best_button.clicked.connect(self._to_best)
        self.back_button.clicked.connect(lambda: self.slider.setValue(0))
        self.set_best(None)
        self._show()

    @property
    def percent(self) -> float:
        """Where the slider stands."""
        return round(self.slider.value() * STEP_PERCENT, 4)

    @property
    def best(self) -> float | None:
        """The best shift in per cent, if it is known."""
        return self._best

    def set_best(self, percent: float | None) -> None:
        """Offer another best shift."""
        self._best = percent
        self.best_button.setEnabled(percent is not None)

    def follow(self, percent: float) -> None:
        """Stand where the document is, unless a hand holds the slider."""
        if not self.slider.isSliderDown():
            with QSignalBlocker(self.slider):
                self.slider.setValue(round(percent / STEP_PERCENT))
            self._show()

    def _to_best(self) -> None:
        if self._best is not None:
            self.slider.setValue(round(self._best / STEP_PERCENT))

    def _on_slid(self) -> None:
        self._show()
        is_dragged = self.slider.isSliderDown()
        if not is_dragged:
            self.began.emit()
        self.moved.emit(self.percent)
        if not is_dragged:
            self.ended.emit()

    def _show(self) -> None:
        percent = self.percent
        text = f"{percent:+.2f} %".replace("-", "−")
        self.label.setText(f"What-if: {text}" if percent else "As measured")
        self.back_button.setEnabled(bool(percent))
