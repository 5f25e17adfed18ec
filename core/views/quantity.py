"""What can be plotted over frequency: a quantity with its values, axis, limit and texts."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from fairlead.core.views.points import Sample, above_one_points, off_scale_points

if TYPE_CHECKING:
    from collections.abc import Callable

    from fairlead.core.analysis.analysis import Analysis
    from fairlead.core.arrays import BoolArray, ComplexArray, FloatArray, IntArray
    from fairlead.core.uncertainty.point_range import PointRange
    from fairlead.core.views.points import Points
    from fairlead.core.views.scale import Scale, Span


@dataclass(frozen=True, slots=True, eq=False)
class Limit:
    """The SWR limit as a limit of another quantity, and back.

    Attributes
    ----------
    value : callable
        The quantity's value for an SWR.
    swr : callable
        The SWR for a value.
    text : callable
        A value as a label.
    """

    value: Callable[[float], float]
    swr: Callable[[float], float]
    text: Callable[[float], str]


@dataclass(frozen=True, slots=True, eq=False)
class Quantity:
    """One quantity over frequency. Compared by identity; the registry has one of each.

    Attributes
    ----------
    id : str
        For commands and files.
    title : str
        Beside the axis and in menus.
    menu : str
        The title with ``&`` before its shortcut letter.
    unit : str
        May be empty.
    hint : str
        One sentence that says what it is.
    needs_phase : bool
        Whether it does not exist for a sweep without phase.
    values : callable
        Values of points, shape (n,): NaN where there is none; may be infinite.
    scale : Scale
    text : callable
        A value as text with name and unit; a dash for NaN.
    specimen : str
        The widest usual text.
    limit : Limit or None
        None if an SWR limit cannot be shown for it.
    above_one : str
        A remark for points with |reflection| above 1; may be empty.
    exists_above_one : bool
        Whether it has values there; if not, a mark is shown at the border of the plot.
    period : float or None
        Values that differ by it are the same; no line joins one end to the other.
    of_magnitude : callable or None
        Value from |reflection|, any shape, for a quantity that depends on nothing else. The
        analyzer's error, of known size but unknown phase, is then a band around the curve.
    of_disc : callable or None
        Lowest and highest value, shape (k,) each, for a reflection that is anywhere in a disc, from
        its centre and radius, shape (k,) each, and the reference impedance in ohm: for a quantity
        that depends on the phase too.
    is_falling : bool
        Whether the value of ``of_magnitude`` falls while |reflection| rises.
    keys : tuple of str
        Keyboard shortcuts of its command.
    against : callable or None
        Makes the quantity that compares with the reference, from the reference's analysis; without
        a reference there are no values. None for a quantity of a single sweep.
    of_two : callable or None
        For a change bound to its reference: how far its values may lie to either side, from an
        analysis, what its points and those of the reference may be off, and indices of points,
        shape (k,). Lowest and highest value, shape (k,) each.
    is_scaled : bool
        Whether each frequency is divided by the sweep's own best match, see `scaled_to_match`.
    """

    id: str
    title: str
    menu: str
    unit: str
    hint: str
    needs_phase: bool
    values: Callable[[Points], FloatArray]
    scale: Scale
    text: Callable[[float], str]
    specimen: str
    limit: Limit | None = None
    above_one: str = ""
    exists_above_one: bool = True
    period: float | None = None
    of_magnitude: Callable[[FloatArray], FloatArray] | None = None
    of_disc: Callable[[ComplexArray, FloatArray, float], tuple[FloatArray, FloatArray]] | None = (
        None
    )
    is_falling: bool = False
    keys: tuple[str, ...] = ()
    against: Callable[[Analysis], Quantity] | None = None
    of_two: (
        Callable[[Analysis, PointRange, PointRange, IntArray], tuple[FloatArray, FloatArray]] | None
    ) = None
    is_scaled: bool = False

    @property
    def frequency_title(self) -> str:
        """Title of the frequency axis, with its unit."""
        return "Frequency / best match (%)" if self.is_scaled else "Frequency (MHz)"

    @property
    def axis_title(self) -> str:
        """Title and unit."""
        return f"{self.title} ({self.unit})" if self.unit else self.title

    def occurs_in(self, analysis: Analysis) -> bool:
        """Whether a sweep can be drawn at all."""
        return not self.needs_phase or analysis.reflection is not None

    def positions(self, points: Points) -> FloatArray:
        """Positions of the values on the axis, shape (n,); NaN where there is none."""
        return self.scale.positions(self.values(points))

    def edge_points(self, points: Points) -> IntArray:
        """Indices of the points with a mark at the edge of the plot instead of a position in it.

        These are points above |reflection| = 1, if the quantity does not exist there, and points
        beyond the meter's scale; rising, shape (k,).
        """
        is_scalar = self.of_magnitude is not None and points.is_bound is not None
        found = off_scale_points(points) if is_scalar else np.zeros(0, dtype=np.intp)
        if self.exists_above_one:
            return found
        above = above_one_points(points)
        return np.union1d(above, found) if found.size else above

    def seen(self, points: Points) -> Span | None:
        """Lowest and highest position of points; None where nothing exists.

        Points with |reflection| > 1 and without a value count as infinite.
        """
        found = self.positions(points)
        found = found[np.isfinite(found)]
        if not self.exists_above_one and above_one_points(points).size:
            found = np.append(found, self.scale.positions(np.array([math.inf])))
        return (float(found.min()), float(found.max())) if found.size else None

    def breaks(self, values: FloatArray) -> BoolArray:
        """Whether there is no line between neighbours, shape (n - 1,)."""
        exists = ~np.isnan(values)
        broken: BoolArray = ~(exists[1:] & exists[:-1])
        if self.period is not None:
            with np.errstate(invalid="ignore"):
                broken |= np.abs(np.diff(values)) > self.period / 2
        return broken

    def text_at(self, analysis: Analysis, index: int) -> str:
        """The value of one measured point as text; a dash if there is none."""
        if not self.occurs_in(analysis):
            return self.text(math.nan)
        if analysis.is_bound is not None and analysis.is_bound[index] and self.of_magnitude:
            least = self.of_magnitude(np.sqrt(analysis.power[index : index + 1]))
            sign = "<" if self.is_falling else ">"
            name, number = self.title, self.text(float(least[0])).removeprefix(self.title).strip()
            return f"{name} {sign} {number}"
        return self.text(float(self.values(Sample.picked(analysis, np.array([index])))[0]))

    def limit_position(self, limit_swr: float) -> float | None:
        """Position of the limit line, or None."""
        if self.limit is None:
            return None
        return float(self.scale.positions(np.array([self.limit.value(limit_swr)]))[0])

    def limit_text(self, limit_swr: float) -> str:
        """The limit as a label; empty if there is none."""
        return "" if self.limit is None else self.limit.text(self.limit.value(limit_swr))

    def shaded(
        self, analysis: Analysis, bound: FloatArray, index: IntArray
    ) -> tuple[FloatArray, FloatArray] | None:
        """The range of possible values at some points.

        Parameters
        ----------
        analysis : Analysis
        bound : FloatArray, shape (n,)
            Largest possible error of the reflection at each measured point.
        index : IntArray, shape (k,)

        Returns
        -------
        tuple of FloatArray or None
            Positions at the smallest and largest |reflection|, shape (k,) each; None if the
            quantity also depends on the phase.
        """
        if self.of_magnitude is None:
            return None
        least, largest = self.extremes(np.sqrt(analysis.power[index]), bound[index])
        return self.scale.positions(least), self.scale.positions(largest)

    def extremes(self, size: FloatArray, error: FloatArray) -> tuple[FloatArray, FloatArray]:
        """Values at the smallest and largest |reflection|, any shape.

        Raises
        ------
        ValueError
            If the quantity also depends on the phase.
        """
        if self.of_magnitude is None:
            raise ValueError(f"{self.title} depends on the phase")
        least, largest = np.maximum(size - error, 0.0), size + error
        if not self.exists_above_one:
            # Up to where it is infinite: there is nothing to shade beyond.
            least, largest = np.minimum(least, 1.0), np.minimum(largest, 1.0)
        return self.of_magnitude(least), self.of_magnitude(largest)

    def can_shade(self, points: PointRange | None, beside: PointRange | None) -> bool:
        """Whether there is a range of possible values.

        A change needs that of the reference, ``beside``, too, and of the same kind: accuracy and
        repeatability are never mixed.
        """
        if points is None or self.of_two is None:
            return points is not None and self.of_magnitude is not None
        return beside is not None and beside.is_accuracy is points.is_accuracy

    def shaded_of(
        self, analysis: Analysis, points: PointRange, beside: PointRange | None, index: IntArray
    ) -> tuple[FloatArray, FloatArray] | None:
        """As `shaded`, for a change with what the points of the reference may be off, too."""
        if self.of_two is None:
            return self.shaded(analysis, points.half, index)
        if beside is None or not self.can_shade(points, beside):
            return None
        found = self.of_two(analysis, points, beside, index)
        return self.scale.positions(found[0]), self.scale.positions(found[1])


def swr_at(quantity: Quantity, position: float) -> float:
    """The SWR limit at a position on an axis that has a limit line."""
    if quantity.limit is None:
        raise ValueError(f"an SWR limit cannot be shown as a limit of {quantity.title}")
    return quantity.limit.swr(quantity.scale.value_at(position))
