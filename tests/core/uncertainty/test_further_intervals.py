"""Intervals of resonances and of all segments, and digits that end with them."""

from __future__ import annotations

import csv
import io
from dataclasses import replace

import numpy as np
import pytest
from circuits import SeriesCircuit, behind_line, complex_noise

from fairlead.core.analysis.analysis import analyse
from fairlead.core.bands import Band
from fairlead.core.comparison.knowledge import compare_known
from fairlead.core.document.bench import Bench
from fairlead.core.figure_table.table import FIGURES
from fairlead.core.figures import figures_of
from fairlead.core.reading.reading import Reading
from fairlead.core.report import as_csv, as_json
from fairlead.core.sweep import Sweep
from fairlead.core.uncertainty.at_resonance import resonance
from fairlead.core.uncertainty.error_model import ErrorModel
from fairlead.core.uncertainty.figure_fits import FigureFits
from fairlead.core.uncertainty.intervals import assess
from fairlead.core.uncertainty.local_fit import fit_local

HZ = np.linspace(46e6, 56e6, 401)
BAND = Band(50e6, 52e6)
CIRCUIT = SeriesCircuit(51e6, 62, 8)
WIDE_HZ = np.linspace(40e6, 110e6, 801)
WIDE = Band(45e6, 105e6)
SPECS = {spec.id: spec for spec in FIGURES}


def two_dips(hz=WIDE_HZ):
    """Circuits of 50.5 and 95 MHz in parallel, each of high Q: two segments, several resonances."""
    admittance = sum(1 / SeriesCircuit(f0_hz, 45, 12).impedance_ohm(hz) for f0_hz in (50.5e6, 95e6))
    return (1 - 50 * admittance) / (1 + 50 * admittance)


def assessed(hz, gamma, band):
    analysis = analyse(Sweep(hz, gamma), 50.0)
    return assess(analysis, figures_of(analysis, band, 2.0), band, 2.0)


def bench(gamma, hz=HZ, band=BAND):
    return Bench().with_readings([Reading(Sweep(hz, gamma), "dry", "")]).with_band(band)


@pytest.mark.unmeasured
def test_the_resonance_is_covered_as_often_as_it_says():
    """Of 120 noisy sweeps 95 %, less three standard deviations of the count."""
    held = {"resonance_hz": 0, "resonance_resistance_ohm": 0}
    truth = {"resonance_hz": 51e6, "resonance_resistance_ohm": 62.0}
    for seed in range(120):
        own = assessed(HZ, CIRCUIT.reflection(HZ) + complex_noise(401, 0.005, seed), BAND)
        for key in held:
            part = own.intervals[key].repeatability
            held[key] += part.low <= truth[key] <= part.high
    assert min(held.values()) >= 120 * (0.95 - 3 * (0.95 * 0.05 / 120) ** 0.5)


def test_a_line_is_put_back():
    gamma = behind_line(CIRCUIT.reflection(HZ), HZ, 30.0) + complex_noise(401, 0.002, 3)
    own = assessed(HZ, gamma, Band(47e6, 55e6))
    fine_hz = np.linspace(46e6, 56e6, 200_001)
    imag = behind_line(CIRCUIT.reflection(fine_hz), fine_hz, 30.0).imag
    true_hz = fine_hz[:-1][np.diff(imag > 0)]
    assert len(own.figures.named_resonances) >= 2
    for name, one in own.figures.named_resonances[:4]:
        part = own.intervals[f"{name}hz"].repeatability
        nearest = true_hz[np.abs(true_hz - one.frequency_hz).argmin()]
        assert abs(nearest - one.frequency_hz) < 3 * (part.high - part.low)


def test_no_fit_no_interval(monkeypatch):
    monkeypatch.setattr(FigureFits, "around", lambda *_: None)
    own = assessed(HZ, CIRCUIT.reflection(HZ) + complex_noise(401, 0.002, 3), BAND)
    assert own.figures.resonances
    assert own.intervals == {}


def test_no_resonance_in_the_window_has_none():
    fit = fit_local(HZ, CIRCUIT.reflection(HZ), 54e6, 8)
    assert resonance(fit, 1e-5, 54e6, 50.0, 0.0) is None
    opened = fit_local(HZ, 1 - 1e-8 * CIRCUIT.reflection(HZ), 50e6, 8)
    assert resonance(opened, 1e-5, 50e6, 50.0, 0.0) is None
    straight = fit_local(HZ, np.full(401, 0.3 + 0.2j), 50e6, 8)
    assert resonance(straight, 1e-5, 50e6, 50.0, 0.0) is None
    crossing = fit_local(HZ, CIRCUIT.reflection(HZ), 51e6, 8)
    place, ohm = resonance(crossing, 1e-5, 51.02e6, 50.0, 0.0)
    assert place.value == pytest.approx(51e6, abs=2e3)
    assert ohm.value == pytest.approx(62, abs=0.01)


def test_every_segment_has_its_ends():
    gamma = two_dips() + complex_noise(801, 0.001, 1)
    own = assessed(WIDE_HZ, gamma, WIDE)
    names = [name for name, _ in own.figures.named_segments]
    assert names == ["usable_", "usable_2_"]
    fine_hz = np.linspace(40e6, 110e6, 700_001)
    rho = np.abs(two_dips(fine_hz))
    ends_hz = fine_hz[:-1][np.diff(rho < 1 / 3)]
    for name, segment in own.figures.named_segments:
        for end, hz in (("low_hz", segment.low_hz), ("high_hz", segment.high_hz)):
            part = own.intervals[name + end].repeatability
            true_hz = ends_hz[np.abs(ends_hz - hz).argmin()]
            assert abs(true_hz - hz) < 2 * (part.high - part.low)


def test_a_segment_without_a_point_has_its_ends_too():
    """A dip that only just goes below the limit between two points."""
    gamma = CIRCUIT.reflection(HZ) + complex_noise(401, 0.0002, 2)
    analysis = analyse(Sweep(HZ, gamma), 50.0)
    own = figures_of(analysis, BAND, 2.0)
    narrow = replace(own.usable[0], low_hz=53.001e6, high_hz=53.003e6)
    found = assess(analysis, replace(own, usable=(narrow,)), BAND, 2.0)
    assert "usable_2_low_hz" in found.intervals


def test_the_last_digit_of_an_end_is_the_one_that_is_known():
    stated = bench(CIRCUIT.reflection(HZ) + complex_noise(401, 0.0005, 4)).with_accuracy(
        [1], ErrorModel(directivity_db=30.0)
    )
    (row,) = compare_known(stated)
    part = row.intervals["usable_low_hz"].accuracy
    assert 0.1e6 < (part.high - part.low) / 2 < 1e6
    text = SPECS["usable"].cell(row)
    low, high = text.split(" – ")
    assert len(low.split(".")[1]) == len(high.split(".")[1]) == 1
    assert "±" in SPECS["resonance"].cell(row)
    assert "±" in SPECS["resistance"].cell(row)
    # Nothing is known without intervals: as many digits as the points support.
    plain = replace(row, intervals={})
    assert len(SPECS["usable"].cell(plain).split(" – ")[0].split(".")[1]) == 3


def test_csv_and_json_have_them():
    made = bench(two_dips() + complex_noise(801, 0.001, 1), WIDE_HZ, WIDE)
    head, values = csv.reader(io.StringIO(as_csv(made)))
    row = dict(zip(head, values, strict=True))
    known = as_json(made)["sweeps"][0]["intervals"]
    for key in ("usable_low_hz", "usable_2_high_hz", "resonance_hz", "resonance_2_hz"):
        low, high = known[key]["repeatability"]
        assert float(row[f"{key}_repeatability_low"]) == low <= float(row[key]) <= high
        assert f"{key}_accuracy_low" not in row
