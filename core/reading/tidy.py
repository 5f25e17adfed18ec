"""Puts points in order and reports what is odd about them; never changes a value."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from fairlead.core.errors import ReadError
from fairlead.core.notice import Notice
from fairlead.core.reflection import above_one
from fairlead.core.sweep import LARGEST_MAGNITUDE

if TYPE_CHECKING:
    from fairlead.core.arrays import BoolArray, ComplexArray, FloatArray, IntArray

# Beyond these a sweep of an antenna is hardly meant: 3 THz, and 3 kHz where VLF begins.
HIGHEST_HZ = 3e12
LOWEST_HZ = 3e3
# No sweep of anything; so small a number is a slip, and its reciprocal is beyond all numbers.
SMALLEST_HZ = 1e-3
# No noise or calibration makes this of a passive antenna; decibels read as magnitudes do.
_FORMAT_DOUBTFUL = 2.0
_ROUNDING = 4 * float(np.finfo(np.float64).eps)
MOST_SWEEPS = 1000
"""Of one file; beyond that it is something else, or a slip."""
_SCALES = ((1e9, "GHz"), (1e6, "MHz"), (1e3, "kHz"))


@dataclass(frozen=True, slots=True)
class Series:
    """Points of one sweep as read, not yet a `Sweep`.

    Attributes
    ----------
    frequency_hz : FloatArray, shape (n,)
    reflection : ComplexArray, shape (n,)
    lines : IntArray, shape (n,)
        Line of the file where each point starts.
    is_bound : BoolArray, shape (n,), or None
        Where |reflection| is at least so large; 1 where not even that was said. None: nowhere.
    """

    frequency_hz: FloatArray
    reflection: ComplexArray
    lines: IntArray
    is_bound: BoolArray | None = None

    def where(self, selected: BoolArray | IntArray) -> Series:
        """Part of the points, or the points in another order."""
        return Series(
            self.frequency_hz[selected],
            self.reflection[selected],
            self.lines[selected],
            None if self.is_bound is None else self.is_bound[selected],
        )


def shown_hz(frequency_hz: float) -> str:
    """A frequency for a message: ``50.1 MHz``."""
    for scale, unit in _SCALES:
        if frequency_hz >= scale:
            return f"{frequency_hz / scale:.6g} {unit}"
    return f"{frequency_hz:.6g} Hz"


def counted(count: int) -> str:
    """``1 point`` or ``7 points``."""
    return "1 point" if count == 1 else f"{count} points"


def to_hz(frequency: FloatArray, unit_hz: float) -> FloatArray:
    """Frequencies in Hz, shape (n,); infinite where they are beyond all numbers.

    4.1 MHz times 1e6 is 4099999.9999999995: whole hertz written in MHz stay whole hertz, so that
    sweeps on one grid have equal frequencies whatever the units of their files.
    """
    with np.errstate(over="ignore", invalid="ignore"):
        frequency_hz = frequency * unit_hz
        whole = np.rint(frequency_hz)
        is_whole = np.abs(frequency_hz - whole) <= _ROUNDING * np.abs(whole)
    return np.where(is_whole, whole, frequency_hz)


def above_zero(series: Series) -> tuple[Series, list[Notice]]:
    """Points above 0 Hz, and a notice where there are others; no frequency is negative."""
    is_zero = series.frequency_hz == 0
    if not is_zero.any():
        return series, []
    where = int(series.lines[is_zero][0])
    text = f"the point at 0 Hz in line {where} is left out"
    return series.where(~is_zero), [Notice("zero-frequency-left-out", text)]


def refuse(wrong: BoolArray, lines: IntArray, file: str, reason: str) -> None:
    """Raise a `ReadError` for the first point that is wrong, if there is one."""
    if wrong.any():
        raise ReadError(file, reason, "correct or remove the row", int(lines[np.argmax(wrong)]))


def refuse_odd_frequencies(frequency_hz: FloatArray, lines: IntArray, file: str) -> None:
    """Raise a `ReadError` where a frequency is infinite, or too small to be one and not 0."""
    refuse(np.isinf(frequency_hz), lines, file, "frequency beyond all numbers")
    refuse(
        (frequency_hz > 0) & (frequency_hz < SMALLEST_HZ),
        lines,
        file,
        "frequency too close to 0 Hz to be one",
    )


def refuse_endless(series: Series, file: str) -> None:
    """Raise a `ReadError` where a point has no reflection coefficient, or one beyond reason."""
    refuse(
        ~(np.abs(series.reflection) <= LARGEST_MAGNITUDE),
        series.lines,
        file,
        "this point has no reflection coefficient (value too large, or Z = -R)",
    )


def in_order(series: Series) -> tuple[Series, list[Notice]]:
    """Points by rising frequency, each frequency once.

    Returns
    -------
    series, notices
        Of equal frequencies the point that comes first in the file stays.
    """
    notices = []
    steps = np.diff(series.frequency_hz)
    if (steps < 0).any():
        back = np.flatnonzero(steps < 0)
        times = "once" if back.size == 1 else f"{back.size} times"
        notices.append(
            Notice(
                "points-out-of-order",
                f"frequency goes back {times}, first in line {series.lines[back[0] + 1]}: sorted; "
                "if the file holds several sweeps, split it",
            )
        )
        series = series.where(np.argsort(series.frequency_hz, kind="stable"))
        steps = np.diff(series.frequency_hz)
    if (steps == 0).any():
        again = np.flatnonzero(steps == 0)
        notices.append(
            Notice(
                "duplicate-frequencies",
                f"{counted(again.size)} at a frequency that was there before left out, "
                f"first in line {series.lines[again + 1].min()}",
            )
        )
        series = series.where(np.concatenate(([True], steps > 0)))
    return series, notices


def oddities(series: Series, unit_note: str) -> list[Notice]:
    """What looks wrong about the values of an ordered series of at least one point.

    Parameters
    ----------
    series : Series
    unit_note : str
        Where the unit of frequency comes from, for the message.
    """
    notices = []
    lowest, highest = float(series.frequency_hz[0]), float(series.frequency_hz[-1])
    if highest > HIGHEST_HZ or highest < LOWEST_HZ:
        notices.append(
            Notice(
                "frequency-implausible",
                f"frequencies from {shown_hz(lowest)} to {shown_hz(highest)} are implausible "
                f"({unit_note})",
            )
        )
    magnitude = np.abs(series.reflection)
    above = np.flatnonzero(above_one(magnitude))
    if above.size:
        worst = int(np.argmax(magnitude))
        text = (
            f"|reflection| above 1 at {above.size} of {counted(magnitude.size)}, "
            f"largest {magnitude[worst]:.5g} at {shown_hz(float(series.frequency_hz[worst]))}"
        )
        if magnitude[worst] > _FORMAT_DOUBTFUL:
            text += ": the numbers may be in another format than the file says"
        notices.append(Notice("reflection-above-one", text))
    first = series.reflection[0]
    if series.is_bound is None and first in (0, 1) and (series.reflection == first).all():
        notices.append(
            Notice(
                "nothing-measured",
                f"the reflection is exactly {first.real:g} at every point: nothing was measured",
            )
        )
    return notices
