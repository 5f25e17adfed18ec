"""The table of figures: one row per sweep or group, the columns of `fairlead.core.figure_table`."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, Qt, Signal
from PySide6.QtGui import QColor, QFont

from fairlead.app.document.keyed_model import NO_PARENT, AnyIndex, KeyedModel
from fairlead.app.look.swatch import group_swatch_icon, over_limit_sign, swatch_icon
from fairlead.app.look.tool_tip import tool_tip
from fairlead.app.tables.rectangles import rectangles
from fairlead.core.comparison.knowledge import at_once
from fairlead.core.comparison.rows import Row, converted, row_of
from fairlead.core.document.groups import group_of, in_rows
from fairlead.core.document.measuring_errors import instrument_of
from fairlead.core.figure_table import cells, shown
from fairlead.core.group_table import group_cell, group_rows, group_tips

if TYPE_CHECKING:
    from collections.abc import Callable, Collection, Iterable, Mapping

    from fairlead.app.document.document import Document
    from fairlead.app.document.view_state import ViewState
    from fairlead.core.comparison.knowledge import Knowledge
    from fairlead.core.document.bench import Bench
    from fairlead.core.document.entry import Entry
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
_BACKGROUND = int(Qt.ItemDataRole.BackgroundRole)
_DECORATION = int(Qt.ItemDataRole.DecorationRole)
_ACCESSIBLE = int(Qt.ItemDataRole.AccessibleTextRole)
_TOOL_TIP = int(Qt.ItemDataRole.ToolTipRole)
_SIGNS = (_BACKGROUND, _DECORATION, _ACCESSIBLE)
_INDENT = "\N{EM SPACE}"


class FiguresModel(KeyedModel):
    """Follows the document and announces only the cells whose text differs.

    With a view that says which rows are in sight, a change of the band leaves the others for when
    they are asked for; they are announced whole.
    """

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
        self._rows_in_sight: Callable[[], Collection[int]] | None = None
        # Keys of sweeps whose texts wait until they are asked for, and whose figures are of another
        # band.
        self._unwritten: set[int] = set()
        self._outdated: set[int] = set()
        self._bench = document.bench
        self._compute(document.bench)
        view_state.theme_changed.connect(self._on_theme_changed)
        document.learned.connect(self._on_learned)

    def follow_sight(self, rows_in_sight: Callable[[], Collection[int]]) -> None:
        """Let a view say which rows it shows; without one, every row is written at once."""
        self._rows_in_sight = rows_in_sight

    def columnCount(self, parent: AnyIndex = NO_PARENT) -> int:
        """As many as the window shows of `fairlead.core.figure_table.FIGURES`."""
        return 0 if parent.isValid() else len(self.specs)

    def data(self, index: AnyIndex, role: int = _DISPLAY) -> object:
        """Text, alignment, and a fainter tone for sweeps that are not drawn."""
        if role == _DISPLAY:
            return self._texts_of(self._keys[index.row()])[index.column()]
        if role == _ALIGNMENT:
            return _WORDS if self.specs[index.column()].is_words else _NUMBER
        if role == _FOREGROUND and not self._is_drawn(index.row()):
            return QColor(self._view_state.theme.muted)
        if role in _SIGNS:
            return self._sign(index, role)
        if role == _TOOL_TIP:
            return self._tip(self._keys[index.row()], self.specs[index.column()])
        return None

    def _is_drawn(self, row: int) -> bool:
        group = self.group_at(row)
        return self.entry_at(row).is_visible if group is None else group.is_visible

    def _sign(self, index: AnyIndex, role: int) -> object:
        """How a value over the limit stands out: tint, sign, and words for a screen reader."""
        if not self._is_over(self._keys[index.row()], self.specs[index.column()]):
            return None
        theme = self._view_state.theme
        if role == _BACKGROUND:
            return QColor(theme.error)
        return over_limit_sign(theme) if role == _DECORATION else f"{index.data()}, over the limit"

    def _is_over(self, key: int, spec: FigureSpec) -> bool:
        if not spec.has_limit or key in self._group_rows:
            return False
        self._texts_of(key)
        row = self._rows.get(key)
        return row is not None and spec.is_over(row, self.document.bench.limit_swr)

    def _tip(self, key: int, spec: FigureSpec) -> str | None:
        if key in self._group_rows:
            return tool_tip(*group_tips(spec, self._group_rows[key]))
        self._texts_of(key)
        row = self._rows.get(key)
        return None if row is None else spec.tip(row)

    def _texts_of(self, key: int) -> tuple[str, ...]:
        """The texts of a row, which is written now if nobody asked for it before."""
        if key in self._unwritten:
            self._write((key,))
        return self._texts[key]

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
        if not same_frame:
            self._outdated.update(self._rows)
        before = dict(self._texts)
        waiting = self._may_wait(old, new)
        self._compute(new, waiting)
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
        written = [
            (places[key], columns) for key, columns in self._differing if columns and key in places
        ]
        every = [*range(len(self.specs))]
        unwritten = [(places[key], every) for key in self._unwritten if key in places]
        for top, left, bottom, right in (*rectangles(written), *rectangles(unwritten)):
            self.dataChanged.emit(self.index(top, left), self.index(bottom, right), [_DISPLAY])
        self._differing = []
        if new.limit_swr != old.limit_swr:
            self.headerDataChanged.emit(Qt.Orientation.Horizontal, 0, len(self.specs) - 1)
            self._announce_tints()
        if self._keys and (
            new.entries is not old.entries
            or new.groups is not old.groups
            or new.reference_key != old.reference_key
        ):
            self.headerDataChanged.emit(Qt.Orientation.Vertical, 0, len(self._keys) - 1)
            self._announce_visibility(old, new)

    def _announce_tints(self) -> None:
        """Cells that the limit applies to: their texts are the same, their tints may not be."""
        last = len(self._keys) - 1
        for column in [i for i, spec in enumerate(self.specs) if spec.has_limit and last >= 0]:
            places = self.index(0, column), self.index(last, column)
            self.dataChanged.emit(*places, [_BACKGROUND, _DECORATION])

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
            # Otherwise the intervals would be taken for those of the figures before.
            self._write(self._unwritten)
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

    def _may_wait(self, old: Bench, new: Bench) -> set[int]:
        """Keys of the sweeps out of sight, if all that changed is what their figures depend on."""
        if self._rows_in_sight is None or new is old or new.groups or old.groups:
            return set()
        keys = {entry.key for entry in new.entries}
        if keys != {entry.key for entry in old.entries} or not keys <= self._texts.keys():
            return set()
        seen = {self._keys[row] for row in self._rows_in_sight()}
        # All others are compared with the reference.
        return keys - seen - {new.reference_key}

    def _compute(self, bench: Bench, waiting: Collection[int] = ()) -> None:
        """Rows and texts of a bench, but for those that can wait."""
        self._bench = bench
        kept = {entry.key for entry in bench.entries}
        self._rows = {key: row for key, row in self._rows.items() if key in kept}
        self._unwritten, self._outdated = set(waiting), self._outdated & kept
        old_texts = self._texts
        self._texts = {key: text for key, text in old_texts.items() if key in kept}
        self._write_rows(bench, kept.difference(waiting))
        rows = tuple(self._rows[entry.key] for entry in bench.entries) if bench.groups else ()
        self._group_rows = {one.group.key: one for one in group_rows(bench, rows)} if rows else {}
        for key, one in self._group_rows.items():
            made = tuple([group_cell(spec, one) for spec in self.specs])
            self._texts[key] = old_texts[key] if old_texts.get(key) == made else made

    def _write(self, keys: Iterable[int]) -> None:
        """Write some of the rows that were left waiting."""
        wanted = self._unwritten.intersection(keys)
        if wanted:
            self._write_rows(self._bench, wanted)
            self._unwritten -= wanted

    def _write_rows(self, bench: Bench, keys: Collection[int]) -> None:
        """Rows and texts of some sweeps; the reference's figures must be among them or known."""
        reference = bench.reference
        asked = [one for one in bench.entries if one.key in keys or one is reference]
        found = {entry.key: self._own(bench, entry) for entry in asked}
        against = None if reference is None else found[reference.key]
        for entry in asked:
            row = row_of(
                entry,
                self.document.analyses.of(entry.sweep, bench.z0_ohm),
                found[entry.key],
                None if entry is reference else against,
                self._intervals.get(entry.key, _NOTHING),
                self._intervals.get(bench.reference_key or 0, _NOTHING),
                None if reference is None else reference.seen_at,
                converted(bench, entry),
            )
            before = self._rows.get(entry.key)
            self._rows[entry.key] = row
            if before != row:
                texts = self._texts.get(entry.key, ())
                self._texts[entry.key] = cells(self.specs, row, before, texts)

    def _own(self, bench: Bench, entry: Entry) -> Figures:
        """Figures of a sweep; calculated only where their inputs have changed."""
        key, analysis = entry.key, self.document.analyses.of(entry.sweep, bench.z0_ohm)
        row = self._rows.get(key)
        if row is not None and row.analysis is analysis and key not in self._outdated:
            return self._refined.get(key, row.figures)
        self._outdated.discard(key)
        if key in self._intervals:
            self._forget((key,))
            self._refined = {k: v for k, v in self._refined.items() if k != key}
        return at_once(bench, entry, analysis)

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
