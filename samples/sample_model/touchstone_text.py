"""Touchstone text in the variants that analyzers and programs write.

Rules from the Touchstone File Format Specification, versions 1.1 and 2.0 (IBIS Open Forum): in
version 1 files impedance and admittance are normalised to R, in version 2 files they are not.
"""

from __future__ import annotations

import cmath
import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Callable

    import numpy as np
    from numpy.typing import NDArray

HZ_PER_UNIT = {"Hz": 1.0, "kHz": 1e3, "MHz": 1e6, "GHz": 1e9}


@dataclass(frozen=True, slots=True)
class Flavour:
    """How a file spells its numbers.

    ``option_line`` may order its words freely; the other fields say what it means.
    """

    option_line: str = "# MHz S RI R 50"
    unit: str = "MHz"
    parameter: str = "S"
    numbers: str = "RI"
    z0_ohm: float = 50.0
    version: int = 1
    newline: str = "\n"
    separator: str = " "
    remark_every: int = 0


def one_port_text(
    comments: list[str],
    flavour: Flavour,
    frequency_hz: NDArray[np.float64],
    reflection: NDArray[np.complex128],
) -> str:
    """Return a one-port file; ``reflection`` refers to 50 ohm."""
    values = _parameter(reflection, flavour)
    return _text(comments, flavour, frequency_hz, values.reshape(-1, 1))


def two_port_text(
    comments: list[str],
    flavour: Flavour,
    frequency_hz: NDArray[np.float64],
    s_columns: NDArray[np.complex128],
) -> str:
    """Return a two-port file of version 1; columns S11, S21, S12, S22, shape (n, 4), at 50 ohm."""
    return _text(comments, flavour, frequency_hz, s_columns)


def _text(
    comments: list[str],
    flavour: Flavour,
    frequency_hz: NDArray[np.float64],
    columns: NDArray[np.complex128],
) -> str:
    lines = [f"! {comment}" for comment in comments]
    if flavour.version == 1:
        lines.append(flavour.option_line)
    else:
        lines += [
            "[Version] 2.0",
            flavour.option_line,
            "[Number of Ports] 1",
            f"[Number of Frequencies] {frequency_hz.size}",
            f"[Reference] {flavour.z0_ohm:g}",
            "[Network Data]",
        ]
    pair = _PAIRS[flavour.numbers]
    for number, (hz, row) in enumerate(zip(frequency_hz, columns, strict=True), start=1):
        words = [f"{hz / HZ_PER_UNIT[flavour.unit]:.9g}"]
        words += [f"{part:.6g}" for value in row for part in pair(complex(value))]
        line = flavour.separator.join(words)
        if flavour.remark_every and number % flavour.remark_every == 0:
            line += f"  ! point {number}"
        lines.append(line)
    if flavour.version == 2:
        lines.append("[End]")
    return flavour.newline.join([*lines, ""])


def _parameter(reflection: NDArray[np.complex128], flavour: Flavour) -> NDArray[np.complex128]:
    """Turn reflection at 50 ohm into the numbers that the flavour stores."""
    z_ohm = 50 * (1 + reflection) / (1 - reflection)
    if flavour.parameter == "S":
        return (z_ohm - flavour.z0_ohm) / (z_ohm + flavour.z0_ohm)
    if flavour.parameter == "Y":
        return flavour.z0_ohm / z_ohm if flavour.version == 1 else 1 / z_ohm
    return z_ohm / flavour.z0_ohm if flavour.version == 1 else z_ohm


def _real_imaginary(value: complex) -> tuple[float, float]:
    return value.real, value.imag


def _magnitude_angle(value: complex) -> tuple[float, float]:
    return abs(value), math.degrees(cmath.phase(value))


def _decibel_angle(value: complex) -> tuple[float, float]:
    return 20 * math.log10(abs(value)), math.degrees(cmath.phase(value))


_PAIRS: dict[str, Callable[[complex], tuple[float, float]]] = {
    "RI": _real_imaginary,
    "MA": _magnitude_angle,
    "DB": _decibel_angle,
}
