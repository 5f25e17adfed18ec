"""The marks of sweeps: their shapes, and which sweeps show every point."""

from __future__ import annotations

FEW_POINTS = 30
"""A sweep with fewer points shows each of them: between them nothing was measured."""

# In half sizes from the centre, y downwards. Corners of those that are filled or outlined ...
CORNERS = {
    "square": ((-0.88, -0.88), (0.88, -0.88), (0.88, 0.88), (-0.88, 0.88)),
    "triangle": ((0.0, -1.05), (1.05, 0.8), (-1.05, 0.8)),
    "diamond": ((0.0, -1.2), (1.2, 0.0), (0.0, 1.2), (-1.2, 0.0)),
}
# ... and strokes of those that are lines. What is in neither is a circle.
STROKES = {
    "cross": (((-0.8, -0.8), (0.8, 0.8)), ((-0.8, 0.8), (0.8, -0.8))),
    "plus": (((-1.1, 0.0), (1.1, 0.0)), ((0.0, -1.1), (0.0, 1.1))),
}
MOST_SHADED = 6
"""Of more sweeps than this only the chosen ones get a pale band: many bands are one grey."""
SHADING = "pale band: the analyzer's stated accuracy"

OUTLIER = STROKES["cross"]
"""A measured point that the curve does not join."""
OUTLIER_SIZE = 0.7
"""Its size as a share of a mark's."""
