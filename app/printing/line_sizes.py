"""Widths of curves and sizes of markers, the same in both plots and the legend."""

from __future__ import annotations

_MARK_MM = 1.7
_REFERENCE_WIDER = 1.35


def curve_width_mm(count: int) -> float:
    """Width of a curve's line: thinner where there are many."""
    return 0.4 if count <= 5 else 0.34 if count <= 10 else 0.28


def tolerance_mm(width_mm: float) -> float:
    """How far a simplified curve may be off: a fraction of its line's width."""
    return width_mm / 10


def trace_width_mm(width_mm: float, *, is_emphasised: bool) -> float:
    """The reference stands out a little."""
    return width_mm * (_REFERENCE_WIDER if is_emphasised else 1.0)


def mark_size_mm(count: int) -> float:
    """Size of the markers: smaller where there are many."""
    return _MARK_MM if count <= 10 else 0.85 * _MARK_MM
