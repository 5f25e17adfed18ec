"""What stands between the antenna and the file: coaxial cable and an imperfect analyzer.

Cable losses, calibration residuals and noise are invented, of a size that hobby equipment shows.
"""

from __future__ import annotations

import cmath
import math
import random
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from numpy.typing import NDArray

SPEED_OF_LIGHT_M_PER_S = 299_792_458.0
Z0_OHM = 50.0


@dataclass(frozen=True, slots=True)
class Cable:
    """A 50 ohm coaxial cable; loss in dB per 100 m is ``k1 sqrt(f) + k2 f``, f in MHz."""

    length_m: float
    velocity_factor: float = 0.66
    k1: float = 1.15
    k2: float = 0.012

    def loss_db(self, frequency_hz: NDArray[np.float64]) -> NDArray[np.float64]:
        """Return the matched one-way loss, shape (n,)."""
        f_mhz = frequency_hz / 1e6
        return self.length_m / 100 * (self.k1 * np.sqrt(f_mhz) + self.k2 * f_mhz)

    def seen_through(
        self, reflection: NDArray[np.complex128], frequency_hz: NDArray[np.float64]
    ) -> NDArray[np.complex128]:
        """Return the reflection at the near end: turned and weakened on the way there and back."""
        speed = SPEED_OF_LIGHT_M_PER_S * self.velocity_factor
        one_way_rad = 2 * np.pi * frequency_hz * self.length_m / speed
        there_and_back = 10 ** (-self.loss_db(frequency_hz) / 10)
        return reflection * there_and_back * np.exp(-2j * one_way_rad)


@dataclass(frozen=True, slots=True)
class Analyzer:
    """An analyzer after a careful but not perfect calibration (three-term one-port model).

    ``seed`` fixes the residual errors of the calibration, so sweeps of one session share them.
    """

    seed: int
    directivity: float = 0.004
    source_match: float = 0.008
    tracking: float = 0.002
    noise: float = 0.001

    def reading(
        self, reflection: NDArray[np.complex128], frequency_hz: NDArray[np.float64], sweep_seed: int
    ) -> NDArray[np.complex128]:
        """Return what the analyzer shows, shape (n,); ``sweep_seed`` fixes the noise."""
        calibration = NormalNumbers(self.seed)
        turns = frequency_hz * 0.6e-9  # residual errors turn slowly, as over some 9 cm of line
        residuals = [
            size * cmath.exp(1j * cmath.phase(calibration.complex_number()))
            for size in (self.directivity, self.source_match, self.tracking)
        ]
        directivity, source_match, tracking = (
            residual * np.exp(-2j * np.pi * turns) for residual in residuals
        )
        seen = directivity + (1 + tracking) * reflection / (1 - source_match * reflection)
        return seen + self.noise * NormalNumbers(sweep_seed).complex_array(reflection.size)


class NormalNumbers:
    """Complex normal numbers of unit standard deviation, the same on every machine and version.

    Python promises the sequence of ``random()`` for a seed; the Box-Muller transform does the rest.
    """

    def __init__(self, seed: int) -> None:
        self._source = random.Random(seed)  # noqa: S311  # noise, not secrets

    def complex_number(self) -> complex:
        """Return the next number."""
        radius = math.sqrt(-math.log(1 - self._source.random()))
        return cmath.rect(radius, 2 * math.pi * self._source.random())

    def complex_array(self, size: int) -> NDArray[np.complex128]:
        """Return the next ``size`` numbers."""
        return np.array([self.complex_number() for _ in range(size)])
