"""Notices about the rows of a Touchstone file: ports, counts, what comments say of impedance."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from core.notice import Notice

if TYPE_CHECKING:
    from core.arrays import FloatArray
    from core.reading.points import Points
    from core.reading.rows import Numbers
    from core.reading.scan import Scan


def on_ports(points: Points, name_ports: int | None, z0_ohm: float) -> list[Notice]:
    """Notices where the file has more than one port, or not those its name claims."""
    notices = []
    if points.ports > 1:
        notices.append(
            Notice(
                "s11-of-multiport",
                f"S11 of {points.ports}-port data at {z0_ohm:g} ohm: "
                "it holds with the other ports terminated in their reference",
            )
        )
    if name_ports not in (None, points.ports):
        notices.append(
            Notice(
                "ports-differ-from-name",
                f"the name says {name_ports}-port, the rows hold {points.ports}-port data",
            )
        )
    return notices


def on_rows(found: Scan, numbers: Numbers, points: Points) -> list[Notice]:
    """Notices on what was left out between and behind the numbers."""
    notices = []
    if numbers.separators:
        notices.append(
            Notice(
                "separators-ignored",
                f"{numbers.separators} commas or semicolons between numbers ignored",
            )
        )
    noise_rows = found.noise_rows + points.noise_rows
    if noise_rows:
        notices.append(Notice("noise-left-out", f"rows of noise data left out: {noise_rows}"))
    count = points.frequency.size
    if found.frequencies not in (None, count):
        notices.append(
            Notice(
                "frequency-count-differs",
                f"the file announces {found.frequencies} frequencies and holds {count}",
            )
        )
    return notices


def on_port_impedances(found: Scan, z0_ohm: float) -> list[Notice]:
    """Notice where a simulator's comments give a port impedance other than the reference."""
    values = np.array(found.port_impedances, dtype=np.complex128)
    if values.size == 0 or (values == z0_ohm).all():
        return []
    real, imag = _range(values.real), _range(values.imag)
    text = (
        f"comments give port impedances of R {real} and X {imag} ohm; the reflection is kept "
        f"as written, and R and X of the sweep assume {z0_ohm:g} ohm"
    )
    return [Notice("port-impedance-in-comments", text)]


def on_negative_magnitudes(points: Points) -> list[Notice]:
    """Notice where magnitudes are negative, as decibels read by mistake would be."""
    negative = np.flatnonzero(points.pairs[:, 0] < 0)
    if negative.size == 0:
        return []
    text = (
        f"{negative.size} of {points.frequency.size} magnitudes are negative, first in line "
        f"{points.lines[negative[0]]}: the numbers may be decibels"
    )
    return [Notice("magnitude-negative", text)]


def _range(values: FloatArray) -> str:
    low, high = f"{values.min():.5g}", f"{values.max():.5g}"
    return low if low == high else f"{low} to {high}"
