"""The layout of the window's parts."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QHBoxLayout, QLabel, QSplitter, QStackedWidget, QVBoxLayout, QWidget

from fairlead.app.panels.area_header import AreaHeader, tool_button

if TYPE_CHECKING:
    from PySide6.QtGui import QAction, QResizeEvent

    from fairlead.app.files.settings import Settings
    from fairlead.app.panels.empty_page import EmptyPage
    from fairlead.app.shell.menus import Actions

_LIST_WIDTH = 250
_TABLE_HEIGHT = 190
_CHANGES_HEIGHT = 90
_PARTS_FROM_PX = 1100
_GAP = 6


@dataclass(frozen=True, slots=True)
class Panes:
    """The widgets of the window."""

    messages: QWidget
    recovery: QWidget
    progress: QWidget
    saving: QWidget
    watch: QWidget
    empty: EmptyPage
    band: QWidget
    sweeps: QWidget
    list_filter: QWidget
    detail: QWidget
    readout: QWidget
    frequency_plot: QWidget
    smith_plot: QWidget
    figures_title: QLabel
    figures: QWidget
    marker_values: QWidget
    changes: QWidget
    change_parts: QWidget


class Workspace(QWidget):
    """Messages above; below them either the empty page or the work.

    The work: band and limit in a row; the list of sweeps with its details at the left; at the right
    the two plots side by side, and below them the table of figures and what changed, in words.
    """

    def __init__(self, parts: Panes, actions: Actions, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._empty = parts.empty
        self._first_button = parts.empty.open_button
        self._sweeps = parts.sweeps
        self._change_parts = parts.change_parts
        self._splitters = {
            "columns": _splitter(Qt.Orientation.Horizontal, "List and plots"),
            "list": _splitter(Qt.Orientation.Vertical, "List and details"),
            "areas": _splitter(Qt.Orientation.Vertical, "Plots, table and what changed"),
            "plots": _splitter(Qt.Orientation.Horizontal, "Plot over frequency and Smith chart"),
            "tables": _splitter(Qt.Orientation.Horizontal, "Table and values at the markers"),
            "changes": _splitter(Qt.Orientation.Horizontal, "What changed, in words and in parts"),
        }
        self._work = self._make_work(parts, actions)
        self._pages = QStackedWidget()
        self._pages.addWidget(parts.empty)
        self._pages.addWidget(self._work)
        column = QVBoxLayout(self)
        column.setContentsMargins(8, 6, 8, 8)
        column.setSpacing(_GAP)
        column.addWidget(parts.recovery)
        column.addWidget(parts.messages)
        column.addWidget(parts.progress)
        column.addWidget(parts.saving)
        column.addWidget(parts.watch)
        column.addWidget(self._pages, 1)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """In a narrow window the sentences have all the width."""
        self._change_parts.setVisible(self.width() >= _PARTS_FROM_PX)
        super().resizeEvent(event)

    def show_empty(self, *, is_empty: bool) -> None:
        """Show the empty page or the work."""
        page = self._empty if is_empty else self._work
        if self._pages.currentWidget() is not page:
            self._pages.setCurrentWidget(page)
            # The first thing to do on either page.
            (self._first_button if is_empty else self._sweeps).setFocus()

    def show_marker_values(self, *, is_shown: bool) -> None:
        """Show or hide the values at the markers, beside the table."""
        self._marker_values.setVisible(is_shown)

    def restore(self, settings: Settings) -> None:
        """Restore the splitters; a damaged state leaves them where they are."""
        for name, splitter in self._splitters.items():
            state = settings.blob(name)
            if not state.isEmpty():
                splitter.restoreState(state)

    def store(self, settings: Settings) -> None:
        """Store the positions of the splitters."""
        for name, splitter in self._splitters.items():
            settings.set_blob(name, splitter.saveState())

    def _make_work(self, parts: Panes, actions: Actions) -> QWidget:
        plots = self._splitters["plots"]
        plots.addWidget(parts.frequency_plot)
        plots.addWidget(parts.smith_plot)
        # The chart is a circle: it needs no more width than the plots have height.
        plots.setSizes([580, 440])
        plots.setStretchFactor(0, 1)
        plots.setStretchFactor(1, 1)
        zooms = [
            actions.with_icon(name) for name in ("zoom-fit", "zoom-band", "zoom-in", "zoom-out")
        ]
        pictures = [actions.with_icon(name) for name in ("copy-picture", "export-picture")]
        rows = self._splitters["areas"]
        rows.addWidget(_stack(AreaHeader(parts.readout, [*zooms, *pictures]), below=plots))
        rows.addWidget(self._make_tables(parts, actions))
        changes = self._splitters["changes"]
        changes.addWidget(parts.changes)
        changes.addWidget(parts.change_parts)
        changes.setSizes([580, 400])
        changes.setStretchFactor(0, 1)
        # In a narrow window the parts can be folded away.
        changes.setCollapsible(1, True)
        rows.addWidget(_line("What changed", changes, actions.with_icon("copy-changes")))
        rows.setSizes([480, _TABLE_HEIGHT, _CHANGES_HEIGHT])
        # In a low window the sentences keep three lines or so: the plots need the height.
        rows.setStretchFactor(0, 6)
        rows.setStretchFactor(1, 2)
        rows.setStretchFactor(2, 1)
        # In a low window the sentences can be folded away.
        rows.setCollapsible(2, True)
        columns = self._splitters["columns"]
        columns.addWidget(self._make_list(parts, actions))
        columns.addWidget(rows)
        columns.setSizes([_LIST_WIDTH, 1030])
        columns.setStretchFactor(1, 1)
        top = QHBoxLayout()
        top.setSpacing(2)
        top.addWidget(tool_button(actions.with_icon("save")))
        top.addWidget(tool_button(actions.with_icon("undo")))
        top.addWidget(tool_button(actions.with_icon("redo")))
        top.addSpacing(10)
        top.addWidget(parts.band, 1)
        work = QWidget()
        column = QVBoxLayout(work)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(_GAP)
        column.addLayout(top)
        column.addWidget(columns, 1)
        return work

    def _make_tables(self, parts: Panes, actions: Actions) -> QWidget:
        tables = self._splitters["tables"]
        copies = [actions.with_icon("copy-table")]
        tables.addWidget(_stack(AreaHeader(parts.figures_title, copies), below=parts.figures))
        header = AreaHeader("At the markers", [actions.with_icon("markers-edit")])
        self._marker_values = _stack(header, below=parts.marker_values)
        self._marker_values.hide()
        tables.addWidget(self._marker_values)
        tables.setSizes([700, 330])
        tables.setStretchFactor(0, 1)
        tables.setStretchFactor(1, 1)
        return tables

    def _make_list(self, parts: Panes, actions: Actions) -> QWidget:
        names = ("open", "open-folder", "move-up", "move-down", "reference", "remove")
        header = AreaHeader("Sweeps", [actions.with_icon(name) for name in names])
        area = self._splitters["list"]
        area.addWidget(_stack(header, parts.list_filter, below=parts.sweeps))
        area.addWidget(parts.detail)
        area.setSizes([380, 300])
        # Both give and take: neither starves where the window is low.
        area.setStretchFactor(0, 1)
        area.setStretchFactor(1, 1)
        return area


def _stack(*above: QWidget, below: QWidget) -> QWidget:
    page = QWidget()
    column = QVBoxLayout(page)
    column.setContentsMargins(0, 0, 0, 0)
    column.setSpacing(3)
    for widget in above:
        column.addWidget(widget)
    column.addWidget(below, 1)
    return page


def _line(title: str, middle: QWidget, action: QAction) -> QWidget:
    """A title and a button beside what they belong to, since there is no height for a header."""
    page = QWidget()
    row = QHBoxLayout(page)
    row.setContentsMargins(2, 0, 0, 0)
    row.setSpacing(8)
    label = QLabel(title)
    label.setObjectName("title")
    top = Qt.AlignmentFlag.AlignTop
    row.addWidget(label, alignment=top)
    row.addWidget(middle, 1)
    row.addWidget(tool_button(action), alignment=top)
    return page


def _splitter(orientation: Qt.Orientation, name: str) -> QSplitter:
    splitter = QSplitter(orientation)
    splitter.setAccessibleName(name)
    splitter.setHandleWidth(_GAP)
    splitter.setChildrenCollapsible(False)
    return splitter
