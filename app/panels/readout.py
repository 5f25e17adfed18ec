"""One line about the point under the mouse: sweep, frequency, and every quantity."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QEvent, QSize
from PySide6.QtGui import QFontMetrics, QPixmap, QResizeEvent
from PySide6.QtWidgets import QHBoxLayout, QLabel, QWidget

from fairlead.app.look.swatch import swatch_image
from fairlead.app.panels.elided_label import ElidedLabel
from fairlead.core.units import format_frequency, mhz_decimals
from fairlead.core.views.registry import POINT_VIEWS

if TYPE_CHECKING:
    from fairlead.app.document.document import Document
    from fairlead.app.document.view_state import ViewState
    from fairlead.core.analysis.analysis import Analysis
    from fairlead.core.document.bench import Bench

_SPACING = 8
_ALWAYS = 1
# With the line of the sweep before it: a name can be shortened, a number cannot.
_LEAST_NAME = 100
_HINT = "Point at a curve to read it"
_SPECIMENS = ("1296.000 MHz", *(view.specimen for view in POINT_VIEWS))


class Readout(QWidget):
    """Follows hover and document; a dash stands for what does not exist."""

    def __init__(
        self, document: Document, view_state: ViewState, parent: QWidget | None = None
    ) -> None:
        super().__init__(parent)
        self._document = document
        self._view_state = view_state
        self.setAccessibleName("Readout of the point under the mouse")
        self._swatch = QLabel()
        self._name = ElidedLabel(_HINT)
        self._values = [QLabel() for _ in _SPECIMENS]
        self._lay_out()
        view_state.hover_changed.connect(self._refresh)
        view_state.theme_changed.connect(self._refresh)
        document.changed.connect(self._on_changed)
        self._refresh()

    def text(self) -> str:
        """Everything shown, in one line."""
        texts = [self._name.full_text, *(label.text() for label in self._values)]
        return "  ".join(text for text in texts if text)

    def minimumSizeHint(self) -> QSize:
        """The frequency; the quantities appear where there is room."""
        hint = super().minimumSizeHint()
        least = sum(label.minimumWidth() + _SPACING for label in self._values[:_ALWAYS])
        return QSize(least + _LEAST_NAME, hint.height())

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Leave out the last quantities where the sweep's name would have no room."""
        super().resizeEvent(event)
        self._fit()

    def changeEvent(self, event: QEvent) -> None:
        """Fit another size of text."""
        super().changeEvent(event)
        if event.type() == QEvent.Type.FontChange:
            self._set_widths()
            self._fit()

    def _fit(self) -> None:
        """Show the quantities that fit; with nothing to read, the hint takes the whole line."""
        left = self.width() - _LEAST_NAME
        for number, label in enumerate(self._values):
            left -= label.minimumWidth() + _SPACING
            label.setVisible(bool(label.text()) and (number < _ALWAYS or left >= 0))

    def _lay_out(self) -> None:
        row = QHBoxLayout(self)
        row.setContentsMargins(0, 0, 0, 0)
        row.setSpacing(_SPACING)
        self._swatch.setFixedSize(34, 16)
        row.addWidget(self._swatch)
        row.addWidget(self._name, 1)
        for label in self._values:
            row.addWidget(label)
        self._set_widths()

    def _set_widths(self) -> None:
        """Fixed widths, so that nothing jumps while the mouse moves."""
        metrics = QFontMetrics(self.font())
        for label, specimen in zip(self._values, _SPECIMENS, strict=True):
            label.setMinimumWidth(metrics.horizontalAdvance(specimen) + 4)

    def _on_changed(self, old: Bench, new: Bench) -> None:
        if new.entries is not old.entries or new.z0_ohm != old.z0_ohm:
            self._refresh()

    def _refresh(self) -> None:
        hover, bench = self._view_state.hover, self._document.bench
        entry = next((e for e in bench.entries if hover is not None and e.key == hover.key), None)
        if entry is None or hover is None or not 0 <= hover.index < len(entry.sweep):
            self._swatch.hide()
            self._set_name(_HINT, is_muted=True)
            for label in self._values:
                label.clear()
            self._fit()
            return
        image = swatch_image(
            entry.drawn_style, self._view_state.theme, 34, 16, self.devicePixelRatioF()
        )
        self._swatch.show()
        self._swatch.setPixmap(QPixmap.fromImage(image))
        self._set_name(entry.caption, is_muted=False)
        texts = point_texts(self._document.analyses.of(entry.sweep, bench.z0_ohm), hover.index)
        for label, text in zip(self._values, texts, strict=True):
            label.setText(text)
        self._fit()

    def _set_name(self, text: str, *, is_muted: bool) -> None:
        self._name.set_full_text(text)
        mark = "true" if is_muted else "false"
        if self._name.property("muted") != mark:
            self._name.setProperty("muted", mark)
            self._name.style().unpolish(self._name)
            self._name.style().polish(self._name)


def point_texts(analysis: Analysis, index: int) -> tuple[str, ...]:
    """Frequency and every quantity of one point, at the analysis' reference impedance.

    Above |G| = 1 there is no SWR; a scalar sweep has no impedance, nor has an open circuit. Each of
    these is shown as a dash.
    """
    decimals = max(3, mhz_decimals(analysis.step_hz))
    return (
        format_frequency(float(analysis.frequency_hz[index]), decimals),
        *(view.text_at(analysis, index) for view in POINT_VIEWS),
    )
