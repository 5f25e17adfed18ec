"""The context menu of a plot: of the sweep under the mouse, and of the plot."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, QPoint
from PySide6.QtWidgets import QMenu

if TYPE_CHECKING:
    from collections.abc import Sequence

    from PySide6.QtWidgets import QWidget

    from fairlead.app.plots.plot_frame import PlotFrame
    from fairlead.app.shell.menus import Actions

_OF_SWEEP = ("reference", "toggle", "show-alone", "change-style", "rename", "feed-line", "remove")
_OF_PLOT = ("zoom-fit", "zoom-band", "whole-chart", "uncertainty")
_OF_MARKERS = ("marker-add", "marker-remove", "markers-edit")
_OF_PICTURE = ("copy-picture", "export-picture")


class PlotMenu(QObject):
    """Opens the menu where a plot asks for it."""

    def __init__(
        self, plots: Sequence[PlotFrame], actions: Actions, views: QMenu, parent: QWidget
    ) -> None:
        super().__init__(parent)
        # Two menus: an action hidden in one would be hidden in the menu bar too.
        self._on_sweep, self._on_plot = QMenu(parent), QMenu(parent)
        self._on_sweep.addActions([actions[name] for name in _OF_SWEEP])
        self._on_sweep.addSeparator()
        for menu in (self._on_sweep, self._on_plot):
            menu.addActions([actions[name] for name in _OF_PLOT])
            menu.addMenu(views)
            menu.addSeparator()
            menu.addActions([actions[name] for name in _OF_MARKERS])
            menu.addSeparator()
            menu.addActions([actions[name] for name in _OF_PICTURE])
        for plot in plots:
            plot.menu_wanted.connect(self._open)

    def _open(self, at: QPoint, is_on_sweep: bool) -> None:
        (self._on_sweep if is_on_sweep else self._on_plot).popup(at)
