"""The marks of sweeps: their shapes, and which sweeps show every point."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from fairlead.core.uncertainty.point_range import RangeKind

FEW_POINTS = 30
"""A sweep with fewer points shows each of them: between them nothing was measured."""

# Corners of the filled and outlined marks, in half sizes from the centre, y downwards.
CORNERS = {
    "square": ((-0.88, -0.88), (0.88, -0.88), (0.88, 0.88), (-0.88, 0.88)),
    "triangle": ((0.0, -1.05), (1.05, 0.8), (-1.05, 0.8)),
    "diamond": ((0.0, -1.2), (1.2, 0.0), (0.0, 1.2), (-1.2, 0.0)),
}
# Strokes of the marks made of lines. A mark in neither list is a circle.
STROKES = {
    "cross": (((-0.8, -0.8), (0.8, 0.8)), ((-0.8, 0.8), (0.8, -0.8))),
    "plus": (((-1.1, 0.0), (1.1, 0.0)), ((0.0, -1.1), (0.0, 1.1))),
}
MOST_SHADED = 6
"""With more sweeps than this only the selected ones get a pale band: many would merge into grey."""
# By what is known of the points.
SHADINGS: dict[RangeKind, str] = {
    "accuracy": "pale band: the analyzer's stated accuracy",
    "repeatability": "pale band: repeatability, 95 %, from noise alone",
    "picture": "pale band: what the traced picture leaves open, 95 %",
}

PATH_ENDS = ("antenna", "what-if: matched")
"""Where the way of a network over the Smith chart begins, measured, and ends: nobody built it."""

OUTLIER = STROKES["cross"]
"""A measured point that the curve does not join."""
OUTLIER_SIZE = 0.7
"""Its size as a fraction of a mark's."""
