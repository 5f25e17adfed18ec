"""Progress of reading or saving, and the button that stops it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import Qt, QTimer, Signal
from PySide6.QtWidgets import QHBoxLayout, QProgressBar, QPushButton, QWidget

from fairlead.app.look.resources import icon
from fairlead.app.panels.elided_label import ElidedLabel

if TYPE_CHECKING:
    from fairlead.app.document.view_state import ViewState

# Anything shorter needs no bar that flashes up and shifts everything below it.
_SHOW_AFTER_MS = 150


class ProgressRow(QWidget):
    """Shown while reading or saving takes noticeable time.

    Parameters
    ----------
    what : str
        What is in progress, in lower case.
    can_cancel : bool
    show_after_ms : int
        Work that ends sooner is not shown.
    """

    cancel_wanted = Signal()

    def __init__(
        self,
        view_state: ViewState,
        what: str = "reading",
        *,
        can_cancel: bool = True,
        show_after_ms: int = _SHOW_AFTER_MS,
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(parent)
        self._what = what
        self.setAccessibleName(f"Progress of {what}")
        self._line = ElidedLabel()
        self._bar = QProgressBar()
        self._bar.setTextVisible(False)
        self._bar.setFixedWidth(220)
        self.cancel_button = QPushButton(f"Cancel {what}")
        self.cancel_button.setToolTip("Stop, and keep the bench as it is")
        self.cancel_button.setVisible(can_cancel)
        self.cancel_button.clicked.connect(self.cancel_wanted)
        row = QHBoxLayout(self)
        row.setContentsMargins(8, 0, 4, 0)
        row.addWidget(self._bar)
        row.addWidget(self._line, 1)
        row.addWidget(self.cancel_button)
        self._timer = QTimer(self)
        self._timer.setSingleShot(True)
        self._timer.setInterval(show_after_ms)
        self._timer.timeout.connect(self.show)
        self.hide()
        self._set_icon(view_state)
        view_state.theme_changed.connect(lambda _: self._set_icon(view_state))

    def begin(self, text: str = "") -> None:
        """Work has begun; the row appears if it takes longer."""
        self._bar.setRange(0, 0)
        self._line.set_full_text(f"{text or self._what.capitalize()} ...")
        self.cancel_button.setEnabled(True)
        self._timer.start()

    def show_progress(self, done: int, steps: int, what: str) -> None:
        """Steps done, steps in all, and the current one."""
        self._bar.setRange(0, steps)
        self._bar.setValue(done)
        if self.cancel_button.isEnabled():
            self._line.set_full_text(f"{what} ({done + 1} of {steps})")

    def end(self) -> None:
        """Work has ended."""
        self._timer.stop()
        self.hide()

    def show_cancelling(self) -> None:
        """The file being read is finished first."""
        self.cancel_button.setEnabled(False)
        self._line.set_full_text("Stopping ...", "Stopping")

    def _set_icon(self, view_state: ViewState) -> None:
        self.cancel_button.setIcon(icon("cancel", view_state.theme.text))
        self.cancel_button.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
