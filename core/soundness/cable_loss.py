"""Matched loss of two common lines, to say which length would explain a loss.

Attenuation in dB for 100 m from published tables: RG-58 at 50, 150, 450 and 850 MHz and RG-213
at 50, 150, 450 and 850 MHz from a training guide (Codan, app. H p. 65); RG-213 at 10 and 20 MHz
from a table in public simulation code. Interpolated log against log; no value outside the range.
"""

from __future__ import annotations

import math

import numpy as np

_DB_100_M = {
    "RG-58": ((50.0, 150.0, 450.0, 850.0), (10.8, 20.0, 35.5, 58.2)),
    "RG-213": ((10.0, 20.0, 50.0, 150.0, 450.0, 850.0), (1.8, 2.7, 4.9, 8.9, 16.3, 24.7)),
}


def lengths_m(loss_db: float, frequency_hz: float) -> dict[str, float]:
    """Length in metres of each line with this matched loss one way; empty if out of range."""
    found = {}
    for name, (at_mhz, db) in _DB_100_M.items():
        if at_mhz[0] <= frequency_hz / 1e6 <= at_mhz[-1]:
            logs = np.interp(math.log(frequency_hz / 1e6), np.log(at_mhz), np.log(db))
            found[name] = 100 * loss_db / math.exp(float(logs))
    return found
