"""Which columns of the table are shown, in which order: chosen from a menu of the heading."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, QPoint, Qt, Signal
from PySide6.QtWidgets import QMenu

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping, Sequence

    from PySide6.QtWidgets import QHeaderView

_ORDERS = (
    ("beside", "Put each change beside its figure", True),
    ("usual-order", "Put columns in their usual order", False),
)


class ColumnMenu(QObject):
    """A tick for each column; the last one shown cannot be hidden.

    Parameters
    ----------
    header : QHeaderView
    titles : callable
        Titles of the columns by their ids, in the order of the model.
    can_choose : callable
        Whether a column can be shown now, by its index.
    """

    changed = Signal()
    """Another set of columns is hidden."""
    order_wanted = Signal(bool)
    """Each change beside its figure, or the usual order."""

    def __init__(
        self,
        header: QHeaderView,
        titles: Callable[[], Mapping[str, str]],
        can_choose: Callable[[int], bool],
    ) -> None:
        super().__init__(header)
        self._header = header
        self._titles = titles
        self._ids = tuple(titles())
        self._can_choose = can_choose
        self._hidden: frozenset[str] = frozenset()
        self._menu: QMenu | None = None
        header.setContextMenuPolicy(Qt.ContextMenuPolicy.CustomContextMenu)
        header.customContextMenuRequested.connect(self._open)

    @property
    def hidden(self) -> frozenset[str]:
        """Ids of the columns that the user has hidden."""
        return self._hidden

    def hide_only(self, ids: frozenset[str]) -> None:
        """Hide these columns and no other; unknown ids are left out, and so is a set of all."""
        known = frozenset(self._ids)
        self._hidden = ids & known if ids & known != known else frozenset()
        self.changed.emit()

    def _open(self, at: QPoint) -> None:
        if self._menu is not None:
            self._menu.deleteLater()
        menu = self._menu = QMenu(self._header)
        titles = self._titles()
        chosen = [i for i in range(len(self._ids)) if self._can_choose(i)]
        # As they stand on the screen: headings can be dragged.
        for i in sorted(chosen, key=self._header.visualIndex):
            name = self._ids[i]
            action = menu.addAction(titles[name].replace("&", "&&"))
            action.setObjectName(name)
            action.setCheckable(True)
            action.setChecked(name not in self._hidden)
            action.setEnabled(name in self._hidden or self._shown_of(chosen) > 1)
            action.toggled.connect(partial(self._turn, name))
        menu.addSeparator()
        show_all = menu.addAction("Show all columns")
        show_all.setEnabled(bool(self._hidden))
        show_all.triggered.connect(lambda: self.hide_only(frozenset()))
        for name, text, is_beside in _ORDERS:
            action = menu.addAction(text)
            action.setObjectName(name)
            action.triggered.connect(partial(self.order_wanted.emit, is_beside))
        menu.popup(self._header.viewport().mapToGlobal(at))

    def _shown_of(self, chosen: Sequence[int]) -> int:
        return sum(self._ids[i] not in self._hidden for i in chosen)

    def _turn(self, name: str, is_shown: bool) -> None:
        self.hide_only(self._hidden - {name} if is_shown else self._hidden | {name})
