"""The curves that a plot shows, how strongly, and their lines in pixels."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from fairlead.app.document.view_state import Hover
from fairlead.app.drawing.marks import FEW_POINTS, MOST_SHADED
from fairlead.app.plots.prepared import take_weights, weights_of
from fairlead.core.comparison.knowledge import NOTHING_KNOWN
from fairlead.core.comparison.viewed import compared_with
from fairlead.core.views.points import in_gap

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

    from fairlead.app.drawing.screen_map import ScreenMap
    from fairlead.app.plots.projection import Projection
    from fairlead.app.plots.screen_line import ScreenLine
    from fairlead.app.plots.simplify import WeightArray
    from fairlead.core.analysis.analyses import Analyses
    from fairlead.core.analysis.analysis import Analysis
    from fairlead.core.arrays import FloatArray, IntArray
    from fairlead.core.comparison.knowledge import Knowledge
    from fairlead.core.document.bench import Bench
    from fairlead.core.document.entry import Entry, Style
    from fairlead.core.uncertainty.point_range import PointRange

# A line may miss a point by this much without anyone noticing.
FINE_PX = 0.5
COARSE_PX = 1.0
# Antialiasing this many pieces takes about 10 ms; with more, motion is not smooth.
_HASTY_FROM = 2000


@dataclass(frozen=True, slots=True, eq=False)
class Curve:
    """One visible sweep.

    Attributes
    ----------
    key : int
    analysis : Analysis
        At the bench's reference impedance.
    style : Style
    order : int
        Place among the entries.
    is_reference, is_selected, is_faded : bool
        Drawn slightly heavier; heavier still; paler, because others are selected.
    points : PointRange or None
        How far each point may be off; None where it is unknown or not shown.
    beside : PointRange or None
        Likewise of the reference, where the sweep is compared with it.
    """

    key: int
    analysis: Analysis
    style: Style
    order: int
    is_reference: bool
    is_selected: bool
    is_faded: bool
    points: PointRange | None
    beside: PointRange | None

    @property
    def extra_width(self) -> float:
        """How much wider than usual it is drawn."""
        return 0.8 * self.is_reference + 0.8 * self.is_selected

    @property
    def rank(self) -> tuple[bool, bool]:
        """Later ones are drawn over earlier ones."""
        return self.is_selected, self.is_reference


class CurveSet:
    """The curves of one plot. Lines in pixels are made when first needed."""

    def __init__(self, projection: Projection, analyses: Analyses) -> None:
        self._analyses = analyses
        self._projection = projection
        self._curves: tuple[Curve, ...] = ()
        self._known = NOTHING_KNOWN
        self._drawn: Mapping[int, Analysis] | None = None
        self._weights: dict[int, tuple[Analysis, WeightArray]] = {}
        self._lines: dict[int, ScreenLine] = {}
        self._screen: ScreenMap | None = None
        self._tolerance = FINE_PX
        self._only_moved = False

    def __iter__(self) -> Iterator[Curve]:
        """Every curve, the most prominent last."""
        return iter(self._curves)

    def __len__(self) -> int:
        """Number of curves."""
        return len(self._curves)

    @property
    def is_fine(self) -> bool:
        """Whether the lines are as exact as they get."""
        return self._tolerance == FINE_PX

    @property
    def is_hasty(self) -> bool:
        """Whether the plot is in motion and has too much to draw for smooth edges."""
        if self.is_fine:
            return False
        return sum(self.line(curve).index.size for curve in self._curves) > _HASTY_FROM

    @property
    def only_moved(self) -> bool:
        """Whether the latest update moved curves along the frequency axis and did nothing else."""
        return self._only_moved

    @property
    def shaded(self) -> tuple[Curve, ...]:
        """The curves to shade with an uncertainty: all if they are few, else the prominent ones."""
        known = [curve for curve in self._curves if curve.points is not None]
        if len(known) > MOST_SHADED:
            known = [curve for curve in known if curve.is_selected or curve.is_reference]
        return tuple(known[-MOST_SHADED:])

    def update(
        self, bench: Bench, selection: frozenset[int], known: Knowledge | None = None
    ) -> None:
        """Follow the visible sweeps of a bench; data of unchanged ones are kept.

        Parameters
        ----------
        bench : Bench
        selection : frozenset of int
        known : Knowledge, optional
            The uncertainty of the points; as before if not given.
        """
        if known is not None:
            self._known = known
        curves = []
        for order, entry in enumerate(bench.entries):
            if not entry.is_visible:
                continue
            analysis = self._analysis_of(entry, bench)
            if analysis is not None and self._projection.shows(analysis):
                ready = take_weights(entry.sweep, analysis, self._projection)
                if ready is not None:
                    self._weights[entry.key] = (analysis, ready)
                    self._lines.pop(entry.key, None)
                points = self._known.range_of(bench, entry)
                reference = compared_with(bench, entry)
                beside = None if reference is None else self._known.range_of(bench, reference)
                curves.append(_curve(entry, analysis, order, bench, selection, (points, beside)))
        before = self._curves
        self._curves = tuple(sorted(curves, key=lambda curve: curve.rank))
        self._only_moved = (
            len(before) == len(self._curves)
            and all(map(_is_moved, before, self._curves))
            and any(
                one.analysis is not other.analysis
                for one, other in zip(before, self._curves, strict=True)
            )
        )
        now = {curve.key: curve.analysis for curve in curves}
        for key, (analysis, weights) in list(self._weights.items()):
            after = now.get(key)
            if after is analysis:
                continue
            line = self._lines.pop(key, None)
            if after is not None and after.family is analysis.family:
                # Moved along the frequency axis: the same points matter as much.
                self._weights[key] = (after, weights)
                if line is not None and self._screen is not None:
                    by = after.factor / analysis.factor
                    self._lines[key] = self._projection.moved(line, by, self._screen)
            else:
                del self._weights[key]

    def set_projection(
        self,
        projection: Projection,
        bench: Bench,
        drawn: Mapping[int, Analysis] | None = None,
    ) -> None:
        """Show the sweeps in another projection; the selection stays.

        ``drawn`` says by key which analyses are drawn, if not those of the sweeps themselves.
        """
        selection = frozenset(curve.key for curve in self._curves if curve.is_selected)
        self._projection, self._drawn = projection, drawn
        self._weights.clear()
        self._lines.clear()
        self.update(bench, selection)

    def set_screen(self, screen: ScreenMap, *, is_fine: bool) -> None:
        """Show other ranges, or the same ones more exactly."""
        tolerance = FINE_PX if is_fine else COARSE_PX
        if screen != self._screen or tolerance != self._tolerance:
            self._screen, self._tolerance = screen, tolerance
            self._lines.clear()

    def line(self, curve: Curve) -> ScreenLine:
        """A curve's line in pixels."""
        line = self._lines.get(curve.key)
        if line is None:
            line = self._projection.line(
                curve.analysis, self._weights_of(curve), self._known_screen, self._tolerance
            )
            self._lines[curve.key] = line
        return line

    def marks(self, curve: Curve) -> IntArray:
        """Points of a curve that get a marker."""
        if curve.analysis.power.size < FEW_POINTS:
            marks = np.arange(curve.analysis.power.size)
        else:
            marks = self._projection.marks(
                curve.analysis, self.line(curve), self._known_screen, curve.order
            )
        outliers = curve.analysis.outliers
        return marks if not outliers.size else marks[~(marks[:, None] == outliers).any(axis=1)]

    def gaps(self, curve: Curve) -> list[tuple[float, float]]:
        """Where on a curve's line the points are too far apart: start and end, as in `stroke`."""
        gaps = curve.analysis.gaps
        if not gaps:
            return []
        line, screen = self.line(curve), self._known_screen
        return [
            (
                self._projection.position(curve.analysis, line, screen, low_hz),
                self._projection.position(curve.analysis, line, screen, high_hz),
            )
            for low_hz, high_hz in gaps
        ]

    def pixel(self, curve: Curve, index: int) -> tuple[float, float]:
        """Position of a point; NaN where it does not exist in this plot."""
        x, y = self.pixels(curve, np.array([index]))
        return float(x[0]), float(y[0])

    def pixels(self, curve: Curve, index: IntArray) -> tuple[FloatArray, FloatArray]:
        """Positions of points, x and y of shape (k,); y is NaN where one does not exist."""
        return self._projection.points(curve.analysis, index, self._known_screen)

    def find(self, hover: Hover | None) -> Curve | None:
        """The hovered curve, if it is shown and has that point."""
        for curve in self._curves:
            if hover is not None and curve.key == hover.key:
                return curve if hover.index < curve.analysis.power.size else None
        return None

    def nearest(self, x: float, y: float, radius: float) -> Hover | None:
        """The point nearest to a pixel, of a curve or off it; None if none is within the radius."""
        best, found = radius, None
        off: Hover | None = None
        for curve in self._curves:
            line = self.line(curve)
            distance, piece = line.distance(x, y)
            # On a tie the curve that is drawn on top is meant.
            if distance <= best:
                best, found = distance, (curve, int(line.index[piece]), int(line.index[piece + 1]))
                off = None
            if curve.analysis.outliers.size:
                at_x, at_y = self.pixels(curve, curve.analysis.outliers)
                away = np.nan_to_num(np.hypot(at_x - x, at_y - y), nan=np.inf)
                if away.min() < best:
                    best = float(away.min())
                    off = Hover(curve.key, int(curve.analysis.outliers[away.argmin()]))
        if off is not None or found is None:
            return off
        curve, first, last = found
        at_x, at_y = self.pixels(curve, np.arange(first, last + 1))
        away = np.hypot(at_x - x, at_y - y)
        index = int(np.nanargmin(away))
        beside = [i for i in (index - 1, index + 1) if 0 <= i < away.size]
        other = min(beside, key=lambda i: away[i] if away[i] == away[i] else np.inf)
        ends_hz = curve.analysis.frequency_hz[[first + index, first + other]]
        return Hover(curve.key, first + index, bool(in_gap(curve.analysis, ends_hz)[0]))

    def _analysis_of(self, entry: Entry, bench: Bench) -> Analysis | None:
        if self._drawn is None:
            return self._analyses.of(entry.sweep, bench.z0_ohm)
        return self._drawn.get(entry.key)

    @property
    def _known_screen(self) -> ScreenMap:
        if self._screen is None:
            raise RuntimeError("the curves have no screen yet")
        return self._screen

    def _weights_of(self, curve: Curve) -> WeightArray:
        if curve.key not in self._weights:
            self._weights[curve.key] = (
                curve.analysis,
                weights_of(self._projection, curve.analysis),
            )
        return self._weights[curve.key][1]


def _curve(
    entry: Entry,
    analysis: Analysis,
    order: int,
    bench: Bench,
    selection: frozenset[int],
    ranges: tuple[PointRange | None, PointRange | None],
) -> Curve:
    is_selected = entry.key in selection
    return Curve(
        key=entry.key,
        analysis=analysis,
        style=entry.drawn_style,
        order=order,
        is_reference=entry.key == bench.reference_key,
        is_selected=is_selected,
        is_faded=bool(selection) and not is_selected,
        points=ranges[0],
        beside=ranges[1],
    )


def _is_moved(before: Curve, after: Curve) -> bool:
    """Whether a curve is the other one, or that moved along the frequency axis."""
    return (
        after.analysis.family is before.analysis.family
        and (after.key, after.order, after.style) == (before.key, before.order, before.style)
        and (after.extra_width, after.is_faded) == (before.extra_width, before.is_faded)
    )
