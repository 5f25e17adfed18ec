"""The Smith chart with the sweeps in the reflection plane; the part in the band stands out."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np
from PySide6.QtCore import QPointF, QSizeF
from PySide6.QtGui import QFont

from fairlead.app.plots.corner_text import CornerText
from fairlead.app.plots.curve_layer import PaleCurveLayer
from fairlead.app.plots.group_layer import SmithGroupLayer
from fairlead.app.plots.in_band_layer import InBandLayer
from fairlead.app.plots.line_handle import edge_text
from fairlead.app.plots.marker_points import MarkerPoints
from fairlead.app.plots.match_path import MatchPathLayer
from fairlead.app.plots.plot_frame import PlotFrame
from fairlead.app.plots.projection import SmithProjection
from fairlead.app.plots.smith_grid import SmithGrid, SwrCircle
from fairlead.core.advice.radio import RADIO_OHM
from fairlead.core.reflection import renormalise
from fairlead.core.smith import swr_circle
from fairlead.core.views import smith

if TYPE_CHECKING:
    from PySide6.QtWidgets import QWidget

    from fairlead.app.document.document import Document
    from fairlead.app.document.view_state import Hover, ViewState
    from fairlead.app.look.palette import Theme
    from fairlead.core.document.bench import Bench
    from fairlead.core.uncertainty.point_range import PointRange

# Room for the numbers around the rim.
_RIM_MARGIN_PX = 40.0
_CORNER_TEXT_TOP_PX = 6.0
_LARGEST_RADIUS = 1.6
# Beyond this there is little to gain by leaving the rim out.
_NEARLY_WHOLE = 0.75
_AROUND = 1.12
_SMALLEST_HALF = 0.002
_LARGEST_HALF = 4.0
_SMALLEST_BAND_HALF = 0.03
_CAUSES = {"accuracy": "", "repeatability": ", noise alone", "picture": ", read off a picture"}


class SmithPlot(PlotFrame):
    """Sweeps with phase on a Smith chart normalised to the bench's reference impedance."""

    def __init__(
        self, document: Document, view_state: ViewState, parent: QWidget | None = None
    ) -> None:
        projection = SmithProjection()
        super().__init__(document, view_state, projection, parent)
        self.setAccessibleName(smith.TITLE)
        self.setAccessibleDescription(
            "Reflection coefficient of the sweeps; the part in the band is drawn thicker. Drag "
            "to shift, turn the wheel to zoom, double click to see everything. Left and Right read "
            "point after point, Up and Down change the sweep."
        )
        for name in ("left", "bottom"):
            self._item.hideAxis(name)
        self._item.layout.setContentsMargins(0, 0, 0, 0)
        self._box.setAspectLocked(lock=True)

        self._grid = SmithGrid(self._box)
        self._circle = SwrCircle(self._box)
        self._circle.setZValue(10)
        self._members = SmithGroupLayer(self._groups, "envelope", self._box)
        self._members.setZValue(15)
        self._means = SmithGroupLayer(self._groups, "mean", self._box)
        self._means.setZValue(35)
        self._pale = PaleCurveLayer(self._curves, self._box)
        self._pale.setZValue(20)
        self._in_band = InBandLayer(self._curves, projection, self._box)
        self._in_band.setZValue(30)
        self._path = MatchPathLayer(self._box)
        self._path.setZValue(45)
        self._points = MarkerPoints(self._box)
        self._points.setZValue(36)
        self._corner_text = CornerText(self._box, top=_CORNER_TEXT_TOP_PX)
        self._corner_text.setZValue(40)
        self._scale_text = CornerText(self._box)
        self._scale_text.setZValue(40)
        self._start()
        self._say(document.bench)
        self._show_path()
        view_state.match_path_changed.connect(self._show_path)

    def _use_font(self) -> None:
        for part in (self._grid, self._circle, self._corner_text, self._scale_text):
            part.set_font(self._small_font())
        self._path.set_font(self._small_font())
        self._marker.set_font(self.font())

    def _small_font(self) -> QFont:
        font = QFont(self.font())
        font.setPointSizeF(max(font.pointSizeF() - 1, 7.0))
        return font

    # Zoom

    def zoom_to_band(self) -> None:
        """Show the part of the curves that lies in the band."""
        bench = self._document.bench
        parts = []
        for curve in self._curves:
            grid_hz = curve.analysis.frequency_hz
            inside = slice(*np.searchsorted(grid_hz, (bench.band.low_hz, bench.band.high_hz)))
            if curve.analysis.reflection is not None:
                parts.append(curve.analysis.reflection[inside])
        gamma = np.concatenate(parts) if parts else np.empty(0, dtype=np.complex128)
        if not gamma.size:
            return
        self._is_fitted = False
        low, high = (
            complex(gamma.real.min(), gamma.imag.min()),
            complex(gamma.real.max(), gamma.imag.max()),
        )
        half = 0.5 * max(high.real - low.real, high.imag - low.imag)
        self._show_around((low + high) / 2, max(1.25 * half, _SMALLEST_BAND_HALF))

    def _fit(self) -> None:
        """Show the curves and the circle of the limit around the centre; all where that is most."""
        radius = self._seen_radius()
        if not self._curves or radius > _NEARLY_WHOLE:
            self._show_whole(radius)
        else:
            self._show_around(0j, radius * _AROUND)

    def show_whole_chart(self) -> None:
        """Show the chart to its rim, and the numbers around it."""
        self._is_fitted = False
        self._show_whole(self._seen_radius())

    def _seen_radius(self) -> float:
        """The largest |reflection| that is drawn."""
        found = [float(np.sqrt(curve.analysis.power.max())) for curve in self._curves]
        return max([swr_circle(self._document.bench.limit_swr).radius, *found])

    def _fits_limit(self, limit_swr: float) -> bool:
        """Whether the circle of a limit is in view; the view stays where it is, if so."""
        return swr_circle(limit_swr).radius < self._view_square()[1]

    def _show_whole(self, radius: float) -> None:
        size = self._box.size()
        shorter = max(min(size.width(), size.height()), 4 * _RIM_MARGIN_PX)
        radius = min(max(radius, 1.0), _LARGEST_RADIUS)
        self._show_around(0j, radius * shorter / (shorter - 2 * _RIM_MARGIN_PX))

    def _show_around(self, centre: complex, half: float) -> None:
        """Show at least a square; the longer side of the plot shows more."""
        size = self._box.size()
        width, height = max(size.width(), 1.0), max(size.height(), 1.0)
        shorter = min(width, height)
        half = min(max(half, _SMALLEST_HALF), _LARGEST_HALF)
        # Some of the chart stays in sight, so that the user does not get lost.
        x = min(max(centre.real, -1 - 0.8 * half), 1 + 0.8 * half)
        y = min(max(centre.imag, -1 - 0.8 * half), 1 + 0.8 * half)
        half_x, half_y = half * width / shorter, half * height / shorter
        self._show_ranges((x - half_x, x + half_x), (y - half_y, y + half_y))

    def _view_square(self) -> tuple[complex, float]:
        screen = self._screen
        centre = complex((screen.left + screen.right) / 2, (screen.bottom + screen.top) / 2)
        return centre, min(screen.width, screen.height) / 2 / screen.y_scale

    def _zoom_at(self, at: QPointF, factor: float) -> None:
        centre, half = self._view_square()
        new_half = min(max(half / factor, _SMALLEST_HALF), _LARGEST_HALF)
        spot = complex(self._screen.x_value(at.x()), self._screen.y_value(at.y()))
        self._show_around(spot + (centre - spot) * (new_half / half), new_half)

    def _pan_by(self, way: QPointF) -> None:
        centre, half = self._view_square()
        scale = self._screen.y_scale
        self._show_around(centre - complex(way.x(), -way.y()) / scale, half)

    # Showing

    def _screen_changed(self) -> None:
        screen, bench = self._screen, self._document.bench
        size = QSizeF(screen.width, screen.height)
        for layer in (self._grid, self._circle, self._pale, self._in_band, self._path):
            layer.set_size(size)
        self._points.set_size(size)
        self._points.set_screen(screen)
        self._path.set_screen(screen)
        self._scale_text.set_screen(screen)
        self._grid.set_view(screen, bench.z0_ohm, self._scale_text.area)
        self._circle.set_view(screen, bench.limit_swr)
        for groups in (self._members, self._means):
            groups.set_screen(screen)
            groups.set_size(size)
        self._in_band.set_screen(screen)
        self._in_band.set_band(bench.band)
        self._corner_text.set_screen(screen)

    def _curves_changed(self) -> None:
        self._pale.renew()
        self._in_band.renew()
        self._show_points()

    def _curves_moved(self) -> None:
        # The chart shows no frequencies: only what lies in the band is another part.
        self._in_band.follow()
        self._show_points()

    def _show_points(self) -> None:
        markers = self._document.bench.markers
        self._points.show_markers(markers, self._curves if markers else ())

    def _groups_changed(self) -> None:
        self._members.renew()
        self._means.renew()

    def _bench_parts_changed(self, old: Bench, new: Bench) -> None:
        if old.band != new.band:
            self._in_band.set_band(new.band)
        if old.markers is not new.markers:
            self._show_points()
        if old.limit_swr != new.limit_swr:
            if self._is_fitted and not self._fits_limit(new.limit_swr):
                self._fit()
            self._circle.set_view(self._screen, new.limit_swr)
        if old.z0_ohm != new.z0_ohm:
            self._show_path()
        if old.entries is not new.entries or old.z0_ohm != new.z0_ohm:
            self._say(new)
        if old.z0_ohm != new.z0_ohm:
            self._grid.set_view(self._screen, new.z0_ohm, self._scale_text.area)

    def _error_at(self, hover: Hover, points: PointRange) -> tuple[float, tuple[str, ...]]:
        radius = points.radius(hover.index)
        cause = _CAUSES[points.kind]
        # The number too: a small disc is hidden behind the ring.
        return radius * self._screen.y_scale, (f"Γ ± {radius:.2g}{cause}",)

    def _restyle(self, theme: Theme) -> None:
        for layer in (self._grid, self._circle, self._pale, self._in_band, self._path):
            layer.set_theme(theme)
        self._points.set_theme(theme)
        for groups in (self._members, self._means):
            groups.set_theme(theme)
        self._corner_text.set_theme(theme)
        self._scale_text.set_theme(theme)

    def _show_path(self) -> None:
        """The way of the network, which is designed for 50 ohm, at the bench's impedance."""
        z0_ohm = self._document.bench.z0_ohm
        path = self._view_state.match_path
        self._path.set_path(tuple(renormalise(part, RADIO_OHM, z0_ohm) for part in path))

    def _say(self, bench: Bench) -> None:
        self._scale_text.set_lines((smith.centre_text(bench.z0_ohm),))
        self._corner_text.set_lines(
            tuple(
                f"no phase measured: {entry.label}"
                for entry in bench.visible
                if not entry.sweep.has_phase
            )
        )

    def _readout(self, hover: Hover) -> tuple[str, ...]:
        entry = self._document.bench.entry(hover.key)
        analysis = self._document.analyses.of(entry.sweep, self._document.bench.z0_ohm)
        frequency = f"{edge_text(float(analysis.frequency_hz[hover.index]))} MHz"
        impedance = smith.point_text(analysis, hover.index)
        return (frequency, impedance) if impedance else (frequency,)
