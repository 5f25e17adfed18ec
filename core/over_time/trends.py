"""Trends of the figures of a bench's rows over the dates of their sweeps."""

from __future__ import annotations

import math
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

import numpy as np

from fairlead.core.document.groups import mixture
from fairlead.core.figure_table import FIGURES
from fairlead.core.group_table import figure_value
from fairlead.core.over_time.beside import numbers_of, quantities
from fairlead.core.over_time.line import OUTLIER, Slope, fitted_line, studentised
from fairlead.core.over_time.when import TimeUnit, day_of, time_unit

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from fairlead.core.arrays import FloatArray
    from fairlead.core.comparison.rows import Row
    from fairlead.core.figure_table import FigureSpec
    from fairlead.core.over_time.beside import Beside
    from fairlead.core.over_time.line import FittedLine
    from fairlead.core.uncertainty.interval import Interval

_NO_DATES = "no sweep states its date; note it in the details of the sweeps"
_OTHER_IMPEDANCE = "the sweeps are stated at different reference impedances"
_TWO_VALUES = "a trend needs this figure on at least two dates"
_ONE_DATE = "all dates are the same"


@dataclass(frozen=True, slots=True)
class Dated:
    """One value of a figure.

    Attributes
    ----------
    row : Row
    day : float
        Days since 1970.
    value : float
    interval : Interval or None
        What is known of it by itself: its error bar.
    bound : float or None
        The most that the analyzer's error can put it off; None where that is not stated.
    beside : float or None
        What else was noted; None where it was not.
    """

    row: Row
    day: float
    value: float
    interval: Interval | None
    bound: float | None
    beside: float | None


@dataclass(frozen=True, slots=True)
class Trend:
    """A figure over time.

    Attributes
    ----------
    points : tuple of Dated
        In the order of their dates; all of them, marked ones too.
    line : FittedLine or None
        Over days; None with `why_not`.
    residuals : tuple of float or None
        Studentised; None where there are too few.
    marked : frozenset of int
        Keys of the entries that stand out. They are never dropped.
    others : FittedLine or None
        The line through all but the marked ones, for comparison; None where none is marked.
    held : FittedLine or None
        Over days and the quantity beside them: its first slope is that over time while the other
        stays as it is. None where too few state it, or where it goes with the date exactly.
    alike : float or None
        Correlation of the date with that quantity.
    why_not : str
    """

    points: tuple[Dated, ...]
    line: FittedLine | None = None
    residuals: tuple[float | None, ...] = ()
    marked: frozenset[int] = frozenset()
    others: FittedLine | None = None
    held: FittedLine | None = None
    alike: float | None = None
    why_not: str = ""

    @property
    def slope(self) -> Slope | None:
        """Over a day."""
        return None if self.line is None else self.line.slopes[0]

    @property
    def days(self) -> FloatArray:
        """The dates as places of the line, shape (n, 1)."""
        return _column(self.points)


@dataclass(frozen=True, slots=True)
class OverTime:
    """What some sweeps do over time.

    Attributes
    ----------
    rows : tuple of Row
        Those with a date, in its order.
    undated : tuple of Row
        Without a date, left out.
    unclear : tuple of Row
        With something for a date that is none in ISO 8601, left out.
    beside : Beside or None
        What the trends are read beside.
    unit : TimeUnit
        In which they are told.
    trends : mapping of str to Trend
        By the figure's JSON key; empty with `why_not`.
    why_not : str
        Why there are no trends at all.
    """

    rows: tuple[Row, ...]
    undated: tuple[Row, ...]
    unclear: tuple[Row, ...]
    beside: Beside | None
    unit: TimeUnit
    trends: Mapping[str, Trend] = field(default_factory=dict)
    why_not: str = ""


def trend_specs() -> tuple[FigureSpec, ...]:
    """The figures that have a trend: those that a sweep has by itself."""
    return tuple(spec for spec in FIGURES if spec.worst is not None and not spec.is_change)


def over_time(rows: Sequence[Row], beside: Beside | None = None) -> OverTime:
    """The trends of some sweeps' figures.

    Parameters
    ----------
    rows : sequence of Row
        Of one antenna, in any order, with their intervals.
    beside : Beside, optional
        What else they state, see `choices_beside`.
    """
    days = {row.entry.key: day_of(row.entry.circumstances.taken_at) for row in rows}
    dated = [row for row in rows if days[row.entry.key] is not None]
    dated.sort(key=lambda row: (days[row.entry.key] or 0.0, row.entry.key))
    lost = [row for row in rows if days[row.entry.key] is None]
    undated = tuple(row for row in lost if not row.entry.circumstances.taken_at.strip())
    unclear = tuple(row for row in lost if row.entry.circumstances.taken_at.strip())
    ordered = [days[row.entry.key] or 0.0 for row in dated]
    unit = time_unit(ordered[-1] - ordered[0] if ordered else 0.0)
    problem = _problem(dated)
    trends = {}
    if not problem:
        for spec in trend_specs():
            points = [
                one
                for row, day in zip(dated, ordered, strict=True)
                if (one := _dated(spec, row, day, beside)) is not None
            ]
            trends[spec.key] = trend_of(points)
    return OverTime(tuple(dated), undated, unclear, beside, unit, trends, problem)


def choices_beside(rows: Sequence[Row]) -> tuple[Beside, ...]:
    """What dated sweeps state beside their figures."""
    return quantities(
        [row.entry for row in rows if day_of(row.entry.circumstances.taken_at) is not None]
    )


def _problem(dated: Sequence[Row]) -> str:
    if not dated:
        return _NO_DATES
    if len({row.figures.z0_ohm for row in dated}) > 1:
        return _OTHER_IMPEDANCE
    return mixture([row.entry for row in dated], conditions_may_differ=True)


def _dated(spec: FigureSpec, row: Row, day: float, beside: Beside | None) -> Dated | None:
    value = figure_value(spec, row)
    # A lower bound is no value, and neither is an infinite one.
    if value is None or math.isinf(value) or spec.key in row.figures.at_least:
        return None
    known = row.intervals.get(spec.key)
    accuracy = None if known is None else known.accuracy
    bound = None if accuracy is None else max(accuracy.high - value, value - accuracy.low)
    noted = None if beside is None else numbers_of(row.entry).get(beside)
    return Dated(row, day, value, None if known is None else known.widest, bound, noted)


def trend_of(points: Sequence[Dated]) -> Trend:
    """The trend of one figure; its points in the order of their dates."""
    points = tuple(points)
    if len(points) < 2:
        return Trend(points, why_not=_TWO_VALUES)
    line = fitted_line(_column(points), _values(points), _bounds(points))
    if line is None:
        return Trend(points, why_not=_ONE_DATE)
    residuals = studentised(line)
    held, alike = _beside(points)
    marked = frozenset(
        one.row.entry.key
        for one, residual in zip(points, residuals, strict=True)
        if residual is not None and abs(residual) > OUTLIER
    )
    others = [one for one in points if one.row.entry.key not in marked]
    return Trend(
        points=points,
        line=line,
        residuals=residuals,
        marked=marked,
        others=fitted_line(_column(others), _values(others), _bounds(others)) if marked else None,
        held=held,
        alike=alike,
    )


def _beside(points: Sequence[Dated]) -> tuple[FittedLine | None, float | None]:
    """The line over days and what was noted beside them, and how alike the two are."""
    known = [one for one in points if one.beside is not None]
    noted = np.array([one.beside for one in known], float)
    days = _column(known)[:, 0] if known else np.empty(0)
    if len(known) < 3 or np.ptp(noted) == 0 or np.ptp(days) == 0:
        return None, None
    alike = float(np.corrcoef(days, noted)[0, 1])
    places = np.column_stack([days, noted])
    return fitted_line(places, _values(known), _bounds(known)), alike


def _column(points: Sequence[Dated]) -> FloatArray:
    return np.array([[one.day] for one in points])


def _values(points: Sequence[Dated]) -> FloatArray:
    return np.array([one.value for one in points])


def _bounds(points: Sequence[Dated]) -> FloatArray | None:
    """The bounds, if all of them are stated."""
    found = [one.bound for one in points if one.bound is not None]
    return np.array(found) if len(found) == len(points) else None
