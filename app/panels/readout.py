"""One line with the point under the mouse: sweep, frequency, SWR, return loss, R and X."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np
from PySide6.QtGui import QFontMetrics, QPixmap
from PySide6.QtWidgets import QHBoxLayout, QLabel, QWidget

from fairlead.app.look.swatch import swatch_image
from fairlead.app.panels.elided_label import ElidedLabel
from fairlead.core.reflection import impedance_ohm, return_loss_db, swr
from fairlead.core.units import (
    DASH,
    format_frequency,
    format_number,
    format_signed,
    format_swr,
    mhz_decimals,
)

if TYPE_CHECKING:
    from fairlead.app.document.document import Document
    from fairlead.app.document.view_state import ViewState
    from fairlead.core.analysis.analysis import Analysis
    from fairlead.core.document.bench import Bench

_HINT = "Point at a curve to read it"
_SPECIMENS = ("1296.000000 MHz", "SWR 00.00", "Return loss −00.0 dB", "R −00000 Ω", "X −00000 Ω")


class Readout(QWidget):
    """Follows hover and document; what does not exist is a dash."""

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

    def _lay_out(self) -> None:
        row = QHBoxLayout(self)
        row.setContentsMargins(0, 0, 0, 0)
        row.setSpacing(10)
        metrics = QFontMetrics(self.font())
        self._swatch.setFixedSize(34, 16)
        row.addWidget(self._swatch)
        row.addWidget(self._name, 1)
        for label, specimen in zip(self._values, _SPECIMENS, strict=True):
            # Fixed widths, so that nothing jumps while the mouse moves.
            label.setMinimumWidth(metrics.horizontalAdvance(specimen) + 4)
            row.addWidget(label)

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
            return
        image = swatch_image(entry.style, self._view_state.theme, 34, 16, self.devicePixelRatioF())
        self._swatch.show()
        self._swatch.setPixmap(QPixmap.fromImage(image))
        self._set_name(entry.caption, is_muted=False)
        texts = point_texts(self._document.analyses.of(entry.sweep, bench.z0_ohm), hover.index)
        for label, text in zip(self._values, texts, strict=True):
            label.setText(text)

    def _set_name(self, text: str, *, is_muted: bool) -> None:
        self._name.set_full_text(text)
        mark = "true" if is_muted else "false"
        if self._name.property("muted") != mark:
            self._name.setProperty("muted", mark)
            self._name.style().unpolish(self._name)
            self._name.style().polish(self._name)


def point_texts(analysis: Analysis, index: int) -> tuple[str, str, str, str, str]:
    """Frequency, SWR, return loss, R and X of one point, at the analysis' reference impedance.

    Above |G| = 1 there is no SWR; a scalar sweep has no impedance; an open circuit has none
    either. Each of these is a dash.
    """
    magnitude = float(np.sqrt(analysis.power[index]))
    frequency_hz = float(analysis.frequency_hz[index])
    resistance = reactance = None
    if analysis.reflection is not None:
        z_ohm = complex(impedance_ohm(analysis.reflection[index], analysis.z0_ohm))
        if np.isfinite(z_ohm):
            resistance, reactance = z_ohm.real, z_ohm.imag
    decimals = max(3, mhz_decimals(analysis.step_hz))
    return (
        format_frequency(frequency_hz, decimals),
        f"SWR {format_swr(float(swr(magnitude)))}",
        f"Return loss {format_number(float(return_loss_db(magnitude)), 1)} dB",
        f"R {_ohms(resistance, is_signed=False)} Ω",
        f"X {_ohms(reactance, is_signed=True)} Ω",
    )


def _ohms(value: float | None, *, is_signed: bool) -> str:
    if value is None:
        return DASH
    decimals = 1 if abs(value) < 1000 else 0
    return format_signed(value, decimals) if is_signed else format_number(value, decimals)
