"""The codes of everything that readers notice, and the notices about rows of a Touchstone file."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from fairlead.core.notice import Notice

if TYPE_CHECKING:
    from typing import Final

    from fairlead.core.arrays import FloatArray
    from fairlead.core.reading.points import Points
    from fairlead.core.reading.rows import Numbers
    from fairlead.core.reading.scan import Scan

MEANINGS: Final = {
    "block-cut-short": "the file is shorter than the instrument announced",
    "block-left-out": "some rows of the file are not a sweep and are left out",
    "columns-assumed": "a table without headings is read in the only way that fits its numbers",
    "decibel-sign": "decibels have the opposite sign to their name, and are read accordingly",
    "decimal-mark-assumed": "commas are read as decimal commas but might be thousands separators",
    "defaults-applied": "the standard's defaults apply to what the file leaves out",
    "duplicate-frequencies": "the first of several points at one frequency is used",
    "frequency-count-differs": "the number of frequencies differs from the one announced",
    "frequency-implausible": "frequencies are too low or too high for an antenna: check the unit",
    "frequency-unit-assumed": "the unit of frequency is taken from the numbers",
    "hash-comment": "a line with # is not an option line and was taken as a comment",
    "keyword-misprint": "the value of a keyword is inside its bracket",
    "keyword-missing": "a keyword that version 2 requires is missing",
    "magnitude-negative": "magnitudes are negative, as decibels would be",
    "mixed-row-lengths": "rows with fewer or more cells than the others are left out",
    "noise-left-out": "rows of noise data are left out",
    "nothing-measured": "the reflection is exactly 0 or 1 everywhere",
    "option-line-repeated": "further option lines are ignored",
    "other-port": "the sweep is the reflection of another port than port 1",
    "part-left-out": "some sheets of a spreadsheet or files of an archive are not read",
    "points-far-apart": "all points are far apart: what lies between was not measured",
    "points-left-out": "points without a value are left out",
    "points-out-of-order": "frequencies do not rise: the points are sorted",
    "port-impedance-in-comments": "comments give a port impedance that differs from the reference",
    "ports-differ-from-name": "the file name implies a different number of ports from the rows",
    "quantity-assumed": "whether a column is in decibels or magnitudes is taken from the numbers",
    "reference-not-50": "the reference impedance is not 50 ohm",
    "references-differ": "several references are given: that of port 1 is used",
    "reflection-above-one": "reflection above 1: noise, calibration or a wrong format",
    "s11-of-multiport": "S11 is taken from a file with several ports",
    "separators-ignored": "commas or semicolons between numbers are ignored",
    "sign-missing": "reactance has no sign: SWR and return loss are right, phase is not shown",
    "sweeps-split": "rows whose frequencies start again are read as several sweeps",
    "swr-at-least": "an SWR beyond the meter's scale is kept as a lower bound",
    "swr-below-one": "an SWR a little below 1 is read as 1",
    "traced": "the sweep was traced from a picture and is no measurement",
    "unit-assumed": "the unit of frequency of a wrapped block is taken from the numbers",
    "unknown-keyword": "keywords that are not in the standard are ignored",
    "version-missing": "keywords of version 2 occur without [Version]",
    "zero-frequency-left-out": "the point at 0 Hz is left out",
}
"""Codes of the notices of all readers, and what each means in general."""


def on_ports(points: Points, name_ports: int | None, z0_ohm: float) -> list[Notice]:
    """Notices where the file has more than one port, or not as many as its name implies."""
    notices = []
    if points.ports > 1:
        notices.append(
            Notice(
                "s11-of-multiport",
                f"S11 of {points.ports}-port data at {z0_ohm:g} ohm: "
                "valid with the other ports terminated in their reference",
            )
        )
    if name_ports not in (None, points.ports):
        notices.append(
            Notice(
                "ports-differ-from-name",
                f"the name says {name_ports}-port, the rows are {points.ports}-port data",
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
