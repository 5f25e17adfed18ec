"""A uniform feed line: what it does to a reflection on the way from the antenna to the radio.

The loss of a cable follows A = k1 sqrt(f) + k2 f (skin effect in the conductors, loss in the
dielectric), the law in which makers state it. Series resistance and shunt conductance of the line
follow from its two parts, and from them the propagation constant and the characteristic impedance

    gamma = sqrt((R + jwL)(G + jwC))        Zc = sqrt((R + jwL) / (G + jwC))

(Pozar, Microwave Engineering, 2nd ed., section 2.1), with L = z0 / v, C = 1 / (z0 v), R = 2 z0 a_c,
G = 2 a_d / z0, a_c and a_d the conductors' and the dielectric's part of the attenuation. At an
impedance Zc a line of length l turns the load's reflection by exp(-2 gamma l).

Zc of a lossy line is complex. Where its imaginary part stays under 1 % of z0 it is taken as real,
as data sheets do; on short lines and at low frequencies, where it decides the answer, it is not
(S. Hunt's 15 ft example: 0.122 dB with a real z0 where 0.02 dB is true).
"""

from __future__ import annotations

import math
from dataclasses import dataclass, fields
from typing import TYPE_CHECKING

import numpy as np

from fairlead.core.errors import FairleadError

if TYPE_CHECKING:
    from numpy.typing import ArrayLike

    from fairlead.core.arrays import ComplexArray, FloatArray

SPEED_OF_LIGHT_M_S = 299_792_458.0
DB_PER_NEPER = 20 / math.log(10)
M_PER_FT = 0.3048

# R / wL above which the characteristic impedance is taken as complex: Im Zc is half of it.
_COMPLEX_FROM = 0.02
_LONGEST_M = 10_000.0


class LineError(FairleadError):
    """A line whose numbers make no sense."""


@dataclass(frozen=True, slots=True)
class FeedLine:
    """A kind of line: everything but its length.

    Attributes
    ----------
    name : str
    z0_ohm : float
        Nominal characteristic impedance, positive.
    velocity_factor : float
        0.1 to 1.
    k1_db, k2_db : float
        Loss law in dB for 100 m, with the frequency in MHz: k1 sqrt(f) + k2 f; not negative.
    z0_tolerance_ohm : float
        How far the impedance may be off.
    loss_tolerance_percent : float
        How far the loss may be off, in per cent of it.
    velocity_tolerance : float
        How far the velocity factor may be off.
    low_hz, high_hz : float
        Where the law holds.
    source : str
        Where the numbers come from.

    Raises
    ------
    LineError
        If a number is out of its range.
    """

    name: str
    z0_ohm: float = 50.0
    velocity_factor: float = 0.66
    k1_db: float = 0.0
    k2_db: float = 0.0
    z0_tolerance_ohm: float = 0.0
    loss_tolerance_percent: float = 0.0
    velocity_tolerance: float = 0.0
    low_hz: float = 0.0
    high_hz: float = math.inf
    source: str = ""

    def __post_init__(self) -> None:
        for one in fields(self):
            value = getattr(self, one.name)
            if isinstance(value, float | int) and (math.isnan(value) or value < 0):
                raise LineError(
                    f"{one.name} of the line is {value:g}", "give a number that is not negative"
                )
        if not 0 < self.z0_ohm < math.inf:
            raise LineError(
                f"a line of {self.z0_ohm:g} ohm does not exist", "50, 75, 300 and 450 are usual"
            )
        if not 0.1 <= self.velocity_factor <= 1:
            raise LineError(
                f"a velocity factor of {self.velocity_factor:g} does not exist",
                "give 0.1 to 1; 0.66 is that of solid polyethylene",
            )
        if not (math.isfinite(self.k1_db) and math.isfinite(self.k2_db)):
            raise LineError("the loss of the line is not finite", "give dB for 100 m at 1 MHz")

    def loss_db(self, frequency_hz: ArrayLike, length_m: float) -> FloatArray:
        """Matched loss of one way in dB, shape of ``frequency_hz``."""
        mhz = np.asarray(frequency_hz, dtype=np.float64) / 1e6
        result: FloatArray = (self.k1_db * np.sqrt(mhz) + self.k2_db * mhz) * (length_m / 100)
        return result

    def constants(self, frequency_hz: FloatArray) -> tuple[ComplexArray, ComplexArray]:
        """Propagation constant in 1/m and characteristic impedance in ohm.

        Parameters
        ----------
        frequency_hz : FloatArray, shape (n,)

        Returns
        -------
        tuple of ComplexArray
            Both of shape (n,). Whether the impedance is complex is decided for all frequencies at
            once, so that no step appears within a sweep.
        """
        return constants_of(self.z0_ohm, self.velocity_factor, self.k1_db, self.k2_db, frequency_hz)

    def holds_at(self, low_hz: float, high_hz: float) -> bool:
        """Whether the loss law holds from one frequency to another."""
        return self.low_hz <= low_hz and high_hz <= self.high_hz


def constants_of(
    z0_ohm: float, velocity_factor: float, k1_db: float, k2_db: float, frequency_hz: FloatArray
) -> tuple[ComplexArray, ComplexArray]:
    """`FeedLine.constants` of plain numbers, which need not be those of a line that can be."""
    mhz = frequency_hz / 1e6
    conductors = k1_db * np.sqrt(mhz) / (100 * DB_PER_NEPER)
    dielectric = k2_db * mhz / (100 * DB_PER_NEPER)
    beta = 2 * np.pi * frequency_hz / (velocity_factor * SPEED_OF_LIGHT_M_S)
    series, shunt = 2 * conductors / beta, 2 * dielectric / beta
    if max(float(series.max()), float(shunt.max())) > _COMPLEX_FROM:
        ratio_r, ratio_g = 1 - 1j * series, 1 - 1j * shunt
        gamma, zc_ohm = 1j * beta * np.sqrt(ratio_r * ratio_g), z0_ohm * np.sqrt(ratio_r / ratio_g)
    else:
        gamma, zc_ohm = conductors + dielectric + 1j * beta, np.full(frequency_hz.size, z0_ohm)
    return np.asarray(gamma, dtype=np.complex128), np.asarray(zc_ohm, dtype=np.complex128)


def checked_length_m(length_m: float) -> float:
    """A length that a feed line can have.

    Raises
    ------
    LineError
        Unless it lies between 0 and 10 km.
    """
    if not 0 <= length_m <= _LONGEST_M:
        raise LineError(f"a feed line cannot be {length_m:g} m long", f"give 0 to {_LONGEST_M:g} m")
    return length_m


def seen_through(
    line: FeedLine,
    length_m: float,
    frequency_hz: FloatArray,
    reflection: ComplexArray,
    z0_ohm: float,
) -> ComplexArray:
    """What is seen at the radio's end of a line that the antenna ends.

    Parameters
    ----------
    line : FeedLine
    length_m : float
        Negative removes the line: then what was seen at the radio's end goes in, and what is
        at the antenna comes out.
    frequency_hz : FloatArray, shape (n,)
    reflection : ComplexArray, shape (n,)
        At the real impedance ``z0_ohm``, which is also that of the result.
    z0_ohm : float

    Returns
    -------
    ComplexArray, shape (n,)
        May exceed 1 in magnitude if the line removed is longer, or lossier, than the
        true one.
    """
    return carried(line.constants(frequency_hz), length_m, reflection, z0_ohm)


def carried(
    constants: tuple[ComplexArray, ComplexArray],
    length_m: float,
    reflection: ComplexArray,
    z0_ohm: float,
) -> ComplexArray:
    """`seen_through` with the line's propagation constant and impedance given, shape (n,)."""
    gamma, zc_ohm = constants
    # Between the real and the line's own impedance without passing through Z: an open is no pole.
    k = (z0_ohm - zc_ohm) / (z0_ohm + zc_ohm)
    # A line with absurdly much loss overflows; `Sweep` refuses what is not finite.
    with np.errstate(over="ignore", invalid="ignore", divide="ignore"):
        inside = (reflection + k) / (1 + k * reflection) * np.exp(-2 * gamma * length_m)
        result: ComplexArray = (inside - k) / (1 - k * inside)
    return result
