"""Numbers of one or two columns become the reflection coefficient, or its magnitude.

Conventions and formulas are those of `fairlead.core.reflection`. Values that cannot be are
refused with their line; nothing is clipped in silence.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from fairlead.core.errors import ReadError
from fairlead.core.notice import Notice
from fairlead.core.reading.tables.plan import Kind
from fairlead.core.reading.tables.vocabulary import UNITS_W
from fairlead.core.reading.tidy import counted
from fairlead.core.reflection import (
    magnitude_from_return_loss,
    magnitude_from_swr,
    reflection_from_impedance,
)

if TYPE_CHECKING:
    from collections.abc import Callable

    from fairlead.core.arrays import BoolArray, ComplexArray, FloatArray, IntArray

# A meter of two decimals that shows 0.99 means 1; what is lower is not an SWR.
LOWEST_SWR = 0.99
_UNSIGNED_RATIO = 0.05


@dataclass(frozen=True, slots=True)
class Values:
    """Numbers of the columns of one quantity.

    Attributes
    ----------
    numbers : FloatArray, shape (n, k)
        Finite, but for an SWR, which may be infinite.
    lines : IntArray, shape (n,)
    unit : str
        One of the kind's units; for powers one, or two joined by ``+``.
    where : str
        The columns for messages: "column 3".
    file : str
    is_unsigned : bool
        The table says that reactance or angle stand without their sign.
    is_signed : bool
        The table says the sign of each in a column of its own.
    """

    numbers: FloatArray
    lines: IntArray
    unit: str
    where: str
    file: str
    is_unsigned: bool = False
    is_signed: bool = False

    def refuse(self, wrong: BoolArray, reason: str, advice: str) -> None:
        """Raise a `ReadError` for the first wrong row; ``{}`` in the reason is its value."""
        if wrong.any():
            row = int(np.argmax(wrong))
            value = f"{self.numbers[row, -1]:g}"
            raise ReadError(
                self.file, f"{self.where}: {reason.format(value)}", advice, int(self.lines[row])
            )


@dataclass(frozen=True, slots=True)
class Match:
    """What came out.

    Attributes
    ----------
    reflection : ComplexArray, shape (n,)
        Where the phase is not known, the magnitude with an angle of 0.
    notices : tuple of Notice
    is_unsigned : bool
        The sign of the angle is not known, so that only the magnitude holds.
    """

    reflection: ComplexArray
    notices: tuple[Notice, ...] = ()
    is_unsigned: bool = False


def to_match(kind: Kind, values: Values, z0_ohm: float) -> Match:
    """Reflection coefficient of a quantity.

    Parameters
    ----------
    kind : Kind
    values : Values
    z0_ohm : float
        What impedances are normalised to.

    Raises
    ------
    ReadError
        For values that cannot be (an SWR of 0.5), naming their line.
    """
    if kind in IMPEDANCES:
        return _from_impedance(kind, values, z0_ohm)
    return _CONVERTERS[kind](values)


def _cartesian(real: FloatArray, imaginary: FloatArray) -> ComplexArray:
    result = np.empty(real.shape, dtype=np.complex128)
    result.real, result.imag = real, imaginary
    return result


def _polar(magnitude: FloatArray, angle: FloatArray, unit: str) -> ComplexArray:
    radians = angle if unit == "rad" else np.deg2rad(angle)
    with np.errstate(over="ignore", invalid="ignore"):
        return _cartesian(magnitude * np.cos(radians), magnitude * np.sin(radians))


def _from_real_imaginary(values: Values) -> Match:
    return Match(_cartesian(values.numbers[:, 0], values.numbers[:, 1]))


def _from_magnitude_angle(values: Values) -> Match:
    magnitude = values.numbers[:, 0]
    _refuse_negative(values, magnitude, "a magnitude")
    return Match(_polar(magnitude, values.numbers[:, 1], values.unit))


def _from_decibel_angle(values: Values) -> Match:
    magnitude, notices = _from_signed_decibels(values, is_loss=False)
    return Match(_polar(magnitude, values.numbers[:, 1], values.unit), notices)


def _from_impedance(kind: Kind, values: Values, z0_ohm: float) -> Match:
    first, second = values.numbers[:, 0], values.numbers[:, 1]
    if kind is Kind.RESISTANCE_REACTANCE:
        z_ohm = _cartesian(first, second)
    else:
        _refuse_negative(values, first, "a magnitude")
        z_ohm = _polar(first, second, values.unit)
    notices = _unsigned(z_ohm.imag, values)
    reflection = reflection_from_impedance(z_ohm, z0_ohm)
    # A reactance of either sign makes the same magnitude, which is therefore all that is known.
    return Match(reflection, notices, is_unsigned=bool(notices))


def _unsigned(reactance_ohm: FloatArray, values: Values) -> tuple[Notice, ...]:
    """Notice where the sign of reactance is missing: its name says so, or it turns at zero."""
    if values.is_signed or (reactance_ohm < 0).any():
        return ()
    if values.is_unsigned:
        why = "is given without its sign"
    elif _turns_at_zero(reactance_ohm):
        why = "turns near zero and is never negative, so its sign seems to be missing"
    else:
        return ()
    text = (
        f"{values.where}: reactance {why}; SWR and return loss are right, and nothing that "
        "needs the phase is shown"
    )
    return (Notice("sign-missing", text),)


def _turns_at_zero(reactance_ohm: FloatArray) -> bool:
    inner = reactance_ohm[1:-1]
    if inner.size == 0:
        return False
    lowest = int(np.argmin(inner)) + 1
    least = reactance_ohm[lowest]
    turns = reactance_ohm[lowest - 1] > least < reactance_ohm[lowest + 1]
    return bool(turns) and bool(least <= _UNSIGNED_RATIO * float(reactance_ohm.max()))


def _from_swr(values: Values) -> Match:
    ratio = values.numbers[:, 0]
    values.refuse(
        ratio < LOWEST_SWR,
        "{} is not an SWR, which is at least 1",
        "correct or remove the row, or choose another column",
    )
    notices = []
    below = ratio < 1
    if below.any():
        text = (
            f"{values.where}: SWR a little below 1 at {counted(int(below.sum()))}, first in line "
            f"{values.lines[np.argmax(below)]}: read as 1"
        )
        notices.append(Notice("swr-below-one", text))
    return _scalar(magnitude_from_swr(np.maximum(ratio, 1)), *notices)


def _from_return_loss(values: Values) -> Match:
    magnitude, notices = _from_signed_decibels(values, is_loss=True)
    return _scalar(magnitude, *notices)


def _from_decibels(values: Values) -> Match:
    magnitude, notices = _from_signed_decibels(values, is_loss=False)
    return _scalar(magnitude, *notices)


def _from_signed_decibels(
    values: Values, *, is_loss: bool
) -> tuple[FloatArray, tuple[Notice, ...]]:
    """Magnitude of a return loss (positive) or a reflection in dB (negative), said when not so."""
    decibels = values.numbers[:, 0]
    positive, negative = int((decibels > 0).sum()), int((decibels < 0).sum())
    is_other = positive < negative if is_loss else positive > negative
    with np.errstate(over="ignore"):
        magnitude = magnitude_from_return_loss(decibels if is_loss != is_other else -decibels)
    if not is_other:
        return magnitude, ()
    text = (
        "return loss is negative: read as the reflection in dB"
        if is_loss
        else "reflection in dB is positive: read as return loss"
    )
    return magnitude, (Notice("decibel-sign", f"{values.where}: {text}"),)


def _from_magnitude(values: Values) -> Match:
    magnitude = values.numbers[:, 0]
    _refuse_negative(values, magnitude, "a magnitude")
    return _scalar(magnitude)


def _from_share(values: Values) -> Match:
    share = values.numbers[:, 0] / (1.0 if values.unit == "share" else 100.0)
    _refuse_negative(values, share, "a share of the power")
    return _scalar(np.sqrt(share))


def _from_powers(values: Values) -> Match:
    forward, reflected = values.numbers[:, 0], values.numbers[:, 1]
    units = values.unit.split("+")
    with np.errstate(all="ignore"):
        forward_w = _in_watts(forward, units[0])
        reflected_w = _in_watts(reflected, units[-1])
        share = reflected_w / forward_w
    _refuse_negative(values, reflected_w, "a power")
    values.refuse(
        forward_w <= 0, "no forward power here", "remove the row: nothing was transmitted"
    )
    return _scalar(np.sqrt(share))


def _in_watts(power: FloatArray, unit: str) -> FloatArray:
    return 1e-3 * 10.0 ** (power / 10) if unit == "dBm" else power * UNITS_W[unit]


def _scalar(magnitude: FloatArray, *notices: Notice) -> Match:
    return Match(magnitude.astype(np.complex128), notices)


def _refuse_negative(values: Values, numbers: FloatArray, what: str) -> None:
    if (numbers < 0).any():
        row = int(np.argmax(numbers < 0))
        raise ReadError(
            values.file,
            f"{values.where}: {what} below 0",
            "correct or remove the row; decibels are another choice of column",
            int(values.lines[row]),
        )


IMPEDANCES = (Kind.RESISTANCE_REACTANCE, Kind.IMPEDANCE_ANGLE)
"""Kinds whose second column has the sign of the reactance."""
_CONVERTERS: dict[Kind, Callable[[Values], Match]] = {
    Kind.REAL_IMAGINARY: _from_real_imaginary,
    Kind.MAGNITUDE_ANGLE: _from_magnitude_angle,
    Kind.DECIBEL_ANGLE: _from_decibel_angle,
    Kind.SWR: _from_swr,
    Kind.RETURN_LOSS: _from_return_loss,
    Kind.DECIBEL: _from_decibels,
    Kind.MAGNITUDE: _from_magnitude,
    Kind.SHARE: _from_share,
    Kind.POWER: _from_powers,
}
