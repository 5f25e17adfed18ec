"""A sweep whose analysis failed: its points and the reason, nothing more."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from fairlead.core.analysis.analysis import Analysis, at_reference
from fairlead.core.analysis.interpolation.track import Track
from fairlead.core.arrays import median
from fairlead.core.reflection import UNITY_TOLERANCE
from fairlead.core.uncertainty.noise import Noise
from fairlead.core.uncertainty.sampling import Sampling

if TYPE_CHECKING:
    from fairlead.core.sweep import AnySweep


def why_failed(error: Exception) -> str:
    """One line for an unforeseen error."""
    return f"working it out failed ({type(error).__name__}); please report it with the file"


def bare_analysis(sweep: AnySweep, z0_ohm: float, failure: str) -> Analysis:
    """An analysis that claims nothing between the points, so that the curve can still be shown.

    Parameters
    ----------
    sweep : Sweep or ScalarSweep
    z0_ohm : float
    failure : str
        Why the full analysis failed.
    """
    frequency_hz = sweep.frequency_hz
    reflection, power, z0_ohm = at_reference(sweep, z0_ohm)
    intervals = frequency_hz.size - 1
    track = Track(
        frequency_hz=frequency_hz,
        power=power,
        smooth=reflection,
        calm=None,
        delay_s=0.0,
        is_straight=np.ones(intervals, dtype=np.bool_),
        is_unsupported=np.ones(intervals, dtype=np.bool_),
        turn_hz=frequency_hz,
        turn_power=power,
    )
    unknown = np.zeros(intervals, dtype=np.bool_)
    return Analysis(
        frequency_hz=frequency_hz,
        reflection=reflection,
        power=power,
        z0_ohm=z0_ohm,
        track=track,
        noise=Noise(None, failure),
        sampling=Sampling(unknown, unknown, line_turns=0.0, factor=1.0),
        outliers=np.zeros(0, dtype=np.intp),
        rounding=None,
        typed=None,
        step_hz=median(np.diff(frequency_hz)),
        above_one=int(np.count_nonzero(power > (1 + UNITY_TOLERANCE) ** 2)),
        is_bound=getattr(sweep, "is_bound", None),
        failure=failure,
    )
