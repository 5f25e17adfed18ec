"""The row above the plots: band from the tables or typed, SWR limit, reference impedance."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

from PySide6.QtCore import Qt, QTimer, Signal
from PySide6.QtWidgets import QComboBox, QHBoxLayout, QLabel, QSizePolicy, QWidget

from fairlead.app.look.tool_tip import tool_tip
from fairlead.app.panels.typed_field import TypedField
from fairlead.app.panels.wrapping_row import WrappingRow
from fairlead.core.band_tables import NATIONAL_RULES, REGION_TEXT, REGIONS, allocations
from fairlead.core.bands import Band
from fairlead.core.document.edits import LIMIT_HIGHEST, LIMIT_LOWEST
from fairlead.core.errors import ValueTextError
from fairlead.core.units import is_span, parse_frequency_hz, parse_number, parse_span_hz

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from fairlead.app.document.document import Document
    from fairlead.core.band_tables import Region
    from fairlead.core.document.bench import Bench

_WHOLE_SPAN = "Whole span"
_OWN_EDGES = "Own edges"
_FIRST_BAND = 2
# The remark is hidden rather than cut; the tool tips repeat it.
_NOTE_NARROWEST = 250
_GROUP_GAP = 12
_ROW_GAP = 4


class BandPanel(QWidget):
    """Shows the document's band, limit and reference impedance; emits what is typed as intents."""

    band_wanted = Signal(object)
    """A `Band`, from the tables or typed as a span."""
    whole_span_wanted = Signal()
    edge_wanted = Signal(str, float)
    """"low" or "high", Hz."""
    limit_wanted = Signal(float)
    z0_wanted = Signal(float)
    region_wanted = Signal(int)
    hinted = Signal(str)
    """One line: what to type next."""
    refused = Signal(str)
    """One line: what was typed and why it cannot be used."""

    def __init__(
        self,
        document: Document,
        region: Region,
        own_bands: Sequence[Band] = (),
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(parent)
        self._document = document
        self._region = region
        self._own_bands = tuple(own_bands)
        self._waiting_hz: float | None = None
        self._make_choosers()
        self._make_fields()
        self._lay_out()
        self._fill_bands()
        self._show(document.bench)
        document.changed.connect(self._on_changed)

    def type_edges(self) -> None:
        """Move the cursor to the field of the lower edge and select its text."""
        self.low_field.setFocus(Qt.FocusReason.ShortcutFocusReason)
        self.low_field.selectAll()

    # Making

    def _make_choosers(self) -> None:
        self.region_box = QComboBox()
        self.region_box.setAccessibleName("ITU Region")
        for region in REGIONS:
            self.region_box.addItem(f"Region {region}", region)
            self.region_box.setItemData(
                region - 1, tool_tip(REGION_TEXT[region]), Qt.ItemDataRole.ToolTipRole
            )
        self.region_box.setCurrentIndex(REGIONS.index(self._region))
        self.region_box.setToolTip(
            tool_tip(*(REGION_TEXT[region] for region in REGIONS), NATIONAL_RULES)
        )
        self.band_box = QComboBox()
        self.band_box.setAccessibleName("Band")
        self.band_box.setAccessibleDescription(NATIONAL_RULES)
        self.band_box.setToolTip(tool_tip(NATIONAL_RULES))
        self.band_box.setSizeAdjustPolicy(
            QComboBox.SizeAdjustPolicy.AdjustToMinimumContentsLengthWithIcon
        )
        self.band_box.setMinimumContentsLength(9)
        self.band_box.setMaxVisibleItems(20)
        self.region_box.activated.connect(self._on_region_chosen)
        self.band_box.activated.connect(self._on_band_chosen)

    def _make_fields(self) -> None:
        edge_tip = 'The {} band edge: "50.1", "50,1 MHz", "14200 kHz", or both edges as "50:52 MHz"'
        specimen = "1296.000000 MHz"
        self.low_field = TypedField("Lower band edge", edge_tip.format("lower"), specimen)
        self.high_field = TypedField("Upper band edge", edge_tip.format("upper"), specimen)
        self.limit_field = TypedField(
            "SWR limit",
            (
                f"SWR above which the antenna counts as unusable, from {LIMIT_LOWEST:g} to "
                f"{LIMIT_HIGHEST:g}"
            ),
            "20.00",
        )
        self.z0_field = TypedField(
            "Reference impedance", "The reference impedance of all figures, in ohms", "0000.0 Ω"
        )
        self.low_field.typed.connect(lambda text: self._on_edge_typed(self.low_field, text))
        self.high_field.typed.connect(lambda text: self._on_edge_typed(self.high_field, text))
        self.limit_field.typed.connect(self._on_limit_typed)
        self.z0_field.typed.connect(self._on_z0_typed)

    def _lay_out(self) -> None:
        row = WrappingRow(_GROUP_GAP, _ROW_GAP, _NOTE_NARROWEST)
        row.addWidget(_group(_caption("Ba&nd", self.band_box), self.region_box, self.band_box))
        row.addWidget(
            _group(
                _caption("f&rom", self.low_field),
                self.low_field,
                _caption("&to", self.high_field),
                self.high_field,
            )
        )
        row.addWidget(_group(_caption("SWR &limit", self.limit_field), self.limit_field))
        row.addWidget(_group(_caption("&at", self.z0_field), self.z0_field))
        self._note = _note()
        row.addWidget(self._note)
        self.setLayout(row)

    # Following the document

    def _on_changed(self, old: Bench, new: Bench) -> None:
        if (
            new.band is not old.band
            or new.has_own_band != old.has_own_band
            or new.limit_swr != old.limit_swr
            or new.z0_ohm != old.z0_ohm
        ):
            self._show(new)

    def _show(self, bench: Bench) -> None:
        self._waiting_hz = None
        self.low_field.show_value(_frequency_text(bench.band.low_hz))
        self.high_field.show_value(_frequency_text(bench.band.high_hz))
        self.limit_field.show_value(f"{bench.limit_swr:.4g}")
        self.z0_field.show_value(f"{bench.z0_ohm:.5g} Ω")
        self._show_choice(bench)

    def _show_choice(self, bench: Bench) -> None:
        if not bench.has_own_band:
            self.band_box.setCurrentIndex(0)
            return
        if bench.band.name is not None:
            for region in REGIONS:
                if region != self._region and bench.band.name.endswith(f"Region {region}"):
                    self._region = region
                    self.region_box.setCurrentIndex(REGIONS.index(region))
                    self._fill_bands()
        for i in range(_FIRST_BAND, self.band_box.count()):
            if self.band_box.itemData(i) == bench.band:
                self.band_box.setCurrentIndex(i)
                return
        self.band_box.setCurrentIndex(1)

    def _fill_bands(self) -> None:
        self.band_box.clear()
        self.band_box.addItem(_WHOLE_SPAN)
        self.band_box.setItemData(
            0, tool_tip("The span that all sweeps cover"), Qt.ItemDataRole.ToolTipRole
        )
        self.band_box.addItem(_OWN_EDGES)
        for row in allocations(self._region):
            band = row.band
            self.band_box.addItem(row.name, band)
            edges = f"{_frequency_text(band.low_hz)} – {_frequency_text(band.high_hz)}"
            self.band_box.setItemData(
                self.band_box.count() - 1,
                tool_tip(edges, row.note, NATIONAL_RULES),
                Qt.ItemDataRole.ToolTipRole,
            )
        for band in self._own_bands:
            self.band_box.addItem(band.name or "", band)
            edges = f"{_frequency_text(band.low_hz)} – {_frequency_text(band.high_hz)}"
            self.band_box.setItemData(
                self.band_box.count() - 1,
                tool_tip(edges, "From your own file of bands", NATIONAL_RULES),
                Qt.ItemDataRole.ToolTipRole,
            )

    def show_own_bands(self, bands: Sequence[Band]) -> None:
        """Offer other bands of the user's below the published ones."""
        self._own_bands = tuple(bands)
        self._fill_bands()
        self._show_choice(self._document.bench)

    # Intents

    def _on_region_chosen(self, index: int) -> None:
        self._region = self.region_box.itemData(index)
        self._fill_bands()
        self.region_wanted.emit(self._region)
        name = (self._document.bench.band.name or "").partition(",")[0]
        for row in allocations(self._region):
            if row.name == name:
                # Changing the Region with a band chosen selects that band in the new Region.
                self.band_wanted.emit(row.band)
                return
        self._show_choice_here()

    def _show_choice_here(self) -> None:
        """Show the current band without changing the Region back."""
        has_own = self._document.bench.has_own_band
        self.band_box.setCurrentIndex(1 if has_own else 0)

    def _on_band_chosen(self, index: int) -> None:
        if index == 0:
            self.whole_span_wanted.emit()
        elif index == 1:
            # Only after the list has closed and the focus has returned.
            QTimer.singleShot(0, self, self.type_edges)
        else:
            self.band_wanted.emit(self.band_box.itemData(index))
        self._show_choice(self._document.bench)

    def _on_edge_typed(self, field: TypedField, text: str) -> None:
        def use() -> None:
            band = self._document.bench.band
            if is_span(text):
                self.band_wanted.emit(Band(*parse_span_hz(text)))
                return
            frequency_hz = parse_frequency_hz(text)
            is_low = field is self.low_field
            other = self.high_field if is_low else self.low_field
            # Escape there has taken it back.
            waiting_hz = self._waiting_hz if other.is_waiting else None
            if waiting_hz is not None:
                # The second edge of a new band: both come as one change.
                low_hz, high_hz = sorted((frequency_hz, waiting_hz))
                if (low_hz == frequency_hz) != is_low or low_hz == high_hz:
                    side = "below" if is_low else "above"
                    raise ValueTextError(
                        f"{_frequency_text(frequency_hz)} is not {side} "
                        f"{_frequency_text(waiting_hz)}",
                        "type both edges here: 144:146 MHz",
                    )
                self.band_wanted.emit(Band(low_hz, high_hz))
            elif band.low_hz < frequency_hz if not is_low else frequency_hz < band.high_hz:
                self.edge_wanted.emit("low" if is_low else "high", frequency_hz)
            else:
                self._wait_for_other(field, frequency_hz)

        self._try(field, use)

    def _wait_for_other(self, field: TypedField, frequency_hz: float) -> None:
        """Keep the first edge of a new band beyond the other edge of the present one."""
        is_low = field is self.low_field
        self._waiting_hz = frequency_hz
        side, end, other = (
            ("above", "upper", self.high_field) if is_low else ("below", "lower", self.low_field)
        )
        hint = f"Now the {end} edge of the new band, {side} {_frequency_text(frequency_hz)}"
        field.wait(hint)
        self.hinted.emit(hint)
        # Only after the field has lost the focus, if that is why it was read.
        QTimer.singleShot(0, other, lambda: self._go_on(field, other))

    def _go_on(self, field: TypedField, other: TypedField) -> None:
        if field.is_waiting:
            other.setFocus(Qt.FocusReason.OtherFocusReason)
            other.selectAll()

    def _on_limit_typed(self, text: str) -> None:
        def use() -> None:
            # Many write it as "2:1".
            limit_swr = parse_number(re.sub(r"\s*:\s*1\s*$", "", text), "an SWR limit")
            if not LIMIT_LOWEST <= limit_swr <= LIMIT_HIGHEST:
                raise ValueTextError(
                    f"an SWR limit of {limit_swr:g} is out of range",
                    f"type {LIMIT_LOWEST:g} to {LIMIT_HIGHEST:g}",
                )
            self.limit_wanted.emit(limit_swr)

        self._try(self.limit_field, use)

    def _on_z0_typed(self, text: str) -> None:
        def use() -> None:
            number = re.sub(r"\s*(?:Ω|Ω|ohms?)\s*$", "", text, flags=re.IGNORECASE)
            z0_ohm = parse_number(number, "a reference impedance")
            if z0_ohm <= 0:
                raise ValueTextError("a reference impedance is above 0", "50 Ω is usual")
            self.z0_wanted.emit(z0_ohm)

        self._try(self.z0_field, use)

    def _try(self, field: TypedField, use: Callable[[], None]) -> None:
        try:
            use()
        except ValueTextError as error:
            field.refuse(str(error))
            self.refused.emit(str(error))


def _frequency_text(frequency_hz: float) -> str:
    """In MHz, with all its digits and no trailing zeros."""
    return f"{frequency_hz / 1e6:.6f}".rstrip("0").rstrip(".") + " MHz"


def _note() -> QLabel:
    """The sentence on national rules, small, on two lines if necessary; it claims no width."""
    # A font of its own would not follow the size of text that is chosen in the menu.
    note = QLabel(f"<small>{NATIONAL_RULES}</small>")
    note.setProperty("muted", "true")
    note.setWordWrap(True)
    note.setSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Preferred)
    return note


def _group(*widgets: QWidget) -> QWidget:
    """Widgets that stay together in one row."""
    group = QWidget()
    row = QHBoxLayout(group)
    row.setContentsMargins(0, 0, 0, 0)
    row.setSpacing(6)
    for widget in widgets:
        row.addWidget(widget)
    return group


def _caption(text: str, field: QWidget) -> QLabel:
    label = QLabel(text)
    label.setBuddy(field)
    return label
