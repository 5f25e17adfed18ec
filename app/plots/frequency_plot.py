"""A quantity over frequency, with the band's edges and the limit to drag."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

import numpy as np
from PySide6.QtCore import QPointF, QSizeF, Qt

from fairlead.app.drawing.marks import SHADINGS
from fairlead.app.drawing.screen_map import LogScreenMap, round_step
from fairlead.app.plots.best_match_marks import BestMatchMarks, marks_of
from fairlead.app.plots.corner_text import CornerText
from fairlead.app.plots.curve_layer import FrequencyCurveLayer
from fairlead.app.plots.group_layer import FrequencyGroupLayer
from fairlead.app.plots.handle_gestures import round_to
from fairlead.app.plots.handled_plot import HandledPlot
from fairlead.app.plots.line_handle import edge_text
from fairlead.app.plots.plot_axes import PlotAxes
from fairlead.app.plots.projection import QuantityProjection
from fairlead.core.comparison.viewed import needs_bench, viewed
from fairlead.core.views.points import Sample, above_one_points, off_scale_points
from fairlead.core.views.shape import MATCH_HZ

if TYPE_CHECKING:
    from PySide6.QtWidgets import QWidget

    from fairlead.app.document.document import Document
    from fairlead.app.document.view_state import Hover, ViewState
    from fairlead.app.drawing.screen_map import ScreenMap
    from fairlead.app.look.palette import Theme
    from fairlead.core.comparison.viewed import Viewed
    from fairlead.core.document.bench import Bench
    from fairlead.core.views.quantity import Quantity
    from fairlead.core.views.scale import Span

_MARGIN = 0.02
_BAND_MARGIN = 0.15
_DECADES_MORE = 2.0
# What is in hertz, before the axis has become logarithmic, is far above any power of ten.
_MOST_DECADES = 30.0
_NARROWEST_HZ = 1e3
# Below the tags of the band edges and the marks at the upper border.
_CORNER_TEXT_TOP_PX = 32.0


class FrequencyPlot(HandledPlot):
    """Curves over frequency; emits intents and changes nothing itself."""

    def __init__(
        self, document: Document, view_state: ViewState, parent: QWidget | None = None
    ) -> None:
        self._viewed: Viewed | None = None
        super().__init__(document, view_state, view_state.quantity, parent)
        self._span: Span = (0.0, 1.0)
        self._axes = PlotAxes(self._item, self._theme)
        self._name_quantity()

        self._layer = FrequencyCurveLayer(self._curves, self._quantity, self._box)
        self._layer.setZValue(20)
        self._envelopes = FrequencyGroupLayer(self._groups, "envelope", self._quantity, self._box)
        self._envelopes.setZValue(15)
        self._means = FrequencyGroupLayer(self._groups, "mean", self._quantity, self._box)
        self._means.setZValue(21)
        self._matches = BestMatchMarks(self._box)
        self._matches.setZValue(24)
        self._corner_text = CornerText(self._box, top=_CORNER_TEXT_TOP_PX)
        self._corner_text.setZValue(25)
        # Curves dip in the middle, so the lower corner is the emptier one.
        self._shading_text = CornerText(self._box)
        self._shading_text.setZValue(25)

        view_state.quantity_changed.connect(self._show_quantity)
        view_state.log_frequency_changed.connect(self._change_axis)
        document.learned.connect(self._show_matches)
        self._start()
        self._describe()

    # Zoom

    def zoom_to_band(self) -> None:
        """Show the band with a margin, and the values that occur there.

        Where frequencies are divided by the best match: as wide a part around that.
        """
        self._is_fitted = False
        band = self._document.bench.band
        low_hz, high_hz = band.low_hz, band.high_hz
        if self._quantity.is_scaled:
            half_hz = MATCH_HZ * band.width_hz / (low_hz + high_hz)
            low_hz, high_hz = MATCH_HZ - half_hz, MATCH_HZ + half_hz
        self._span = self._fitting(low_hz, high_hz, near=True)
        self._show_x(*self._with_margin(low_hz, high_hz, _BAND_MARGIN))

    def _with_margin(self, low_hz: float, high_hz: float, share: float) -> tuple[float, float]:
        """Both ends moved out by a share of the axis between them."""
        if self._is_log and low_hz > 0:
            factor = (high_hz / low_hz) ** share
            return low_hz / factor, high_hz * factor
        margin_hz = share * (high_hz - low_hz)
        return low_hz - margin_hz, high_hz + margin_hz

    def _fit(self) -> None:
        low_hz, high_hz = self._span_hz()
        self._span = self._fitting(low_hz, high_hz)
        self._show_x(*self._with_margin(low_hz, high_hz, _MARGIN))

    def _span_hz(self) -> tuple[float, float]:
        """Lowest and highest frequency of what is shown; around the band if nothing is."""
        grids = [curve.analysis.frequency_hz for curve in self._curves]
        if not self._quantity.is_scaled:
            grids += [drawn.curves.frequency_hz for drawn in self._groups]
        if grids:
            return float(min(grid[0] for grid in grids)), float(max(grid[-1] for grid in grids))
        if self._quantity.is_scaled:
            return 0.9 * MATCH_HZ, 1.1 * MATCH_HZ
        band = self._document.bench.band
        return band.low_hz - band.width_hz, band.high_hz + band.width_hz

    def _fitting(self, low_hz: float, high_hz: float, *, near: bool = False) -> Span:
        """Ends of the axis that show curves and limit, within reason."""
        bench, quantity = self._document.bench, self._quantity
        seen: list[float] = []
        for curve in self._curves:
            first, last = np.searchsorted(curve.analysis.frequency_hz, (low_hz, high_hz))
            seen += quantity.seen(Sample.picked(curve.analysis, np.arange(first, last))) or ()
        for drawn in self._groups:
            seen += drawn.curves.seen(quantity, low_hz, high_hz) or ()
        return quantity.scale.fit(
            (min(seen), max(seen)) if seen else None,
            quantity.limit_position(bench.limit_swr),
            bench.z0_ohm,
            near=near,
        )

    def _show_x(self, low_hz: float, high_hz: float) -> None:
        """Show these frequencies, within reason."""
        if self._is_log:
            self._show_logs(low_hz, high_hz)
            return
        lowest_hz, highest_hz = self._span_hz()
        span_hz = max(highest_hz - lowest_hz, _NARROWEST_HZ)
        width_hz = min(max(high_hz - low_hz, _NARROWEST_HZ), 20 * span_hz)
        # At least a corner of the sweeps stays in sight, so that the user does not get lost.
        low_hz = min(max(low_hz, lowest_hz - 0.9 * width_hz), highest_hz - 0.1 * width_hz)
        self._show_ranges((low_hz, low_hz + width_hz), self._span)

    def _show_logs(self, low_hz: float, high_hz: float) -> None:
        """The same on a logarithmic axis, in powers of ten."""
        lowest, highest = (math.log10(hz) for hz in self._span_hz())
        low_hz = max(low_hz, 1.0)
        low, high = math.log10(low_hz), math.log10(max(high_hz, low_hz + _NARROWEST_HZ))
        width = min(high - low, 2 * (highest - lowest) + _DECADES_MORE)
        low = min(max(low, lowest - 0.9 * width), highest - 0.1 * width)
        self._show_ranges((low, low + width), self._span)

    def _map(
        self, x_range: tuple[float, float], y_range: tuple[float, float], size: tuple[float, float]
    ) -> ScreenMap:
        if self._is_log and x_range[1] < _MOST_DECADES:
            return LogScreenMap.between_logs(x_range, y_range, size)
        return super()._map(x_range, y_range, size)

    @property
    def _is_log(self) -> bool:
        """Whether the axis is logarithmic; shares of the best match always are on a linear one."""
        return self._view_state.log_frequency and not self._quantity.is_scaled

    def _change_axis(self) -> None:
        """Show the same frequencies on the other kind of axis."""
        self._gestures.finish()
        low_hz, high_hz = self._screen.left, self._screen.right
        self._plot(self._quantity, self._document.bench)
        if self._is_fitted:
            self._fit()
        else:
            self._show_x(low_hz, high_hz)
        self._curves_changed()
        self._place_marker()

    def _zoom_at(self, at: QPointF, factor: float) -> None:
        screen, x = self._screen, at.x()
        self._show_x(
            screen.x_value(x - x / factor), screen.x_value(x + (screen.width - x) / factor)
        )

    def _wheel(self, at: QPointF, factor: float, modifiers: Qt.KeyboardModifier) -> None:
        """Over the axis at the left, or with Ctrl, the wheel changes the range of the quantity.

        SWR 1, 0 dB and 0 ohm stay where they are, else the value under the mouse.
        """
        if at.x() < 0 or modifiers & Qt.KeyboardModifier.ControlModifier:
            scale = self._quantity.scale
            still = self._screen.y_value(at.y()) if scale.anchor is None else scale.anchor
            bottom, top = self._span
            self._span = scale.clamped(
                (still - (still - bottom) / factor, still + (top - still) / factor)
            )
            self._show_x(self._screen.left, self._screen.right)
        else:
            self._zoom_at(at, factor)

    def _pan_by(self, way: QPointF) -> None:
        self._show_x(*self._screen.shifted(-way.x()))

    # Showing

    def _name_quantity(self) -> None:
        self.setAccessibleName(f"{self._quantity.title} over frequency")
        self._axes.set_quantity(self._quantity)

    def _use_font(self) -> None:
        for part in (
            self._handles,
            self._flags,
            self._marker,
            self._corner_text,
            self._shading_text,
        ):
            part.set_font(self.font())
        self._axes.set_font(self.font(), self._quantity)

    def _show_quantity(self, quantity: Quantity) -> None:
        """Plot another quantity; of the same frequencies, where it has the same axis."""
        was_scaled = self._quantity.is_scaled
        bench = self._document.bench
        self._viewed = None
        self._plot(quantity, bench)
        if needs_bench(quantity):
            self._look_again(bench)
        self._name_quantity()
        screen = self._screen
        if quantity.is_scaled != was_scaled:
            self._matches.set_marks(())
        if quantity.is_scaled == was_scaled:
            self._span = self._fitting(screen.left, screen.right)
            self._show_x(screen.left, screen.right)
        else:
            self.zoom_to_fit()
        # The ranges may be the same as before while the numbers differ.
        self._screen_changed()
        self._curves_changed()
        self._place_marker()
        if self._focused not in self._parts:
            self._focus_on(None)
        self._describe()

    def _look_again(self, bench: Bench) -> bool:
        """Follow reference, planes and best matches, for a quantity that depends on them."""
        chosen = self._view_state.quantity
        if not needs_bench(chosen):
            return False
        now = viewed(bench, self._document.analyses, chosen, self._viewed)
        if now is self._viewed:
            return False
        self._viewed = now
        self._plot(now.quantity, bench)
        return True

    def _plot(self, quantity: Quantity, bench: Bench) -> None:
        self._quantity = quantity
        self._gestures.set_quantity(quantity)
        for layer in (self._layer, self._envelopes, self._means):
            layer.set_quantity(quantity)
        drawn = None if self._viewed is None else self._viewed.drawn
        self._curves.set_projection(QuantityProjection(quantity, self._is_log), bench, drawn)

    def _screen_changed(self) -> None:
        screen = self._screen
        size = QSizeF(screen.width, screen.height)
        self._axes.show(screen, self._quantity)
        for layer in (self._layer, self._envelopes, self._means):
            layer.set_screen(screen)
            layer.set_size(size)
        self._matches.set_screen(screen)
        self._corner_text.set_screen(screen)
        self._shading_text.set_screen(screen)
        self._show_band(self._document.bench)
        self._show_limit()
        self._show_markers(self._document.bench)

    def _show_matches(self) -> None:
        """Mark the best matches, as far as they are known; with all aligned there is only one."""
        is_shown = not self._quantity.is_scaled
        known = self._document.knowledge
        self._matches.set_marks(marks_of(self._document.bench, known) if is_shown else ())

    def _groups_changed(self) -> None:
        self._envelopes.renew()
        self._means.renew()

    def _shading_changed(self) -> None:
        self._curves_changed()

    def _curves_changed(self) -> None:
        self._layer.renew()
        quantity = self._quantity
        lines = []
        if quantity.above_one and any(
            above_one_points(curve.analysis).size for curve in self._curves
        ):
            sign = "" if quantity.exists_above_one else "▲ "
            lines.append(f"{sign}|Γ| above 1: {quantity.above_one}")
        if quantity.of_magnitude and any(
            off_scale_points(curve.analysis).size for curve in self._curves
        ):
            lines.append("▲ beyond the meter's scale")
        missing = len(self._document.bench.visible) - len(self._curves)
        if self._viewed is not None:
            lines += self._viewed.remarks(self._document.bench)
        elif missing and quantity.needs_phase:
            what = "1 sweep is" if missing == 1 else f"{missing} sweeps are"
            lines.append(f"no phase measured: {what} not shown here")
        self._corner_text.set_lines(tuple(lines))
        kinds = {
            curve.points.kind
            for curve in self._curves.shaded
            if curve.points is not None and quantity.can_shade(curve.points, curve.beside)
        }
        self._shading_text.set_lines(
            tuple(text for kind, text in SHADINGS.items() if kind in kinds)
        )

    def _bench_parts_changed(self, old: Bench, new: Bench) -> None:
        if old.band != new.band:
            self._show_band(new)
            if not self._curves and self._is_fitted:
                self._fit()
        if old.limit_swr != new.limit_swr:
            self._show_limit()
        if _matches_differ(old, new):
            self._matches.set_marks(())
        if old.markers is not new.markers:
            self._show_markers(new)
        if self._focused is not None:
            self._describe()

    def _restyle(self, theme: Theme) -> None:
        self._axes.set_theme(theme)
        for layer in (self._layer, self._envelopes, self._means):
            layer.set_theme(theme)
        self._handles.set_theme(theme)
        self._matches.set_theme(theme)
        self._flags.set_theme(theme)
        self._corner_text.set_theme(theme)
        self._shading_text.set_theme(theme)

    def _shown_hz(self) -> tuple[float, float]:
        return self._screen.left, self._screen.right

    def _frequency_at(self, at: QPointF) -> float | None:
        if self._quantity.is_scaled:
            return None
        step_hz = round_step(self._screen.value_a_pixel(at.x()))
        return max(round_to(self._screen.x_value(at.x()), step_hz), 1.0)

    def _readout(self, hover: Hover) -> tuple[str, ...]:
        curve = self._curves.find(hover)
        if curve is None:
            return ()
        at_hz = float(curve.analysis.frequency_hz[hover.index])
        text = self._quantity.text_at(curve.analysis, hover.index)
        if self._quantity.is_scaled:
            return f"{100 * at_hz / MATCH_HZ:.2f} % of its best match", text
        where = f"{edge_text(at_hz)} MHz"
        return (f"{where}, {text}",) if self._viewed is None else (where, text)


def _matches_differ(old: Bench, new: Bench) -> bool:
    """Whether what is known of the best matches is of another state."""
    return (
        old.entries is not new.entries
        or old.band != new.band
        or old.limit_swr != new.limit_swr
        or old.z0_ohm != new.z0_ohm
        or old.instruments is not new.instruments
    )
