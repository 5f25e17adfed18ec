"""Axes, grids and marks, laid out once for the window and for paper; no widgets."""
