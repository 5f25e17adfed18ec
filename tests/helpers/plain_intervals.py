"""Intervals of figures as they are, without the fit's values in their place."""

from __future__ import annotations

from fairlead.core.uncertainty.intervals import _known, _of_figures


def intervals_of(analysis, figures, band, limit_swr, errors=None):
    """The intervals of `assess` for the figures that were passed, by JSON key."""
    return _of_figures(figures, _known(analysis, figures, band, limit_swr, errors))
