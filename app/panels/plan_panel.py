"""The plan of a measurement: what is to be found out, and what that takes, while it is typed."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QSize, Signal
from PySide6.QtWidgets import (
    QComboBox,
    QDialog,
    QDialogButtonBox,
    QFormLayout,
    QGroupBox,
    QHBoxLayout,
    QLineEdit,
    QPlainTextEdit,
    QPushButton,
    QVBoxLayout,
    QWidget,
)

from fairlead.app.look.tool_tip import tool_tip
from fairlead.core.document.session import Plan
from fairlead.core.errors import FairleadError
from fairlead.core.planning.asked import plan_of, plan_with, texts_of
from fairlead.core.planning.meets import lacking_in, lines_of
from fairlead.core.planning.needs import needs
from fairlead.core.planning.words import as_text
from fairlead.core.report_page.paper import PAPER_WORDS

if TYPE_CHECKING:
    from fairlead.core.document.bench import Bench
    from fairlead.core.figures import Figures
    from fairlead.core.report_page.paper import Paper

_ASKED = (
    ("shift_hz", "&Shift to resolve (kHz)", "Of the best match"),
    ("cover_swr", "Co&ver the band at SWR", "Empty: not asked"),
    ("q", "&Q of the antenna", "Empty: the reference's"),
    ("noise", "&Noise of a point (%)", "Empty: the reference's"),
    ("repeatability_hz", "Sca&tter of repeats (kHz)", "When put up again"),
    ("line_m", "&Line that stays", '"12 m" or "40 ft"'),
    ("velocity_factor", "Velocity &factor", "Of that line; empty: 1"),
    ("line_loss_db", "L&oss of the line (dB)", "One way, in the band"),
)
_KEPT = (
    ("plane", "Calibration &plane", "Empty: to fill in on paper"),
    ("height", "&Height", "Of the feed point"),
    ("cable", "&Cable", "And how it runs"),
    ("choke", "Cho&ke", "And where it is"),
    ("water", "&Water", "How much, where"),
    ("time", "Ti&me", "Between water and sweep"),
)
_WIDTH_PX, _TEXT_PX = 740, 150
_FIRST_SIZE_PX = (782, 560)


class PlanPanel(QDialog):
    """Changes nothing itself: it emits the plan when it is accepted.

    Parameters
    ----------
    bench : Bench
        Gives the band, the sweeps to hold against the plan, and the plan so far.
    figures : Figures or None
        Of a similar antenna: the reference sweep.
    paper : Paper
        Size of the page to begin with.
    """

    wanted = Signal(object)
    """The `Plan`."""
    checklist_wanted = Signal(object, object, str)
    """The `Plan` with all that is known, its `Needs`, and the size of the page."""

    def __init__(
        self,
        bench: Bench,
        figures: Figures | None,
        paper: Paper,
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(parent)
        self.setWindowTitle("Plan the measurement")
        self.setModal(True)
        self._bench, self._figures = bench, figures
        self.fields = {name: QLineEdit() for name, *_ in (*_ASKED, *_KEPT)}
        self.result_text = QPlainTextEdit()
        self.result_text.setReadOnly(True)
        self.result_text.setTabChangesFocus(True)
        self.result_text.setMinimumSize(_WIDTH_PX, _TEXT_PX)
        self.result_text.setAccessibleName("What the plan asks for")
        self.checklist_button = QPushButton("Save checklist ...")
        self.checklist_button.setAutoDefault(False)
        self.paper_box = QComboBox()
        self.paper_box.setAccessibleName("Page of the checklist")
        for one, words in PAPER_WORDS.items():
            self.paper_box.addItem(f"{words} page", one)
        self.paper_box.setCurrentIndex(self.paper_box.findData(paper))
        self._lay_out()
        self.resize(QSize(*_FIRST_SIZE_PX).boundedTo(self.screen().availableSize()))
        for name, text in texts_of(bench.plan or Plan()).items():
            self.fields[name].setText(text)
        for field in self.fields.values():
            field.textEdited.connect(self._tell)
        self._tell()

    @property
    def plan(self) -> Plan:
        """As typed.

        Raises
        ------
        FairleadError
            If a number cannot be read, or is impossible.
        """
        return plan_of({name: field.text() for name, field in self.fields.items()})

    def accept(self) -> None:
        """Emit the plan, if its numbers can be read."""
        try:
            plan = self.plan
        except FairleadError as error:
            self.result_text.setPlainText(str(error))
            return
        self.wanted.emit(plan)
        super().accept()

    def _lay_out(self) -> None:
        columns = QHBoxLayout()
        for title, rows in (("To find out", _ASKED), ("To keep the same", _KEPT)):
            box = QGroupBox(title)
            form = QFormLayout(box)
            for name, words, tip in rows:
                field = self.fields[name]
                field.setPlaceholderText(tip)
                field.setToolTip(tool_tip(tip))
                field.setAccessibleName(words.replace("&", ""))
                field.ensurePolished()
                letters = field.fontMetrics().horizontalAdvance(tip)
                field.setMinimumWidth(letters + 3 * field.fontMetrics().averageCharWidth())
                form.addRow(words, field)
            columns.addWidget(box)
        buttons = QDialogButtonBox(
            QDialogButtonBox.StandardButton.Ok | QDialogButtonBox.StandardButton.Cancel
        )
        below = QHBoxLayout()
        below.addWidget(self.checklist_button)
        below.addWidget(self.paper_box)
        below.addStretch(1)
        below.addWidget(buttons)
        self.ok_button = buttons.button(QDialogButtonBox.StandardButton.Ok)
        buttons.accepted.connect(self.accept)
        buttons.rejected.connect(self.reject)
        self.checklist_button.clicked.connect(self._ask_for_checklist)
        column = QVBoxLayout(self)
        column.addLayout(columns)
        column.addWidget(self.result_text, 1)
        column.addLayout(below)

    def _tell(self) -> None:
        """Say what the plan asks for, or why it asks for nothing yet."""
        bench = self._bench
        try:
            plan = plan_with(self.plan, self._figures)
            found = needs(plan, bench.band)
        except FairleadError as error:
            self.result_text.setPlainText(str(error))
            self.checklist_button.setEnabled(False)
            return
        lacking = lines_of(lacking_in(bench, found)) if bench.entries else None
        self.result_text.setPlainText(as_text(plan, bench.band, found, lacking).strip())
        self.checklist_button.setEnabled(True)

    def _ask_for_checklist(self) -> None:
        plan = plan_with(self.plan, self._figures)
        found = needs(plan, self._bench.band)
        self.checklist_wanted.emit(plan, found, self.paper_box.currentData())
