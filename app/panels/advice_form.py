"""What is asked of the advice, in fields: the station, what is cut, and how to match."""

from __future__ import annotations

from typing import TYPE_CHECKING, cast

from PySide6.QtCore import QSignalBlocker, Signal
from PySide6.QtWidgets import QComboBox, QFormLayout, QHBoxLayout, QLineEdit, QWidget

from fairlead.core.document.advice_request import AdviceRequest

if TYPE_CHECKING:
    from collections.abc import Sequence

    from fairlead.core.document.entry import Entry

_CHOICES = {
    "radio": (
        ("50 Ω, no tuner", "fixed"),
        ("With a tuner at the radio", "tuner"),
        ("Lowers its power (rule of thumb)", "fold-back"),
    ),
    "cut": (
        ("The whole antenna", "whole"),
        ("Only a part of it", "part"),
        ("As two sweeps show", "measured"),
    ),
    "match_end": (("Feed point", "feed"), ("Radio", "radio")),
    "series": (("E24", "E24"), ("E12", "E12")),
}
# Key, label, name for screen readers, hint in the empty field.
_COLUMNS = (
    (
        ("power", "&Power", "Power of the transmitter", ""),
        ("radio", "&Radio", "What the radio does with a mismatch", ""),
        ("line", "Feed &line", "Feed line: a type and its length", "none; or RG-58, 12 m"),
    ),
    (
        ("cut", "C&ut", "What is cut", ""),
        ("length", "Len&gth now", "Length of what is cut, with its unit", "none; or 985 mm"),
        (
            "target",
            "&Wanted at",
            "Frequency of the best match that is wanted",
            "middle of the band",
        ),
        ("before_key", "&Before a cut", "Sweep of the same antenna before the last cut", ""),
        ("cut_by", "&Cut then", "How much was cut then", "5 mm"),
    ),
    (
        ("match_at", "&Match at", "Frequency to match at", "band; or 50.2 MHz"),
        ("match_end", "Network &at", "Where the network stands", ""),
        ("stub_line", "&Stubs of", "Line that stubs are made of", "RG-213; or z0=50, vf=0.8"),
        ("section_line", "S&ection of", "Line of another impedance", "RG-59; or z0=75, vf=0.8"),
    ),
    (
        ("series", "&Values", "Series of component values", ""),
        ("coil_q", "&Q of coils", "Q of coils", ""),
        ("capacitor_q", "Q of capac&itors", "Q of capacitors", ""),
    ),
)
_MEASURED = ("before_key", "cut_by")
_SHARES = (5, 5, 4, 3)
_ROW_GAP_PX = 7
_NOT_CHOSEN = "choose a sweep"


class AdviceForm(QWidget):
    """Shows a request; changes nothing itself."""

    typed = Signal()
    """A field is another one, perhaps in the middle of a word."""
    finished = Signal()
    """Something is chosen, or the cursor has left a field that was changed."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.fields: dict[str, QLineEdit] = {}
        self.boxes: dict[str, QComboBox] = {}
        self._rest = AdviceRequest()
        row = QHBoxLayout(self)
        row.setContentsMargins(0, 0, 0, 0)
        row.setSpacing(20)
        self._forms = [QFormLayout() for _ in _COLUMNS]
        for form, column, share in zip(self._forms, _COLUMNS, _SHARES, strict=True):
            form.setVerticalSpacing(_ROW_GAP_PX)
            for key, label, name, hint in column:
                form.addRow(label, self._made(key, name, hint))
            row.addLayout(form, share)
        self.show_request(self._rest)

    def request(self) -> AdviceRequest:
        """As it is typed now."""
        rest = self._rest
        found: dict[str, object] = {key: field.text() for key, field in self.fields.items()}
        found |= {key: box.currentData() for key, box in self.boxes.items()}
        found |= {"network": rest.network, "in_picture": rest.in_picture}
        return AdviceRequest(**found)  # type: ignore[arg-type]  # a field or a choice for each

    def show_request(self, asked: AdviceRequest) -> None:
        """Show another request."""
        self._rest = asked
        for key, field in self.fields.items():
            text = cast("str", getattr(asked, key))
            if field.text() != text:
                with QSignalBlocker(field):
                    field.setText(text)
        for key, box in self.boxes.items():
            with QSignalBlocker(box):
                box.setCurrentIndex(max(0, box.findData(getattr(asked, key))))
        self._fit()

    def show_sweeps(self, entries: Sequence[Entry], reference_key: int | None) -> None:
        """Offer these sweeps as the one before a cut; the reference is the one after it."""
        box = self.boxes["before_key"]
        offered = [(entry.label, entry.key) for entry in entries if entry.key != reference_key]
        now = [(box.itemText(i), box.itemData(i)) for i in range(1, box.count())]
        if now == offered and box.count():
            return
        with QSignalBlocker(box):
            box.clear()
            box.addItem(_NOT_CHOSEN, None)
            for label, key in offered:
                box.addItem(label, key)
            box.setCurrentIndex(max(0, box.findData(self._rest.before_key)))

    def _made(self, key: str, name: str, hint: str) -> QWidget:
        if key in _CHOICES or key == "before_key":
            box = QComboBox()
            for words, value in _CHOICES.get(key, ((_NOT_CHOSEN, None),)):
                box.addItem(words, value)
            box.setSizeAdjustPolicy(
                QComboBox.SizeAdjustPolicy.AdjustToMinimumContentsLengthWithIcon
            )
            box.setMinimumContentsLength(12)
            box.currentIndexChanged.connect(self._on_chosen)
            box.setAccessibleName(name)
            self.boxes[key] = box
            return box
        field = QLineEdit()
        field.setPlaceholderText(hint)
        field.textChanged.connect(lambda _text: self.typed.emit())
        field.editingFinished.connect(self.finished)
        field.setAccessibleName(name)
        self.fields[key] = field
        return field

    def _on_chosen(self) -> None:
        self._fit()
        self.typed.emit()
        self.finished.emit()

    def _fit(self) -> None:
        """Two sweeps are asked for only where they answer."""
        is_measured = self.boxes["cut"].currentData() == "measured"
        for key in _MEASURED:
            widget = self.boxes[key] if key in self.boxes else self.fields[key]
            self._forms[1].setRowVisible(widget, is_measured)
