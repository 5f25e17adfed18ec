"""How far each measured point of a sweep may be off: what plots shade around a curve."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

import numpy as np

if TYPE_CHECKING:
    from fairlead.core.analysis.analysis import Analysis
    from fairlead.core.arrays import FloatArray
    from fairlead.core.uncertainty.error_model import PointErrors

RangeKind = Literal["accuracy", "repeatability", "picture"]

# 95 % of a Gaussian lie within so many standard deviations, and 95 % of a two-dimensional one
# within a circle of sqrt(2 ln 20).
_SIGMAS = 1.96
_SIGMAS_OF_DISC = 2.448
# Half a band thinner than this share of full scale is hidden behind any line.
_THINNEST = 2e-3


@dataclass(frozen=True, slots=True, eq=False)
class PointRange:
    """One of three statements; accuracy is never mixed with the others.

    Attributes
    ----------
    half : FloatArray, shape (n,)
        What |reflection| may be off at each measured point, either way.
    is_accuracy : bool
        A bound from the analyzer's stated errors. False: repeatability, the noise of a point at
        95 %, while those errors are not known.
    is_traced : bool
        Not accuracy, but what the picture leaves open at 95 %, of a sweep traced from one.
    """

    half: FloatArray
    is_accuracy: bool
    is_traced: bool = False

    @property
    def kind(self) -> RangeKind:
        """Which of the three it is."""
        if self.is_traced:
            return "picture"
        return "accuracy" if self.is_accuracy else "repeatability"

    def radius(self, index: int) -> float:
        """Of the disc around a measured point in the reflection plane."""
        half = float(self.half[index])
        return half if self.is_accuracy else half * _SIGMAS_OF_DISC / _SIGMAS


def range_of(analysis: Analysis, errors: PointErrors | None) -> PointRange | None:
    """The range of a sweep's points.

    Parameters
    ----------
    analysis : Analysis
    errors : PointErrors or None
        Of the analyzer, along the points of the sweep; None where they are not known.

    Returns
    -------
    PointRange or None
        None where nothing is known, or the noise is too little to be seen. Rounded readings have
        steps in the place of noise.
    """
    if analysis.traced is not None:
        # Whatever instrument is in the picture, its errors are small beside those of the picture.
        return PointRange(_SIGMAS * analysis.traced.sigma, is_accuracy=False, is_traced=True)
    if errors is not None:
        return PointRange(errors.bound, is_accuracy=True)
    half = _SIGMAS * analysis.sigma
    if analysis.failure or analysis.rounding is not None or half < _THINNEST:
        return None
    return PointRange(np.full(analysis.frequency_hz.size, half), is_accuracy=False)
