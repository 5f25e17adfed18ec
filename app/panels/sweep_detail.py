"""What is known about the selected sweep: where it came from, what it covers, notices."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING

import numpy as np
from PySide6.QtCore import QEvent, Qt, QTimer, Signal
from PySide6.QtWidgets import (
    QApplication,
    QFormLayout,
    QFrame,
    QLabel,
    QPushButton,
    QScrollArea,
    QVBoxLayout,
    QWidget,
)

from fairlead.app.look.tool_tip import tool_tip
from fairlead.app.panels.circumstances_form import CircumstancesForm
from fairlead.app.panels.elided_label import ElidedLabel
from fairlead.app.panels.steps_form import StepsForm
from fairlead.app.panels.sweep_list_model import span_text
from fairlead.core.traced import TRACED_WORDS
from fairlead.core.uncertainty.quantiles import NORMAL_95

if TYPE_CHECKING:
    from collections.abc import Callable

    from fairlead.app.document.concerns import Concerns
    from fairlead.app.document.document import Document
    from fairlead.app.document.view_state import ViewState
    from fairlead.core.document.bench import Bench
    from fairlead.core.document.entry import Entry
    from fairlead.core.soundness.finding import Finding
    from fairlead.core.traced import Traced

_NOTHING = "Select a sweep to see where it came from and what was noticed in it."
_SENTENCE_LINES = 4
_QT_LARGEST = 16_777_215  # QWIDGETSIZE_MAX: no limit


class SweepDetail(QScrollArea):
    """Follows the selection; with several sweeps selected it shows only how many."""

    condition_wanted = Signal(int, str)
    """Key, condition."""
    circumstances_wanted = Signal(int, object)
    """Key, `Circumstances`."""
    steps_wanted = Signal(int, object)
    """Key, tuple of `Step`."""
    explanation_wanted = Signal(int)
    """Key."""
    tracing_wanted = Signal(int)
    """Key of a sweep whose picture is to be opened."""

    def __init__(
        self,
        document: Document,
        view_state: ViewState,
        concerns: Concerns,
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(parent)
        self._document = document
        self._concerns = concerns
        self._view_state = view_state
        self._shown: tuple[tuple[Entry, ...], tuple[Finding, ...]] | None = None
        self._has_described = False
        self.setAccessibleName("Details of the selected sweep")
        self.setFrameShape(QFrame.Shape.NoFrame)
        self.setWidgetResizable(True)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        # Fields stay while facts come and go: a field being edited keeps the focus.
        self.form = CircumstancesForm()
        self.form.condition_wanted.connect(self.condition_wanted)
        self.form.circumstances_wanted.connect(self.circumstances_wanted)
        self.steps = StepsForm()
        self.steps.steps_wanted.connect(self.steps_wanted)
        self._facts = QWidget()
        self._page = QWidget()
        self._column = QVBoxLayout(self._page)
        self._column.setContentsMargins(2, 4, 2, 4)
        self._column.setSpacing(6)
        self._column.addWidget(self._facts)
        self._column.addWidget(self.steps)
        self._column.addWidget(self.form)
        self._column.addStretch(1)
        self.setWidget(self._page)
        document.changed.connect(self._on_changed)
        view_state.selection_changed.connect(self._refresh)
        concerns.changed.connect(self._refresh)
        self._fit_height()
        self._refresh()

    def _on_changed(self, old: Bench, new: Bench) -> None:
        if new.entries is not old.entries:
            self._refresh()

    def _refresh(self) -> None:
        keys, bench = self._view_state.selection, self._document.bench
        chosen = tuple(entry for entry in bench.entries if entry.key in keys)
        is_one = len(chosen) == 1
        findings = self._concerns.of(chosen[0].key) if is_one else ()
        if (chosen, findings) == self._shown:
            return
        self._shown = chosen, findings
        new = _content(chosen, findings, self.explanation_wanted.emit, self.tracing_wanted.emit)
        self._column.replaceWidget(self._facts, new)
        self._facts.hide()
        self._facts.deleteLater()
        self._facts = new
        if is_one:
            self.steps.show_entry(chosen[0])
            self.form.show_entry(chosen[0], (entry.condition for entry in bench.entries))
        else:
            self.steps.forget()
            self.form.forget()
        self.form.setVisible(is_one)
        if is_one and not self._has_described:
            self._has_described = True
            # Not before a second click has come: it must meet the row that the first one met.
            QTimer.singleShot(QApplication.doubleClickInterval(), self, self._fit_height)

    def _fit_height(self) -> None:
        """Until a sweep has been described, a sentence is all: the list has the rest of the column.

        After that the height stays, so that rows do not move under the mouse.
        """
        lines_px = _SENTENCE_LINES * self.fontMetrics().lineSpacing()
        self.setMaximumHeight(_QT_LARGEST if self._has_described else lines_px)

    def changeEvent(self, event: QEvent) -> None:
        """Follow the size of the text."""
        super().changeEvent(event)
        if event.type() == QEvent.Type.FontChange:
            self._fit_height()


def _content(
    chosen: tuple[Entry, ...],
    findings: tuple[Finding, ...],
    explain: Callable[[int], None],
    open_tracing: Callable[[int], None],
) -> QWidget:
    page = QWidget()
    column = QVBoxLayout(page)
    column.setContentsMargins(0, 0, 0, 0)
    column.setSpacing(6)
    if len(chosen) == 1:
        _add_entry(column, chosen[0])
        if chosen[0].picture_curve is not None:
            _add_button(column, "Open the tracing", "tracing", partial(open_tracing, chosen[0].key))
        if findings:
            _add_findings(column, findings, partial(explain, chosen[0].key))
    elif chosen:
        points = sum(len(entry.sweep) for entry in chosen)
        column.addWidget(
            _label(f"{len(chosen)} sweeps selected, {points} points in all", muted=True)
        )
    else:
        column.addWidget(_label(_NOTHING, muted=True))
    return page


def _add_entry(column: QVBoxLayout, entry: Entry) -> None:
    sweep = entry.sweep
    step_hz = (float(sweep.frequency_hz[-1]) - float(sweep.frequency_hz[0])) / (len(sweep) - 1)
    kind = "impedance known" if sweep.has_phase else "SWR only"
    facts = (
        ("File", entry.file or ("none; typed here" if sweep.traced is None else "copied picture")),
        ("Mark", "" if sweep.traced is None else TRACED_WORDS),
        ("Known to", "" if sweep.traced is None else _known_to(sweep.traced)),
        ("Points", f"{len(sweep)}, {kind}"),
        ("Span", span_text(sweep)),
        ("Step", f"{step_hz / 1e3:.4g} kHz on average"),
        ("Stated at", f"{sweep.z0_ohm:.4g} Ω"),
    )
    form = QFormLayout()
    form.setContentsMargins(0, 0, 0, 0)
    form.setHorizontalSpacing(10)
    form.setVerticalSpacing(2)
    for name, text in facts:
        if not text:
            continue
        form.addRow(_label(name, muted=True), _path_label(text) if name == "File" else _label(text))
    column.addLayout(form)


def _add_findings(
    column: QVBoxLayout, findings: tuple[Finding, ...], explain: Callable[[], None]
) -> None:
    for found in findings:
        label = _label(f"• {found.text}")
        label.setToolTip(tool_tip(found.code))
        column.addWidget(label)
    _add_button(column, "Why is this marked?", "why", explain)


def _add_button(column: QVBoxLayout, text: str, name: str, call: Callable[[], None]) -> None:
    button = QPushButton(text)
    button.setObjectName(name)
    # The signal's own argument is whether the button is checked.
    button.clicked.connect(lambda _checked: call())
    column.addWidget(button, alignment=Qt.AlignmentFlag.AlignLeft)


def _known_to(traced: Traced) -> str:
    """What the picture leaves open at a usual point."""
    half = NORMAL_95 * float(np.median(traced.sigma))
    half_khz = NORMAL_95 * traced.frequency_sigma_hz / 1e3
    gaps = f"; lost in {len(traced.lost_after)} places" if traced.lost_after else ""
    return f"± {half:.2g} of |Γ| and ± {half_khz:.2g} kHz, 95 %{gaps}"


def _label(text: str, *, muted: bool = False) -> QLabel:
    label = QLabel(text)
    # Names and notices come from files: never markup.
    label.setTextFormat(Qt.TextFormat.PlainText)
    label.setWordWrap(True)
    label.setTextInteractionFlags(Qt.TextInteractionFlag.TextSelectableByMouse)
    if muted:
        label.setProperty("muted", "true")
    return label


def _path_label(path: str) -> QLabel:
    """Only the last part of a path; the full path is in the tool tip."""
    label = ElidedLabel()
    label.set_full_text(path.replace("\\", "/").rsplit("/", 1)[-1], path)
    return label
