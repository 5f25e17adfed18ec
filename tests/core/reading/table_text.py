"""Helpers of the table tests: read text, refuse text, and the invented circuit of the files."""

from __future__ import annotations

import numpy as np
import pytest

from fairlead.core.errors import ReadError
from fairlead.core.reading import read_sweeps
from fairlead.core.reading.tables import ColumnPlan, NeedsColumnsError


def read(text, columns=None, name="roof.csv"):
    """Readings of a file with this text."""
    data = text if isinstance(text, bytes) else text.encode()
    return read_sweeps(data, name, ColumnPlan.parse(columns) if columns else None)


def read_one(text, columns=None, name="roof.csv"):
    """The only reading of a file with this text."""
    (reading,) = read(text, columns, name)
    return reading


def error_of(text, columns=None, name="roof.csv"):
    """The one line that a file with this text is refused with, without the advice to choose."""
    with pytest.raises(ReadError) as caught:
        read(text, columns, name)
    assert not isinstance(caught.value, NeedsColumnsError)
    assert caught.value.advice
    assert "\n" not in str(caught.value)
    return str(caught.value)


def asked(text, name="roof.csv"):
    """The error with which a table asks for its columns."""
    with pytest.raises(NeedsColumnsError) as caught:
        read(text, None, name)
    assert "\n" not in str(caught.value)
    return caught.value


def codes(reading):
    """Codes of the notices, in order."""
    return [notice.code for notice in reading.notices]


def text_of(reading, code):
    """Text of the only notice with this code."""
    (notice,) = [notice for notice in reading.notices if notice.code == code]
    return notice.text


def mhz(reading):
    """Frequencies in MHz."""
    return (reading.sweep.frequency_hz / 1e6).tolist()


def swr_of(reading):
    """SWR of a reading by the textbook formula, rounded to what the texts of the tests give."""
    magnitude = reading.sweep.magnitude
    return np.round((1 + magnitude) / (1 - magnitude), 9).tolist()


def series_circuit(frequency_hz, r_ohm=40.0, f0_hz=51e6, q=8.0):
    """Impedance of a series RLC circuit, shape like ``frequency_hz``."""
    return r_ohm + 1j * q * r_ohm * (frequency_hz / f0_hz - f0_hz / frequency_hz)
