"""How values map to an axis. A "position" is where a value is on it, in units of the scale.

The window and the printed picture turn positions into pixels and millimetres; everything else is
decided here, once.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING, Protocol

from fairlead.core.reflection import magnitude_from_swr, swr_of_one

if TYPE_CHECKING:
    from fairlead.core.arrays import FloatArray

Span = tuple[float, float]
"""Positions of the lower and upper end of an axis."""


@dataclass(frozen=True, slots=True)
class Tick:
    """A number beside an axis and its position."""

    position: float
    text: str


class Scale(Protocol):
    """An axis for one kind of value."""

    @property
    def anchor(self) -> float | None:
        """The position that stays fixed in a zoom of the axis; None: the one under the mouse."""

    def positions(self, values: FloatArray) -> FloatArray:
        """Positions of values, shape (n,); NaN where there is none, never infinite."""

    def value_at(self, position: float) -> float:
        """The value at a position."""

    def fit(self, seen: Span | None, limit: float | None, z0_ohm: float, *, near: bool) -> Span:
        """The span to show in the window.

        Parameters
        ----------
        seen : Span or None
            Lowest and highest position of the curves; None if there are none.
        limit : float or None
            Position of the limit line.
        z0_ohm : float
            Reference impedance, as the scale of ordinary impedances.
        near : bool
            For a closer look, as at one band.
        """

    def rounded(self, seen: Span | None, limit: float | None, z0_ohm: float) -> Span:
        """The same for the printed picture, with a number of the axis at both ends."""

    def clamped(self, span: Span) -> Span:
        """A span after a zoom, neither too narrow nor too wide."""

    def ticks(self, span: Span, gap: float) -> list[Tick]:
        """Numbers beside the axis, from the bottom up, at least a gap (a position) apart."""


@dataclass(frozen=True, slots=True)
class Linear:
    """A linear axis.

    Attributes
    ----------
    least : Span
        The smallest span to show, in values.
    most : Span
        The largest span that a fit shows, in values.
    in_z0 : bool
        Whether both are multiples of the reference impedance.
    is_downward : bool
        Whether larger values are lower down.
    steps : tuple of float
        Steps between numbers, rising; empty for 1, 2, 5 times a power of ten.
    anchor : float or None
    widest : float
        The largest span of a zoom, in values.
    """

    least: Span
    most: Span
    in_z0: bool = False
    is_downward: bool = False
    steps: tuple[float, ...] = ()
    anchor: float | None = None
    widest: float = 1e5

    def positions(self, values: FloatArray) -> FloatArray:
        """The values themselves, or their negatives, clipped far beyond any axis."""
        signed = -values if self.is_downward else values
        # Single precision and pens can handle this range; NaN stays.
        result: FloatArray = signed.clip(-_FAR, _FAR)
        return result

    def value_at(self, position: float) -> float:
        """The value at a position."""
        return -position + 0.0 if self.is_downward else position

    def fit(self, seen: Span | None, limit: float | None, z0_ohm: float, *, near: bool) -> Span:
        """All the curves with a margin, within reason."""
        del near
        bottom, top = self._wanted(seen, limit, z0_ohm)
        margin = _MARGIN * (top - bottom)
        return (
            bottom if bottom == self.anchor else bottom - margin,
            top if top == self.anchor else top + margin,
        )

    def rounded(self, seen: Span | None, limit: float | None, z0_ohm: float) -> Span:
        """The same, extended to the next number."""
        bottom, top = self._wanted(seen, limit, z0_ohm)
        step = self._step((top - bottom) / _NUMBERS_ON_PAPER)
        return (
            math.floor(bottom / step + _ROUNDING) * step,
            math.ceil(top / step - _ROUNDING) * step,
        )

    def clamped(self, span: Span) -> Span:
        """A span between a thousandth of the least span and the widest."""
        middle, half = (span[0] + span[1]) / 2, (span[1] - span[0]) / 2
        narrowest = (self.least[1] - self.least[0]) / 1000
        half = min(max(half, narrowest / 2), self.widest / 2)
        if self.anchor is not None and self.anchor in span:
            return (
                (self.anchor - 2 * half, self.anchor)
                if span[1] == self.anchor
                else (self.anchor, self.anchor + 2 * half)
            )
        return middle - half, middle + half

    def ticks(self, span: Span, gap: float) -> list[Tick]:
        """Round numbers."""
        step = self._step(gap)
        first = math.ceil(span[0] / step - _ROUNDING)
        last = math.floor(span[1] / step + _ROUNDING)
        decimals = max(0, -math.floor(math.log10(step) + _ROUNDING))
        ticks = []
        for number in range(first, last + 1):
            value = self.value_at(number * step)
            text = f"{value:.{decimals}f}".replace("-", "−")
            ticks.append(Tick(number * step, text))
        return ticks

    def _wanted(self, seen: Span | None, limit: float | None, z0_ohm: float) -> Span:
        unit = z0_ohm if self.in_z0 else 1.0
        least, most = self._turned(self.least, unit), self._turned(self.most, unit)
        bottom, top = least
        if seen is not None:
            bottom, top = min(bottom, max(seen[0], most[0])), max(top, min(seen[1], most[1]))
        if limit is not None:
            bottom, top = min(bottom, 1.25 * limit), max(top, limit)
        return bottom, top

    def _turned(self, span: Span, unit: float) -> Span:
        if self.is_downward:
            return -span[1] * unit + 0.0, -span[0] * unit + 0.0
        return span[0] * unit, span[1] * unit

    def _step(self, size: float) -> float:
        """The smallest step that is at least a size."""
        for step in self.steps:
            if step >= size * (1 - _ROUNDING):
                return step
        decade = 10.0 ** math.floor(math.log10(size) + _ROUNDING)
        return next(f * decade for f in (1, 2, 5, 10) if f * decade >= size * (1 - _ROUNDING))


@dataclass(frozen=True, slots=True)
class SwrScale:
    """Linear in |G| = (s - 1) / (s + 1), so that 1 to 3 takes half of the axis up to infinity.

    1, 1.5, 2 and 3 are at 0, 0.2, 0.333 and 0.5, infinity at 1.
    """

    anchor: float | None = 0.0

    def positions(self, values: FloatArray) -> FloatArray:
        """|G| of SWR values."""
        result: FloatArray = 1 - 2 / (values + 1)
        return result

    def value_at(self, position: float) -> float:
        """SWR at a position, from 1 upwards; clipped just below infinity."""
        return swr_of_one(min(max(position, 0.0), 1 - 1e-6))

    def fit(self, seen: Span | None, limit: float | None, z0_ohm: float, *, near: bool) -> Span:
        """From 1 to the highest value seen, but no further than 10."""
        del z0_ohm
        wanted = max(limit or 0.0, 0.0 if seen is None else seen[1])
        return 0.0, min(max(1.08 * wanted, _NEAR_TOP if near else _FIT_TOP), _FIT_TOP_HIGHEST)

    def rounded(self, seen: Span | None, limit: float | None, z0_ohm: float) -> Span:
        """From 1 to the next of the usual top values, which include infinity."""
        del z0_ohm
        # Room above the limit, so that its line is not on the frame.
        wanted = swr_position(1.25 * swr_of_one(limit)) if limit is not None else 0.0
        if seen is not None:
            wanted = max(wanted, min(seen[1], 1.0))
        return 0.0, next(
            swr_position(top) for top in _TOPS if swr_position(top) >= wanted - _ROUNDING
        )

    def clamped(self, span: Span) -> Span:
        """From 1 to between 1.1 and 50: infinite SWR always runs off the top of the window."""
        return 0.0, min(max(span[1], SWR_TOP_LOWEST), SWR_TOP_HIGHEST)

    def ticks(self, span: Span, gap: float) -> list[Tick]:
        """The usual numbers have precedence, after one that is exactly at the top."""
        top = [pair for pair in _POSITIONS if abs(pair[1] - span[1]) < _ROUNDING]
        chosen: dict[float, float] = {}
        for ratio, at in (_POSITIONS[0], *top, *_POSITIONS):
            if at <= span[1] + _ROUNDING and all(
                abs(at - other) >= gap for other in chosen.values()
            ):
                chosen[ratio] = at
        return [
            Tick(chosen[ratio], "∞" if math.isinf(ratio) else f"{ratio:g}")
            for ratio in sorted(chosen)
        ]


def swr_position(ratio: float) -> float:
    """|G| of an SWR: its position on the axis."""
    return float(magnitude_from_swr(ratio))


_FAR = 1e9
_MARGIN = 0.05
_ROUNDING = 1e-9
_NUMBERS_ON_PAPER = 6
SWR_TOP_LOWEST = swr_position(1.1)
SWR_TOP_HIGHEST = swr_position(50.0)
_NEAR_TOP, _FIT_TOP, _FIT_TOP_HIGHEST = swr_position(2.2), swr_position(3.5), swr_position(10.0)
_TOPS = (1.5, 2.0, 3.0, 5.0, 10.0, 20.0, math.inf)
# Numbers earlier in the list have precedence when there is little room.
# fmt: off
_LADDER = (
    1.0, 2.0, math.inf, 3.0, 1.5, 5.0, 10.0, 1.2, 20.0, 4.0, 7.0, 1.1, 1.7, 2.5, 1.3, 1.4, 50.0,
    30.0, 1.05, 1.6, 1.8, 1.15, 1.25, 1.02, 1.01, 1.03, 1.04, 1.06, 1.07, 1.08, 1.09,
)
# fmt: on
_POSITIONS = tuple((ratio, swr_position(ratio)) for ratio in _LADDER)
