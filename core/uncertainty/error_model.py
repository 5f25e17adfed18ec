"""The analyzer's own errors in a reflection: directivity, source match, tracking.

After a one-port calibration three residual errors remain, and the reflection is known to within

    |dG| <= D + T |G| + M |G|^2

with D = 10^(-directivity/20), M = 10^(-source match/20), T = 10^(tracking/20) - 1. Sources:
Anritsu/Wiltron application note "Precision return loss measurements" (directivity alone);
Keysight/Agilent AN 1287-3, "Applying error correction to network analyzer measurements"
(directivity 35 dB, source match 30 dB, return loss 20 dB: 18.6 to 21.7 dB); EURAMET cg-12,
"Guidelines on the evaluation of vector network analysers" (the general form, from memory).
As the phases are unknown, these are bounds and not standard deviations.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from fairlead.core.errors import ValueTextError

if TYPE_CHECKING:
    from collections.abc import Callable

    from numpy.typing import ArrayLike

    from fairlead.core.arrays import ComplexArray, FloatArray

# Step of the difference quotient that maps a small error to another reference plane.
_DIFFERENCE = 1e-6
MOST_DB = 120.0
"""No analyzer has a directivity or a source match beyond this."""


@dataclass(frozen=True, slots=True)
class ErrorModel:
    """The residual errors of a calibrated analyzer; None for each unknown one.

    Attributes
    ----------
    directivity_db, source_match_db : float or None
        Effective values after calibration, positive.
    tracking_db : float or None
        Reflection tracking: the error of full reflection, 0 or positive.
    is_guaranteed : bool
        If True, the numbers are guaranteed bounds, which the actual errors hardly ever reach:
        noise is combined with them by the root of the sum of squares. If False, they are the
        actual errors, and noise is added to them.

    Raises
    ------
    ValueTextError
        If a number is negative, not finite or beyond `MOST_DB`.
    """

    directivity_db: float | None = None
    source_match_db: float | None = None
    tracking_db: float | None = None
    is_guaranteed: bool = True

    def __post_init__(self) -> None:
        for name, value in (
            ("directivity", self.directivity_db),
            ("source match", self.source_match_db),
            ("tracking", self.tracking_db),
        ):
            if value is not None and not 0 <= value <= MOST_DB:
                raise ValueTextError(
                    f"a {name} of {value:g} dB is not possible", f"give 0 to {MOST_DB:g} dB"
                )

    @property
    def is_known(self) -> bool:
        """Whether a bound can be computed, which needs the directivity."""
        return self.directivity_db is not None

    @property
    def left_out(self) -> tuple[str, ...]:
        """Names of the unknown errors, which the bound therefore does not include."""
        terms = (
            ("directivity", self.directivity_db),
            ("source match", self.source_match_db),
            ("tracking", self.tracking_db),
        )
        return tuple(name for name, value in terms if value is None)

    @property
    def directivity(self) -> float:
        """D, as a reflection; 0 if unknown."""
        return _as_reflection(self.directivity_db)

    @property
    def source_match(self) -> float:
        """M, as a reflection; 0 if unknown."""
        return _as_reflection(self.source_match_db)

    @property
    def tracking(self) -> float:
        """T, a share; 0 if unknown."""
        return 0.0 if self.tracking_db is None else 10 ** (self.tracking_db / 20) - 1

    def bound(self, magnitude: ArrayLike) -> FloatArray:
        """Largest possible error of |G| at a given |G|, any shape."""
        rho = np.asarray(magnitude, dtype=np.float64)
        result: FloatArray = self.directivity + self.tracking * rho + self.source_match * rho**2
        return result

    def combined(self, noise: float, systematic: float) -> float:
        """Half width of an interval, from the half width due to noise and the analyzer's bound."""
        if self.is_guaranteed:
            return float(np.hypot(noise, systematic))
        return noise + systematic


UNKNOWN = ErrorModel()
"""The default: no accuracy stated."""


def _as_reflection(value_db: float | None) -> float:
    return 0.0 if value_db is None else 10 ** (-value_db / 20)


@dataclass(frozen=True, slots=True)
class Preset:
    """Typical errors of an analyzer, by how it was calibrated.

    Attributes
    ----------
    key : str
        As files and the command line write it.
    label : str
        As shown.
    model : ErrorModel
    source : str
    """

    key: str
    label: str
    model: ErrorModel
    source: str


_PRACTICE = "common practice, no source"

PRESETS = (
    Preset("unknown", "Not known", UNKNOWN, "nothing is assumed"),
    Preset(
        "factory",
        "Factory calibration only",
        ErrorModel(25.0, 20.0, 1.0),
        _PRACTICE,
    ),
    Preset(
        "own-kit",
        "Calibrated at the analyzer with the kit that came with it",
        ErrorModel(35.0, 30.0, 0.3),
        _PRACTICE,
    ),
    Preset(
        "good-kit",
        "Calibrated at the end of the cable with a kit of known quality",
        ErrorModel(42.0, 36.0, 0.1),
        _PRACTICE,
    ),
)
"""After a calibration the effective directivity is about the return loss of the load used (Agilent
user guide, "load calibration"): if you know the load, type that instead."""


@dataclass(frozen=True, slots=True, eq=False)
class PointErrors:
    """The three errors at every point of a sweep as shown, each with unknown phase.

    Attributes
    ----------
    model : ErrorModel
    terms : tuple of ComplexArray, shape (n,) each
        Directivity, tracking and source match, carried through every step between the analyzer
        and the sweep as shown.
    """

    model: ErrorModel
    terms: tuple[ComplexArray, ...]

    @property
    def bound(self) -> FloatArray:
        """Largest possible error of the reflection at each point, shape (n,)."""
        total: FloatArray = np.sum([np.abs(term) for term in self.terms], axis=0)
        return total


def errors_along(
    model: ErrorModel, measured: ComplexArray, gain: ComplexArray | float = 1.0
) -> PointErrors:
    """The analyzer's errors along a sweep.

    Parameters
    ----------
    model : ErrorModel
    measured : ComplexArray, shape (n,)
        Reflection as measured by the analyzer.
    gain : ComplexArray, shape (n,), or float
        Factor by which a small error has been multiplied since (`gain_of`).
    """
    ones = np.ones(measured.size)
    return PointErrors(
        model,
        tuple(
            np.asarray(size * shape * gain, dtype=np.complex128)
            for size, shape in (
                (model.directivity, ones),
                (model.tracking, measured),
                (model.source_match, measured * measured),
            )
        ),
    )


def gain_of(step: Callable[[ComplexArray], ComplexArray], reflection: ComplexArray) -> ComplexArray:
    """Factor by which a step multiplies a small error of the reflection, shape (n,).

    Parameters
    ----------
    step : callable
        Maps reflection to reflection, shape (n,) each, point by point. It must be analytic, as a
        two-port or another reference impedance is, so that the direction of the error is
        irrelevant.
    reflection : ComplexArray, shape (n,)
    """
    change = step(reflection + _DIFFERENCE) - step(reflection - _DIFFERENCE)
    result: ComplexArray = change / (2 * _DIFFERENCE)
    return result
