"""Our parser against scikit-rf's text parser, on every variant where that one is right.

Where it is not (normalised Y, H and G of version 1, R without a blank, an option line in another
order, wrappers), the other tests hold ours against closed forms.
"""

from __future__ import annotations

import itertools

import numpy as np
import pytest
from touchstone_text import UNITS, read, rows_of, s11_of_oracle, series_circuit

FREQUENCY_HZ = np.linspace(45e6, 57e6, 25)
Z_OHM = series_circuit(FREQUENCY_HZ)


def values_of(parameter, z0_ohm, version):
    if parameter == "S":
        return (Z_OHM - z0_ohm) / (Z_OHM + z0_ohm)
    z = Z_OHM if version == 2 else Z_OHM / z0_ohm
    return z if parameter == "Z" else 1 / z


def text_of(unit, parameter, form, z0_ohm, version):
    rows = rows_of(FREQUENCY_HZ / UNITS[unit], values_of(parameter, z0_ohm, version), form)
    options = f"# {unit} {parameter} {form} R {z0_ohm}"
    if version == 1:
        return "\n".join(["! invented", options, *rows, ""])
    return "\n".join(
        [
            "[Version] 2.0",
            options,
            "[Number of Ports] 1",
            f"[Number of Frequencies] {len(rows)}",
            "[Network Data]",
            *rows,
            "[End]",
            "",
        ]
    )


@pytest.mark.parametrize("version", [1, 2])
@pytest.mark.parametrize("parameter", ["S", "Z", "Y"])
@pytest.mark.parametrize(("unit", "form"), list(itertools.product(UNITS, ["RI", "MA", "DB"])))
def test_every_combination(unit, form, parameter, version):
    for z0_ohm in (50.0, 75.0, 1.0):
        text = text_of(unit, parameter, form, z0_ohm, version)
        sweep = read(text).sweep
        np.testing.assert_allclose(sweep.frequency_hz, FREQUENCY_HZ, rtol=1e-15)
        closed_form = (Z_OHM - z0_ohm) / (Z_OHM + z0_ohm)
        np.testing.assert_allclose(sweep.reflection, closed_form, rtol=1e-12, atol=1e-14)
        assert sweep.z0_ohm == z0_ohm
        if parameter == "Y" and version == 1 and z0_ohm != 1:
            continue  # scikit-rf 2.2 multiplies by R where the specification divides
        frequency_hz, reflection, oracle_z0 = s11_of_oracle(text)
        np.testing.assert_allclose(sweep.frequency_hz, frequency_hz, rtol=1e-15)
        np.testing.assert_allclose(sweep.reflection, reflection, rtol=1e-12, atol=1e-14)
        assert oracle_z0 == z0_ohm
