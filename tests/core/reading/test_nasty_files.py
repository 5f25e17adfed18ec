"""Files as they come, each with one or more oddities; all invented, all of one series circuit."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
from touchstone_text import codes, series_circuit

from fairlead.core.errors import ReadError
from fairlead.core.reading import expand_paths, open_sweeps

FOLDER = Path(__file__).parents[2] / "data" / "touchstone"

READ = {
    ".s1p": (50, []),
    "admittance.s1p": (75, ["reference-not-50"]),
    "begin_db_end.s1p": (50, ["unit-assumed"]),
    "block_header.s1p": (50, []),
    "carriage_returns.s1p": (50, ["defaults-applied"]),
    "columns.txt": (50, []),
    "falling_with_dc.s1p": (
        50,
        [
            "option-line-repeated",
            "hash-comment",
            "zero-frequency-left-out",
            "points-out-of-order",
            "duplicate-frequencies",
        ],
    ),
    "fortran.txt": (75, ["reference-not-50"]),
    "four_port_wrapped.s4p": (50, ["s11-of-multiport"]),
    "one_port_in_a_two_port_name.s2p": (50, ["ports-differ-from-name"]),
    "separators.csv": (50, ["separators-ignored"]),
    "simulator_comments.s1p": (50, ["defaults-applied"]),
    "two_port_with_noise.s2p": (50, ["s11-of-multiport", "noise-left-out"]),
    "utf_16.s1p": (50, []),
    "version_2_lower.ts": (50, ["references-differ", "s11-of-multiport"]),
    "western.s1p": (50, []),
}
REFUSED = {
    "broken_row.s1p": "7: 2 numbers in this row where 3 belong",
    "complex_reference.s1p": "2: complex reference impedance '(50-2j)'",
    "cut_short.ts": "12: 1 number in this row where 3 belong",
    "decimal_comma.s1p": "3: '-0,089504' has a decimal comma",
    "mixed_mode.ts": "7: mixed-mode data: the first entry is not the reflection of port 1",
    "not_a_number.s1p": "7: 'NaN' is not a finite number",
    "transposed.s2p": "3: the rows look transposed: this one contains all frequencies",
    "two_blocks.s1p": "7: a second block begins",
}


def test_every_file_of_the_folder_is_in_a_table():
    files, errors = expand_paths([FOLDER])
    assert sorted(path.name for path in files) == sorted([*READ, *REFUSED])
    assert errors == []


@pytest.mark.parametrize("name", READ)
def test_is_read(name):
    z0_ohm, notices = READ[name]
    (reading,) = open_sweeps(FOLDER / name)
    sweep = reading.sweep
    assert codes(reading) == notices
    assert sweep.z0_ohm == z0_ohm
    np.testing.assert_array_equal(sweep.frequency_hz, np.linspace(50e6, 52e6, 9))
    z_ohm = series_circuit(sweep.frequency_hz)
    # Most files give 6 decimals; dB and degrees with 6 decimals are finer than that.
    np.testing.assert_allclose(sweep.reflection, (z_ohm - z0_ohm) / (z_ohm + z0_ohm), atol=2e-6)


@pytest.mark.parametrize("name", REFUSED)
def test_is_refused_in_one_line(name):
    with pytest.raises(ReadError) as caught:
        open_sweeps(FOLDER / name)
    assert str(caught.value).startswith(f"{FOLDER / name}:{REFUSED[name]}; ")
