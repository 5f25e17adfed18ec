"""What is looked at: hover, selection, folded groups, quantity, theme; never undone or saved."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, Signal

from fairlead.app.look.palette import LIGHT, Theme
from fairlead.core.views.registry import VIEWS

if TYPE_CHECKING:
    from fairlead.core.arrays import ComplexArray
    from fairlead.core.views.quantity import Quantity


@dataclass(frozen=True, slots=True)
class Hover:
    """A point of a sweep under the mouse.

    Attributes
    ----------
    key : int
        The entry's key.
    index : int
        The point's index in its sweep.
    in_gap : bool
        Whether the mouse is beside it, on a part of the curve where points are too far apart.
    """

    key: int
    index: int
    in_gap: bool = False


class ViewState(QObject):
    """Hovered point, selected sweeps, plotted quantity, theme, with a signal for each.

    Attributes
    ----------
    pointed_hz : float or None
        The frequency last pointed at in a plot, by mouse or keys; there is no signal for it.
    """

    hover_changed = Signal(object)
    """The new `Hover`, or None."""
    selection_changed = Signal(object)
    """The new frozenset of keys."""
    folded_changed = Signal(object)
    """The new frozenset of keys of folded groups."""
    quantity_changed = Signal(object)
    """The new `Quantity` over frequency."""
    uncertainty_changed = Signal(bool)
    """Whether the plots show the uncertainty of the points."""
    log_frequency_changed = Signal(bool)
    """Whether the frequency axis is logarithmic."""
    marker_values_changed = Signal(bool)
    """Whether the values at the markers are to be seen."""
    match_path_changed = Signal(object)
    """The new way of a matching network over the Smith chart."""
    theme_changed = Signal(object)
    """The new `Theme`."""

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._hover: Hover | None = None
        self.pointed_hz: float | None = None
        self._selection: frozenset[int] = frozenset()
        self._folded: frozenset[int] = frozenset()
        self._quantity = VIEWS[0]
        self._shows_uncertainty = True
        self._shows_marker_values = True
        self._log_frequency = False
        self._theme = LIGHT
        self._match_path: tuple[ComplexArray, ...] = ()

    @property
    def hover(self) -> Hover | None:
        """The point under the mouse."""
        return self._hover

    def set_hover(self, hover: Hover | None) -> None:
        """Set the hovered point, or none."""
        if hover != self._hover:
            self._hover = hover
            self.hover_changed.emit(hover)

    @property
    def selection(self) -> frozenset[int]:
        """Keys of the selected sweeps."""
        return self._selection

    def set_selection(self, keys: frozenset[int]) -> None:
        """Set the selection."""
        if keys != self._selection:
            self._selection = keys
            self.selection_changed.emit(keys)

    @property
    def folded(self) -> frozenset[int]:
        """Keys of the groups of which list and table show no members."""
        return self._folded

    def turn_fold(self, group_key: int) -> None:
        """Fold a group, or unfold it."""
        self._folded ^= {group_key}
        self.folded_changed.emit(self._folded)

    @property
    def quantity(self) -> Quantity:
        """What is plotted over frequency."""
        return self._quantity

    def set_quantity(self, quantity: Quantity) -> None:
        """Set the plotted quantity."""
        if quantity is not self._quantity:
            self._quantity = quantity
            self.quantity_changed.emit(quantity)

    @property
    def shows_uncertainty(self) -> bool:
        """Whether the plots show the uncertainty of the points."""
        return self._shows_uncertainty

    def show_uncertainty(self, *, is_shown: bool) -> None:
        """Show or hide it."""
        if is_shown != self._shows_uncertainty:
            self._shows_uncertainty = is_shown
            self.uncertainty_changed.emit(is_shown)

    @property
    def log_frequency(self) -> bool:
        """Whether the frequency axis is logarithmic."""
        return self._log_frequency

    def set_log_frequency(self, *, is_log: bool) -> None:
        """Make the frequency axis logarithmic or linear."""
        if is_log != self._log_frequency:
            self._log_frequency = is_log
            self.log_frequency_changed.emit(is_log)

    @property
    def shows_marker_values(self) -> bool:
        """Whether the values at the markers are to be seen."""
        return self._shows_marker_values

    def show_marker_values(self, *, is_shown: bool) -> None:
        """Show or hide them."""
        if is_shown != self._shows_marker_values:
            self._shows_marker_values = is_shown
            self.marker_values_changed.emit(is_shown)

    @property
    def theme(self) -> Theme:
        """The theme in use."""
        return self._theme

    def set_theme(self, theme: Theme) -> None:
        """Set the theme."""
        if theme is not self._theme:
            self._theme = theme
            self.theme_changed.emit(theme)

    @property
    def match_path(self) -> tuple[ComplexArray, ...]:
        """The way of a matching network over the Smith chart at 50 ohm, an array an element."""
        return self._match_path

    def set_match_path(self, path: tuple[ComplexArray, ...]) -> None:
        """Show another way, or none."""
        if path is not self._match_path:
            self._match_path = path
            self.match_path_changed.emit(path)
