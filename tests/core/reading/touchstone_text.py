"""Helpers of the Touchstone tests: read text, write text, and scikit-rf as the oracle."""

from __future__ import annotations

import io

import numpy as np
import pytest
from skrf.io.touchstone import Touchstone

from fairlead.core.errors import ReadError
from fairlead.core.reading.touchstone import parse

UNITS = {"Hz": 1.0, "kHz": 1e3, "MHz": 1e6, "GHz": 1e9}


def read(text, name="unit 1.s1p"):
    """Reading of a file with this text."""
    return parse(text.encode(), name)


def error_of(text, name="unit 1.s1p"):
    """The one line that a file with this text is refused with."""
    data = text if isinstance(text, bytes) else text.encode()
    with pytest.raises(ReadError) as caught:
        parse(data, name)
    assert caught.value.reason
    assert caught.value.advice
    assert "\n" not in str(caught.value)
    return str(caught.value)


def codes(reading):
    """Codes of the notices, in order."""
    return [notice.code for notice in reading.notices]


def text_of(reading, code):
    """Text of the only notice with this code."""
    (notice,) = [notice for notice in reading.notices if notice.code == code]
    return notice.text


def s11_of_oracle(text, name="unit 1.s1p"):
    """Frequencies in Hz, S11 and reference of port 1 as scikit-rf's text parser reads them."""
    stream = io.StringIO(text)
    stream.name = name
    found = Touchstone(stream)
    return found.f, found.s[:, 0, 0], found.z0[0, 0]


def pairs_of(values, form):
    """Complex numbers as the pairs of a format, shape (..., 2)."""
    if form == "RI":
        return np.stack([values.real, values.imag], axis=-1)
    magnitude = np.abs(values)
    first = magnitude if form == "MA" else 20 * np.log10(magnitude)
    return np.stack([first, np.angle(values, deg=True)], axis=-1)


def rows_of(frequency, values, form):
    """Rows of one-port data: frequencies in the unit of the file, complex values."""
    pairs = pairs_of(np.asarray(values), form)
    return [
        f"{f!r} {first!r} {second!r}"
        for f, (first, second) in zip(frequency.tolist(), pairs.tolist(), strict=True)
    ]


def series_circuit(frequency_hz, r_ohm=40.0, f0_hz=51e6, q=8.0):
    """Impedance of a series RLC circuit, shape like ``frequency_hz``."""
    x = q * r_ohm * (frequency_hz / f0_hz - f0_hz / frequency_hz)
    return r_ohm + 1j * x
