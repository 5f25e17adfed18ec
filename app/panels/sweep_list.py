"""The list of sweeps: show and hide, rename, reorder, select."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QItemSelection, QItemSelectionModel, Qt, Signal
from PySide6.QtWidgets import QAbstractItemView, QListView, QWidget

from fairlead.app.panels.dragging import Dragging
from fairlead.app.panels.sweep_delegate import SweepDelegate

if TYPE_CHECKING:
    from PySide6.QtGui import QKeyEvent, QMouseEvent, QResizeEvent

    from fairlead.app.document.view_state import ViewState
    from fairlead.app.panels.sweep_delegate import Field
    from fairlead.app.panels.sweep_list_model import SweepListModel
    from fairlead.core.document.session import Group

_GROUP_KEYS = (Qt.Key.Key_Space, Qt.Key.Key_Left, Qt.Key.Key_Right)


class SweepList(QListView):
    """Shares its selection with the table through the view state; its model emits the edits."""

    explanation_wanted = Signal(int)
    """Key of a sweep whose mark was clicked."""
    alone_wanted = Signal(object)
    """Keys of the sweeps of a row whose tick was clicked with Alt held."""

    def __init__(
        self, model: SweepListModel, view_state: ViewState, parent: QWidget | None = None
    ) -> None:
        super().__init__(parent)
        self._model = model
        self._view_state = view_state
        self._is_following = False
        self._delegate = SweepDelegate(view_state, self)
        self._delegate.explanation_wanted.connect(self.explanation_wanted)
        self._delegate.fold_wanted.connect(view_state.turn_fold)
        self._delegate.alone_wanted.connect(
            lambda row: self.alone_wanted.emit(model.sweeps_at([row]))
        )
        self.setModel(model)
        self.setItemDelegate(self._delegate)
        self.setObjectName("sweeps")
        self.setAccessibleName("Sweeps")
        self.setAccessibleDescription(
            "Space shows or hides, F2 renames, Alt+Up and Alt+Down move, Delete removes, "
            "Left and Right fold and unfold a group, Ctrl+F filters"
        )
        self.setUniformItemSizes(True)
        self.setSelectionMode(QAbstractItemView.SelectionMode.ExtendedSelection)
        self.setEditTriggers(QAbstractItemView.EditTrigger.NoEditTriggers)
        # Not InternalMove: the model itself takes no rows but its own.
        self.setDragDropMode(QAbstractItemView.DragDropMode.DragDrop)
        self.setDragDropOverwriteMode(False)
        self.setDefaultDropAction(Qt.DropAction.MoveAction)
        self.setDropIndicatorShown(True)
        self.setVerticalScrollMode(QAbstractItemView.ScrollMode.ScrollPerPixel)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setContextMenuPolicy(Qt.ContextMenuPolicy.ActionsContextMenu)
        self.selectionModel().selectionChanged.connect(self._on_selected)
        view_state.selection_changed.connect(self._follow)
        view_state.folded_changed.connect(lambda: self._follow(view_state.selection))
        view_state.theme_changed.connect(self.viewport().update)

    @property
    def selected_keys(self) -> list[int]:
        """Keys of the selected sweeps, in the list's order; a group stands for its members."""
        rows = sorted(index.row() for index in self.selectionModel().selectedIndexes())
        return self._model.sweeps_at(rows)

    def set_filter(self, text: str) -> None:
        """Show only the sweeps that have these words, and deselect the others.

        What cannot be seen in the list is not selected, or the next command would act on it.
        """
        self._model.set_filter(text)
        passing = frozenset(self._model.passing_keys)
        self._view_state.set_selection(self._view_state.selection & passing)
        self._follow(self._view_state.selection)

    @property
    def filtered_keys(self) -> list[int]:
        """Keys of the sweeps that pass the filter, in the order of the bench."""
        return self._model.passing_keys

    def edit_field(self, key: int, field: Field) -> None:
        """Open the editor for a sweep's name or condition, or a group's name."""
        row = self._model.row_of(key)
        if row is None:
            return
        index = self._model.index(row, 0)
        self.setFocus(Qt.FocusReason.ShortcutFocusReason)
        self.selectionModel().setCurrentIndex(index, QItemSelectionModel.SelectionFlag.NoUpdate)
        self.scrollTo(index)
        self._delegate.field = field
        self.edit(index)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Keep the selected row in sight when the details below take their share."""
        super().resizeEvent(event)
        if self.currentIndex().isValid() and self.selectionModel().isSelected(self.currentIndex()):
            self.scrollTo(self.currentIndex())

    def mouseDoubleClickEvent(self, event: QMouseEvent) -> None:
        """Edit the line that was double-clicked."""
        point = event.position().toPoint()
        index = self.indexAt(point)
        row = self.visualRect(index)
        is_text = index.isValid() and point.x() >= self._delegate.text_rect(row).left()
        if is_text and event.button() == Qt.MouseButton.LeftButton:
            self.edit_field(
                self._model.key_at(index.row()), self._delegate.field_at(row, point.y())
            )
            event.accept()
        else:
            super().mouseDoubleClickEvent(event)

    def startDrag(self, _actions: Qt.DropAction) -> None:
        """Drag the selected rows, also as files out of the window."""
        indexes = self.selectionModel().selectedIndexes()
        if indexes:
            row = self.visualRect(self.currentIndex())
            Dragging.start(self, self._model.mimeData(indexes), self.viewport().grab(row))

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Space toggles the ticks of selected sweeps or of a group; Left and Right fold it."""
        keys = self.selected_keys
        group = self._current_group
        if group is not None and not event.modifiers() and event.key() in _GROUP_KEYS:
            if event.key() == Qt.Key.Key_Space:
                self._model.group_visibility_wanted.emit(group.key, not group.is_visible)
            elif self._model.is_folded(group.key) == (event.key() == Qt.Key.Key_Right):
                self._view_state.turn_fold(group.key)
            event.accept()
            return
        if event.key() == Qt.Key.Key_Space and not event.modifiers() and keys:
            current = self.currentIndex()
            anchor = current.row() if current.isValid() else 0
            entry = self._model.entry_at(anchor)
            first = entry if entry.key in keys else self._model.document.bench.entry(keys[0])
            self._model.visibility_wanted.emit(keys, not first.is_visible)
            event.accept()
        else:
            super().keyPressEvent(event)

    @property
    def _current_group(self) -> Group | None:
        current = self.currentIndex()
        return self._model.group_at(current.row()) if current.isValid() else None

    def _on_selected(self) -> None:
        if not self._is_following and not self._model.is_folding:
            self._view_state.set_selection(frozenset(self.selected_keys))

    def _follow(self, keys: frozenset[int]) -> None:
        if keys == frozenset(self.selected_keys):
            return
        rows = self._model.rows_of(keys)
        selection = QItemSelection()
        for row in rows:
            index = self._model.index(row, 0)
            selection.select(index, index)
        self._is_following = True
        try:
            flags = QItemSelectionModel.SelectionFlag
            self.selectionModel().select(selection, flags.ClearAndSelect)
            if rows and self.currentIndex().row() not in rows:
                current = self._model.index(rows[0], 0)
                self.selectionModel().setCurrentIndex(current, flags.NoUpdate)
        finally:
            self._is_following = False
