"""A sweep exported as Touchstone or CSV reads back equal, by us and by scikit-rf."""

from __future__ import annotations

import csv
import io
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from benches import full_bench
from hypothesis import assume, given
from skrf.io.touchstone import Touchstone
from sweeps import any_sweeps

from fairlead.core.document.entry import Circumstances, Entry
from fairlead.core.errors import FairleadError
from fairlead.core.export import as_csv, as_touchstone
from fairlead.core.reading import read_sweeps, touchstone
from fairlead.core.reading.tidy import to_hz
from fairlead.core.reflection import impedance_ohm
from fairlead.core.sweep import ScalarSweep, Sweep

SAMPLES = Path(__file__).parents[2] / "samples"
WET, SCALAR = full_bench().entries
VERSIONS = ["1.1", "2.0"]


def read_back(text):
    return touchstone.parse(text.encode("ascii"), "exported.s1p")


def by_scikit_rf(text):
    stream = io.StringIO(text)
    stream.name = "exported.s1p"
    return Touchstone(stream)


def table(text):
    """Header, comment and columns by Python's csv module; None where a cell is empty."""
    first, *lines = text.splitlines()
    header, *rows = csv.reader(lines)
    columns = [
        [float(cell) if cell else None for cell in column] for column in zip(*rows, strict=True)
    ]
    return first, dict(zip(header, columns, strict=True))


@pytest.mark.parametrize("version", VERSIONS)
@given(sweep=any_sweeps().filter(lambda sweep: sweep.has_phase))
def test_touchstone_reads_back_equal(version, sweep):
    # The reader takes 4099999.9999999995 Hz, which no instrument gives, for 4.1 MHz.
    assume(np.array_equal(to_hz(sweep.frequency_hz, 1.0), sweep.frequency_hz))
    text = as_touchstone(Entry(1, sweep, "any"), version)
    assert read_back(text).sweep == sweep


@pytest.mark.parametrize("version", VERSIONS)
def test_scikit_rf_reads_the_same_numbers(version):
    text = as_touchstone(WET, version)
    oracle = by_scikit_rf(text)
    frequency_hz, s = oracle.get_sparameter_arrays()
    assert np.array_equal(frequency_hz, WET.measured.frequency_hz)
    assert np.array_equal(s[:, 0, 0], WET.measured.reflection)
    assert np.all(oracle.z0 == 75.0)


@pytest.mark.parametrize("version", VERSIONS)
def test_our_reader_has_nothing_to_say_about_it(version):
    entry = replace(WET, measured=Sweep(WET.measured.frequency_hz, WET.measured.reflection, 50.0))
    assert read_back(as_touchstone(entry, version)).notices == ()


def test_version_1_1_is_as_the_specification_has_it():
    entry = Entry(1, Sweep([50e6, 51.5e6], [0.25, -0.5 - 0.125j], 50.0), "Dipole")
    assert as_touchstone(entry) == (
        "! Dipole\n# Hz S RI R 50\n50000000 0.25 0\n51500000 -0.5 -0.125\n"
    )


def test_version_2_0_is_as_the_specification_has_it():
    entry = Entry(1, Sweep([50e6, 51.5e6], [0.25, -0.5 - 0.125j], 75.0), "Dipole")
    assert as_touchstone(entry, "2.0").splitlines() == [
        "! Dipole",
        "[Version] 2.0",
        "# Hz S RI R 75",
        "[Number of Ports] 1",
        "[Number of Frequencies] 2",
        "[Reference] 75",
        "[Network Data]",
        "50000000 0.25 0",
        "51500000 -0.5 -0.125",
        "[End]",
    ]


def test_comments_say_what_is_known_in_ascii():
    circumstances = Circumstances(height="9 m, ½ λ", notes="première ligne\n\n[End]\u2028# Hz")
    entry = replace(WET, label="Dächer\n1 2 3", condition="大", circumstances=circumstances)
    text = as_touchstone(entry)
    assert [line for line in text.splitlines() if line.startswith("!")] == [
        "! Dacher 1 2 3 (?)",
        "! height: 9 m, 1?2 ?",
        "! notes: premiere ligne",
        "! notes: [End]",
        "! notes: # Hz",
    ]
    assert read_back(text).sweep == WET.measured


@pytest.mark.parametrize("version", VERSIONS)
def test_a_scalar_sweep_is_no_touchstone(version):
    """Touchstone cannot leave the phase out, and none is invented."""
    with pytest.raises(FairleadError) as caught:
        as_touchstone(SCALAR, version)
    assert str(caught.value) == (
        'no phase was measured with "Mesuré à la main", and Touchstone needs one; export it as CSV'
    )


@given(sweep=any_sweeps())
def test_csv_reads_back_equal(sweep):
    first, columns = table(as_csv(Entry(1, sweep, "any")))
    z0_ohm = float(first.removeprefix("# reference impedance: ").removesuffix(" ohm"))
    frequency_hz = columns["frequency_hz"]
    if sweep.has_phase:
        parts = np.array([columns["reflection_real"], columns["reflection_imaginary"]])
        back = Sweep(frequency_hz, parts[0] + 1j * parts[1], z0_ohm)
    else:
        back = ScalarSweep(frequency_hz, columns["reflection_magnitude"], z0_ohm)
    assert back == sweep


@pytest.mark.parametrize("entry", [WET, SCALAR], ids=["with phase", "scalar"])
def test_our_own_reader_of_tables_reads_a_csv_back_equal(entry):
    """Of all its columns the one with the measured numbers is read, and the reference impedance."""
    (reading,) = read_sweeps(as_csv(entry).encode(), "exported.csv")
    assert reading.sweep == entry.measured


def test_the_figures_in_a_csv_are_those_of_a_known_load():
    """150 + j0 ohm at 50 ohm: SWR 3, return loss 6.0206 dB (closed form: |G| = 1/2)."""
    entry = Entry(1, Sweep([1e6, 2e6, 3e6, 4e6], [0.5, 1.0, 1.25, 0.0]), "load")
    first, columns = table(as_csv(entry))
    assert first == "# reference impedance: 50 ohm"
    assert columns["swr"] == [3.0, None, None, 1.0]
    assert columns["return_loss_db"] == [6.0206, 0.0, -1.9382, None]
    assert columns["resistance_ohm"] == [150.0, None, -450.0, 50.0]
    assert columns["reactance_ohm"] == [0.0, None, 0.0, 0.0]


def test_a_csv_of_a_scalar_sweep_has_no_impedance():
    text = as_csv(Entry(1, ScalarSweep([1e6, 2e6], [0.5, 0.2], 75.0), "meter"))
    assert text == (
        "# reference impedance: 75 ohm\n"
        "frequency_hz,reflection_magnitude,swr,return_loss_db\n"
        "1000000,0.5,3,6.0206\n"
        "2000000,0.2,1.5,13.9794\n"
    )


@pytest.mark.parametrize("path", sorted(SAMPLES.glob("*.s1p")), ids=lambda path: path.stem)
def test_every_sample_survives_both_ways(path):
    reading = touchstone.parse(path.read_bytes(), str(path))
    entry = Entry(1, reading.sweep, reading.label)
    for version in VERSIONS:
        assert read_back(as_touchstone(entry, version)).sweep == reading.sweep
    (back,) = read_sweeps(as_csv(entry).encode(), "exported.csv")
    assert back.sweep == reading.sweep
    _, columns = table(as_csv(entry))
    z_ohm = impedance_ohm(reading.sweep.reflection, reading.sweep.z0_ohm)
    assert np.allclose(columns["resistance_ohm"], z_ohm.real, rtol=1e-5)
    assert np.allclose(columns["reactance_ohm"], z_ohm.imag, rtol=1e-5)


@pytest.mark.parametrize("version", VERSIONS)
def test_steps_are_written_only_when_what_is_shown_is_asked_for(version):
    assert WET.sweep != WET.measured
    measured = as_touchstone(WET, version)
    assert "what-if" not in measured
    assert read_back(measured).sweep == WET.measured
    shown = as_touchstone(WET, version, "shown")
    assert read_back(shown).sweep == WET.sweep
    first, second, *_ = shown.splitlines()
    assert first == "! Roof, wet (rain-soaked)"
    assert second == "! not as measured: what-if: frequency +0.58 %"


def test_a_table_of_what_is_shown_says_so():
    assert "what-if" not in as_csv(WET)
    shown = as_csv(WET, "shown")
    assert shown.splitlines()[1] == "# not as measured: what-if: frequency +0.58 %"
    (reading,) = read_sweeps(shown.encode(), "exported.csv")
    assert reading.sweep == WET.sweep


def test_without_steps_both_are_the_same():
    assert as_csv(SCALAR) == as_csv(SCALAR, "shown")
