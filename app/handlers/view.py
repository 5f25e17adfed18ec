"""Quantity, zoom, details, theme: none of this is undone or saved with the document."""

from __future__ import annotations

from typing import TYPE_CHECKING, Protocol

from PySide6.QtGui import QGuiApplication
from PySide6.QtWidgets import QApplication, QWidget

from fairlead.app.files.settings import PERCENTS
from fairlead.app.look.theme import chosen_theme

if TYPE_CHECKING:
    from collections.abc import Sequence

    from fairlead.app.document.document import Document
    from fairlead.app.document.view_state import ViewState
    from fairlead.app.files.settings import Settings
    from fairlead.app.look.palette import Theme
    from fairlead.app.look.theme import Choice
    from fairlead.core.views.quantity import Quantity


# Sweeps over more than so many band widths are opened at the band.
_MUCH_WIDER = 8


class Zoomable(Protocol):
    """What both plots can do."""

    @property
    def is_fitted(self) -> bool:
        """Whether everything is shown."""

    def zoom_to_fit(self) -> None:
        """Show everything."""

    def zoom_to_band(self) -> None:
        """Show the band."""

    def zoom_in(self) -> None:
        """Zoom in about the middle."""

    def zoom_out(self) -> None:
        """Zoom out about the middle."""


class Chart(Zoomable, Protocol):
    """What the Smith chart can do besides."""

    def show_whole_chart(self) -> None:
        """Show the chart to its rim."""


class ViewHandler:
    """Acts on the plots, the details and the theme."""

    def __init__(
        self,
        document: Document,
        view_state: ViewState,
        settings: Settings,
        plots: Sequence[Zoomable],
        chart: Chart,
        detail: QWidget,
    ) -> None:
        self._document = document
        self._view_state = view_state
        self._settings = settings
        self._plots = plots
        self._chart = chart
        self._detail = detail
        QGuiApplication.styleHints().colorSchemeChanged.connect(self._on_system_changed)

    def show(self, quantity: Quantity) -> None:
        """Plot another quantity over frequency."""
        self._view_state.set_quantity(quantity)

    def zoom_to_fit(self) -> None:
        """Show everything in both plots."""
        for plot in self._plots:
            plot.zoom_to_fit()

    def show_opened(self) -> None:
        """Show everything, or the band where the sweeps are much wider."""
        self.zoom_to_fit()
        self.show_small_band()

    def show_small_band(self) -> None:
        """Zoom to a chosen band that would be a sliver in the whole view."""
        bench = self._document.bench
        spans = [entry.sweep.frequency_hz for entry in bench.visible]
        if not bench.has_own_band or not spans or not self._plots[0].is_fitted:
            return
        low_hz, high_hz = min(hz[0] for hz in spans), max(hz[-1] for hz in spans)
        is_inside = low_hz < bench.band.high_hz and bench.band.low_hz < high_hz
        if is_inside and high_hz - low_hz > _MUCH_WIDER * bench.band.width_hz:
            self._plots[0].zoom_to_band()

    def zoom_to_band(self) -> None:
        """Show the band in both plots."""
        for plot in self._plots:
            plot.zoom_to_band()

    def show_whole_chart(self) -> None:
        """Show the Smith chart to its rim."""
        self._chart.show_whole_chart()

    def zoom_in(self) -> None:
        """Zoom in the plot that the user is working in."""
        self._plot.zoom_in()

    def zoom_out(self) -> None:
        """Zoom out the plot that the user is working in."""
        self._plot.zoom_out()

    def toggle_detail(self) -> None:
        """Show or hide the details of the selected sweep."""
        self._settings.shows_detail = not self._settings.shows_detail
        self._detail.setVisible(self._settings.shows_detail)

    def toggle_log_frequency(self) -> None:
        """Make the frequency axis logarithmic, or linear again."""
        self._settings.log_frequency = not self._settings.log_frequency
        self._view_state.set_log_frequency(is_log=self._settings.log_frequency)

    def toggle_uncertainty(self) -> None:
        """Show or hide the uncertainty of the points in plots and pictures."""
        self._settings.shows_uncertainty = not self._settings.shows_uncertainty
        self._view_state.show_uncertainty(is_shown=self._settings.shows_uncertainty)

    def choose_theme(self, choice: Choice) -> None:
        """Use a theme, or follow the system, from now on."""
        self._settings.theme = choice
        self._show_look()

    def change_text_size(self, steps: int) -> None:
        """Larger or smaller text by a number of steps; 0 for the usual size."""
        self._settings.text_percent = _stepped(self._settings.text_percent, steps)
        self._show_look()

    def change_line_width(self, steps: int) -> None:
        """Thicker or thinner curves by a number of steps; 0 for the usual width."""
        self._settings.line_percent = _stepped(self._settings.line_percent, steps)
        self._show_look()

    def _show_look(self) -> None:
        self._view_state.set_theme(chosen_look(self._settings))

    @property
    def _plot(self) -> Zoomable:
        """The plot under the mouse, else the one with the focus, else the first."""
        focused = QApplication.focusWidget()
        widgets = [plot for plot in self._plots if isinstance(plot, QWidget)]
        for plot in widgets:
            if plot.underMouse():
                return plot
        for plot in widgets:
            if focused is not None and (plot is focused or plot.isAncestorOf(focused)):
                return plot
        return self._plots[0]

    def _on_system_changed(self) -> None:
        if self._settings.theme == "system":
            self._show_look()


def chosen_look(settings: Settings) -> Theme:
    """The theme, with text and curves, as the settings have it."""
    return chosen_theme(settings.theme, settings.text_percent, settings.line_percent)


def _stepped(percent: int, steps: int) -> int:
    """The next percentages of the list; the usual one for no step."""
    if steps == 0:
        return 100
    index = PERCENTS.index(percent) + steps
    return PERCENTS[min(max(index, 0), len(PERCENTS) - 1)]
