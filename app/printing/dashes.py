"""Dashes that keep their length on a noisy curve.

A pen measures its dashes along the line, and noise makes a line long: the dashes of a jagged curve
shrink until it looks solid. Here they are measured along the smoothed curve instead.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from fairlead.app.printing.shapes import Line, Pen

if TYPE_CHECKING:
    from fairlead.core.arrays import FloatArray

# The curve is smooth when averaging neighbours shortens it by no more than this.
_SETTLED = 0.93
_FEWEST = 8
# How much longer than its smoothed curve a line has to be to count as noisy.
_NOISY = 1.15


def dashed(points: FloatArray, pen: Pen) -> list[Line]:
    """The curve as one line, or cut into its dashes where noise would spoil them."""
    if not pen.dash_mm or len(points) < 3:
        return [Line(points, pen)]
    index, course = _course(points)
    course_mm = np.concatenate(([0.0], np.cumsum(_lengths(course))))
    if _lengths(points).sum() < _NOISY * course_mm[-1]:
        return [Line(points, pen)]
    along_mm = np.interp(np.arange(len(points)), index, course_mm)
    solid = Pen(pen.colour, pen.width_mm)
    lines = []
    start_mm, part = 0.0, 0
    while start_mm < course_mm[-1]:
        end_mm = min(start_mm + pen.dash_mm[part % len(pen.dash_mm)], float(course_mm[-1]))
        if part % 2 == 0:
            inside = points[(along_mm > start_mm) & (along_mm < end_mm)]
            ends = [
                [float(np.interp(mm, along_mm, points[:, axis])) for axis in (0, 1)]
                for mm in (start_mm, end_mm)
            ]
            lines.append(Line(np.concatenate(([ends[0]], inside, [ends[1]])), solid))
        start_mm, part = end_mm, part + 1
    return lines


def _course(points: FloatArray) -> tuple[FloatArray, FloatArray]:
    """The curve with neighbours averaged until its length is stable: indices and points."""
    course = points
    index = np.arange(len(points), dtype=np.float64)
    while len(course) >= _FEWEST:
        coarser = _averaged(course)
        if _lengths(coarser).sum() > _SETTLED * _lengths(course).sum():
            break
        course, index = coarser, _averaged(index)
    return index, course


def _averaged(values: FloatArray) -> FloatArray:
    """Means of neighbouring pairs between the two ends, which are kept."""
    inner = values[1:-1]
    even = inner[: len(inner) // 2 * 2]
    result: FloatArray = np.concatenate((values[:1], (even[::2] + even[1::2]) / 2, values[-1:]))
    return result


def _lengths(points: FloatArray) -> FloatArray:
    step = np.diff(points, axis=0)
    result: FloatArray = np.hypot(step[:, 0], step[:, 1])
    return result
