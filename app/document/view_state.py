"""What is looked at: hover, selection, theme. Never undone, never saved with the document."""

from __future__ import annotations

from dataclasses import dataclass

from PySide6.QtCore import QObject, Signal

from fairlead.app.look.palette import LIGHT, Theme


@dataclass(frozen=True, slots=True)
class Hover:
    """A point of a sweep under the mouse.

    Attributes
    ----------
    key : int
        The entry's key.
    index : int
        The point's index in its sweep.
    """

    key: int
    index: int


class ViewState(QObject):
    """Hovered point, selected sweeps and theme, with a signal for each."""

    hover_changed = Signal(object)
    """The new `Hover`, or None."""
    selection_changed = Signal(object)
    """The new frozenset of keys."""
    theme_changed = Signal(object)
    """The new `Theme`."""

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._hover: Hover | None = None
        self._selection: frozenset[int] = frozenset()
        self._theme = LIGHT

    @property
    def hover(self) -> Hover | None:
        """The point under the mouse."""
        return self._hover

    def set_hover(self, hover: Hover | None) -> None:
        """Point at another point, or at none."""
        if hover != self._hover:
            self._hover = hover
            self.hover_changed.emit(hover)

    @property
    def selection(self) -> frozenset[int]:
        """Keys of the selected sweeps."""
        return self._selection

    def set_selection(self, keys: frozenset[int]) -> None:
        """Select other sweeps."""
        if keys != self._selection:
            self._selection = keys
            self.selection_changed.emit(keys)

    @property
    def theme(self) -> Theme:
        """The tones in use."""
        return self._theme

    def set_theme(self, theme: Theme) -> None:
        """Use other tones."""
        if theme is not self._theme:
            self._theme = theme
            self.theme_changed.emit(theme)
