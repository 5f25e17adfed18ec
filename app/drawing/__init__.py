"""Axes, grids and marks, decided once and drawn in the window and on paper; no widgets."""
