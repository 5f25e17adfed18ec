"""The table of figures: one row per sweep or group, the columns of `fairlead.core.figure_table`."""

from __future__ import annotations

from itertools import pairwise
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, Qt, Signal
from PySide6.QtGui import QColor, QFont

from fairlead.app.document.keyed_model import NO_PARENT, AnyIndex, KeyedModel
from fairlead.app.look.swatch import group_swatch_icon, swatch_icon
from fairlead.app.look.tool_tip import tool_tip
from fairlead.core.comparison.knowledge import at_once
from fairlead.core.comparison.rows import Row, converted, row_of
from fairlead.core.document.groups import group_of, in_rows
from fairlead.core.document.measuring_errors import instrument_of
from fairlead.core.figure_table import cells, shown
from fairlead.core.group_table import group_cell, group_rows, group_tips

if TYPE_CHECKING:
    from collections.abc import Collection, Iterator, Mapping

    from fairlead.app.document.document import Document
    from fairlead.app.document.view_state import ViewState
    from fairlead.core.comparison.knowledge import Knowledge
    from fairlead.core.document.bench import Bench
    from fairlead.core.document.session import Group
    from fairlead.core.figure_table import FigureSpec
    from fairlead.core.figures import Figures
    from fairlead.core.group_table import GroupRow
    from fairlead.core.uncertainty.interval import Intervals

_NOTHING: Mapping[str, Intervals] = {}
_NOT_REFINED: Mapping[int, Figures] = {}
_NUMBER = Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter
_WORDS = Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter
# Compared as integers: an enum member costs ten times as much, and views ask for every role.
_DISPLAY = int(Qt.ItemDataRole.DisplayRole)
_ALIGNMENT = int(Qt.ItemDataRole.TextAlignmentRole)
_FOREGROUND = int(Qt.ItemDataRole.ForegroundRole)
_TOOL_TIP = int(Qt.ItemDataRole.ToolTipRole)
_INDENT = "\N{EM SPACE}"


class FiguresModel(KeyedModel):
    """Follows the document and announces only the cells whose text differs."""

    intervals_shown = Signal()
    """Emitted when numbers have become longer."""

    def __init__(
        self, document: Document, view_state: ViewState, parent: QObject | None = None
    ) -> None:
        super().__init__(document, parent, view_state)
        self._view_state = view_state
        self._group_rows: dict[int, GroupRow] = {}
        self.specs = shown("window")
        self._intervals: Mapping[int, Mapping[str, Intervals]] = {}
        self._refined: Mapping[int, Figures] = {}
        self._rows: dict[int, Row] = {}
        self._texts: dict[int, tuple[str, ...]] = {}
        self._differing: list[tuple[int, list[int]]] = []
        self._compute(document.bench, can_reuse=False)
        view_state.theme_changed.connect(self._on_theme_changed)
        document.learned.connect(self._on_learned)

    def columnCount(self, parent: AnyIndex = NO_PARENT) -> int:
        """As many as the window shows of `fairlead.core.figure_table.FIGURES`."""
        return 0 if parent.isValid() else len(self.specs)

    def data(self, index: AnyIndex, role: int = _DISPLAY) -> object:
        """Text, alignment, and a fainter tone for sweeps that are not drawn."""
        if role == _DISPLAY:
            return self._texts[self._keys[index.row()]][index.column()]
        if role == _ALIGNMENT:
            return _WORDS if self.specs[index.column()].is_words else _NUMBER
        if role == _FOREGROUND and not self._is_drawn(index.row()):
            return QColor(self._view_state.theme.muted)
        if role == _TOOL_TIP:
            return self._tip(self._keys[index.row()], self.specs[index.column()])
        return None

    def _is_drawn(self, row: int) -> bool:
        group = self.group_at(row)
        return self.entry_at(row).is_visible if group is None else group.is_visible

    def _tip(self, key: int, spec: FigureSpec) -> str | None:
        if key in self._group_rows:
            return tool_tip(*group_tips(spec, self._group_rows[key]))
        row = self._rows.get(key)
        return None if row is None else spec.tip(row)

    def headerData(self, section: int, orientation: Qt.Orientation, role: int = _DISPLAY) -> object:
        """Title, unit and meaning of a figure at the top; swatch and name of a sweep beside."""
        if orientation == Qt.Orientation.Horizontal:
            return self._heading(section, role)
        return self._name(section, role) if section < len(self._keys) else None

    # Following the bench

    def take(self, old: Bench, new: Bench) -> None:
        """Compute what depends on the parts of the bench that changed."""
        same_frame = (
            new.band == old.band and new.limit_swr == old.limit_swr and new.z0_ohm == old.z0_ohm
        )
        if not same_frame:
            # They belong to figures that have changed.
            self._intervals, self._refined = {}, {}
        elif new is not old:
            self._forget(_measured_otherwise(old, new))
        before = dict(self._texts)
        self._compute(new, can_reuse=same_frame)
        self._differing = [
            (key, [i for i, text in enumerate(texts) if text != before[key][i]])
            for key, texts in self._texts.items()
            if key in before and texts is not before[key]
        ]
        # Views can still ask for rows that are about to be removed.
        self._texts = {**before, **self._texts}

    def announce(self, old: Bench, new: Bench) -> None:
        """Changed cells, and headings where the limit or a name changed."""
        kept = {one.key for one in in_rows(new)}
        self._texts = {key: texts for key, texts in self._texts.items() if key in kept}
        places = {key: row for row, key in enumerate(self._keys)}
        for first, last, columns in _blocks(
            [
                (places[key], columns)
                for key, columns in self._differing
                if columns and key in places
            ]
        ):
            for left, right in _runs(columns):
                self.dataChanged.emit(self.index(first, left), self.index(last, right), [_DISPLAY])
        self._differing = []
        if new.limit_swr != old.limit_swr:
            self.headerDataChanged.emit(Qt.Orientation.Horizontal, 0, len(self.specs) - 1)
        if self._keys and (
            new.entries is not old.entries
            or new.groups is not old.groups
            or new.reference_key != old.reference_key
        ):
            self.headerDataChanged.emit(Qt.Orientation.Vertical, 0, len(self._keys) - 1)
            self._announce_visibility(old, new)

    def show_intervals(
        self,
        bench: Bench,
        found: Mapping[int, Mapping[str, Intervals]],
        refined: Mapping[int, Figures] = _NOT_REFINED,
    ) -> None:
        """Show the intervals worked out for a bench, unless it has changed since.

        Parameters
        ----------
        bench : Bench
        found : mapping of int to mapping of str to Intervals
            By the key of the entry and the JSON key of the figure.
        refined : mapping of int to Figures
            By the key of the entry, where better ones were found.
        """
        if bench is self.document.bench:
            self._intervals, self._refined = dict(found), dict(refined)
            self.take(bench, bench)
            self.announce(bench, bench)
            self.intervals_shown.emit()

    def _on_learned(self, known: Knowledge) -> None:
        self.show_intervals(self.document.bench, known.intervals, known.figures)

    def _forget(self, keys: Collection[int]) -> None:
        self._intervals = {k: v for k, v in self._intervals.items() if k not in keys}

    def _announce_visibility(self, old: Bench, new: Bench) -> None:
        was_visible = {one.key: one.is_visible for one in in_rows(old)}
        for one in in_rows(new):
            row = self.row_of(one.key)
            if row is not None and was_visible.get(one.key, one.is_visible) != one.is_visible:
                self.dataChanged.emit(
                    self.index(row, 0), self.index(row, len(self.specs) - 1), [_FOREGROUND]
                )

    def _compute(self, bench: Bench, *, can_reuse: bool) -> None:
        """Rows and texts of a bench; figures are computed only where their inputs changed."""
        old_rows, old_texts = self._rows, self._texts
        found = {}
        for entry in bench.entries:
            analysis = self.document.analyses.of(entry.sweep, bench.z0_ohm)
            row = old_rows.get(entry.key) if can_reuse else None
            if row is not None and row.analysis is analysis:
                found[entry.key] = analysis, self._refined.get(entry.key, row.figures)
            else:
                own = at_once(bench, entry, analysis)
                found[entry.key] = analysis, own
                if entry.key in self._intervals:
                    self._forget((entry.key,))
                    self._refined = {k: v for k, v in self._refined.items() if k != entry.key}
        known = self._intervals
        rows, texts = {}, {}
        reference = None if bench.reference_key is None else found[bench.reference_key][1]
        plane = None if bench.reference is None else bench.reference.seen_at
        known_of_reference = known.get(bench.reference_key or 0, _NOTHING)
        for entry in bench.entries:
            analysis, own = found[entry.key]
            row = row_of(
                entry,
                analysis,
                own,
                None if entry.key == bench.reference_key else reference,
                known.get(entry.key, _NOTHING),
                known_of_reference,
                plane,
                converted(bench, entry),
            )
            rows[entry.key] = row
            before = old_rows.get(entry.key)
            if before == row:
                texts[entry.key] = old_texts[entry.key]
            else:
                texts[entry.key] = cells(self.specs, row, before, old_texts.get(entry.key, ()))
        found_groups = group_rows(bench, tuple(rows.values())) if bench.groups else ()
        self._group_rows = {one.group.key: one for one in found_groups}
        for key, one in self._group_rows.items():
            made = tuple([group_cell(spec, one) for spec in self.specs])
            texts[key] = old_texts[key] if old_texts.get(key) == made else made
        self._rows, self._texts = rows, texts

    def _heading(self, section: int, role: int) -> object:
        column = self.specs[section]
        if role == _DISPLAY:
            # Two lines keep the columns narrow.
            return "\n".join(column.two_lines(self.document.bench))
        if role == _TOOL_TIP:
            return f"{column.title(self.document.bench)}: {column.hint}"
        if role == _ALIGNMENT:
            return _WORDS if column.is_words else _NUMBER
        return None

    def _name(self, row: int, role: int) -> object:
        group = self.group_at(row)
        if group is not None:
            return self._group_name(group, role)
        entry = self.entry_at(row)
        is_reference = entry.key == self.document.bench.reference_key
        if role == _DISPLAY:
            is_member = group_of(self.document.bench, entry.key) is not None
            return f"{_INDENT}{entry.title}" if is_member else entry.title
        if role == Qt.ItemDataRole.DecorationRole:
            return swatch_icon(entry.drawn_style, self._view_state.theme)
        if role == Qt.ItemDataRole.FontRole and is_reference:
            font = QFont()
            font.setBold(True)
            return font
        if role == _TOOL_TIP:
            return tool_tip(entry.caption, "The reference" if is_reference else "", entry.file)
        return _WORDS if role == _ALIGNMENT else None

    def _group_name(self, group: Group, role: int) -> object:
        folded = self.is_folded(group.key)
        title = self._group_rows[group.key].title if group.key in self._group_rows else group.label
        if role == _DISPLAY:
            return f"{'▸' if folded else '▾'} {title}"
        if role == Qt.ItemDataRole.DecorationRole:
            return group_swatch_icon(group.style, self._view_state.theme)
        if role == _TOOL_TIP:
            turn = "shows" if folded else "hides"
            return tool_tip(title, f"A double click {turn} its members")
        return _WORDS if role == _ALIGNMENT else None

    def _on_theme_changed(self) -> None:
        if self._keys:
            self.headerDataChanged.emit(Qt.Orientation.Vertical, 0, len(self._keys) - 1)


def _measured_otherwise(old: Bench, new: Bench) -> set[int]:
    """Keys of sweeps whose analyzer accuracy has changed."""
    if new.instruments == old.instruments and new.entries is old.entries:
        return set()
    before = {entry.key: instrument_of(old, entry) for entry in old.entries}
    return {
        entry.key
        for entry in new.entries
        if entry.key in before and instrument_of(new, entry) != before[entry.key]
    }


def _blocks(differing: list[tuple[int, list[int]]]) -> Iterator[tuple[int, int, list[int]]]:
    """First row, last row and the columns that differ in them, for each run of adjacent rows."""
    if not differing:
        return
    differing.sort()
    start = 0
    ends = [i + 1 for i, (one, other) in enumerate(pairwise(differing)) if other[0] != one[0] + 1]
    for end in [*ends, len(differing)]:
        part = differing[start:end]
        yield part[0][0], part[-1][0], sorted({c for _, columns in part for c in columns})
        start = end


def _runs(columns: list[int]) -> Iterator[tuple[int, int]]:
    """Runs of adjacent columns, each as first and last."""
    start = columns[0]
    for one, other in pairwise([*columns, -1]):
        if other != one + 1:
            yield start, one
            start = other
