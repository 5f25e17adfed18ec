"""What the sweeps read at markers, against the textbook and an independent implementation."""

from __future__ import annotations

import csv
import io
import json
import math
from dataclasses import replace

import numpy as np
import pytest

from fairlead.core.analysis.analyses import Analyses
from fairlead.core.comparison.at_marker import reflection_at, value_at
from fairlead.core.document.bench import Bench
from fairlead.core.document.entry import Entry
from fairlead.core.document.markers import with_marker
from fairlead.core.figures import swr_at
from fairlead.core.marker_table import MarkerTable, marker_title
from fairlead.core.report import as_csv, as_json, as_markdown, as_text
from fairlead.core.sweep import ScalarSweep, Sweep
from fairlead.core.views.impedance_size import IMPEDANCE_SIZE
from fairlead.core.views.reactance import REACTANCE
from fairlead.core.views.resistance import RESISTANCE
from fairlead.core.views.return_loss import RETURN_LOSS
from fairlead.core.views.shape import SHAPE
from fairlead.core.views.swr import SWR
from fairlead.core.views.swr_change import SWR_CHANGE

HZ = np.linspace(49e6, 53e6, 401)


def series_circuit(resistance_ohm, at_hz, q=9.0):
    """Reflection of R + jX, X = Q R (f/f0 - f0/f)."""
    x_ohm = q * resistance_ohm * (HZ / at_hz - at_hz / HZ)
    z_ohm = resistance_ohm + 1j * x_ohm
    return Sweep(HZ, (z_ohm - 50) / (z_ohm + 50), 50.0)


def bench_of(*sweeps, at_hz=(50.2e6,)):
    entries = tuple(Entry(i, one, f"sweep {i}") for i, one in enumerate(sweeps, 1))
    bench = Bench(entries, 1, next_key=len(entries) + 1)
    for hz in at_hz:
        bench = with_marker(bench, hz)
    return bench


def read(sweep, quantity, at_hz):
    return value_at(quantity, Analyses().of(sweep, 50.0), at_hz)


def cells(bench, shown, key=1):
    table = MarkerTable(bench, Analyses(), shown)
    return [table.cell(bench.entry(key), bench.markers[0], one) for one in table.columns]


@pytest.mark.parametrize("at_hz", [50.2e6, 50.2034e6])
def test_values_are_those_of_the_circuit(at_hz):
    """Between points, too; 36.5 ohm is a quarter wave over perfect ground (any textbook)."""
    sweep = series_circuit(36.5, 51e6)
    x_ohm = 9 * 36.5 * (at_hz / 51e6 - 51e6 / at_hz)
    gamma = abs((36.5 + 1j * x_ohm - 50) / (36.5 + 1j * x_ohm + 50))
    assert read(sweep, RESISTANCE, at_hz).value == pytest.approx(36.5, abs=1e-6)
    assert read(sweep, REACTANCE, at_hz).value == pytest.approx(x_ohm, abs=1e-4)
    assert read(sweep, SWR, at_hz).value == pytest.approx((1 + gamma) / (1 - gamma), rel=1e-6)
    loss_db = -20 * math.log10(gamma)
    assert read(sweep, RETURN_LOSS, at_hz).value == pytest.approx(loss_db, rel=1e-6)


def test_values_at_a_point_are_those_of_scikit_rf():
    skrf = pytest.importorskip("skrf")
    sweep = series_circuit(36.5, 51e6)
    network = skrf.Network(f=HZ, s=sweep.reflection, z0=50, f_unit="Hz")
    index = 120
    z_ohm, at_hz = network.z[index, 0, 0], float(HZ[index])
    assert read(sweep, RESISTANCE, at_hz).value == pytest.approx(z_ohm.real)
    assert read(sweep, REACTANCE, at_hz).value == pytest.approx(z_ohm.imag)
    assert read(sweep, SWR, at_hz).value == pytest.approx(network.s_vswr[index, 0, 0].real)


def test_the_swr_is_that_of_a_band_edge_at_the_same_frequency():
    noise = np.random.default_rng(3).normal(0, 0.01, (401, 2)) @ (1, 1j)
    sweep = Sweep(HZ, series_circuit(36.5, 51e6).reflection + noise, 50.0)
    for at_hz in (49e6, 50.2034e6, 53e6):
        assert read(sweep, SWR, at_hz).value == swr_at(Analyses().of(sweep, 50.0), at_hz)


def test_outside_the_sweep_there_is_nothing():
    found = read(series_circuit(36.5, 51e6), RESISTANCE, 53.1e6)
    assert (found.value, found.why_not) == (None, "outside the sweep")


def test_where_points_are_too_far_apart_there_is_nothing_but_at_the_points():
    turns = np.exp(2j * np.pi * np.linspace(0, 6, 9))
    sweep = Sweep(np.linspace(49e6, 53e6, 9), 0.5 * turns, 50.0)
    assert read(sweep, SWR, 50.5e6).value == pytest.approx(3.0)
    for quantity in (SWR, RESISTANCE):
        assert "points too far apart" in read(sweep, quantity, 50.2e6).why_not


def test_a_sweep_without_phase_has_its_swr_and_says_why_no_more():
    sweep = ScalarSweep(HZ, np.abs(series_circuit(36.5, 51e6).reflection), 50.0)
    assert read(sweep, SWR, 51e6).value == pytest.approx(50 / 36.5, rel=1e-4)
    assert read(sweep, REACTANCE, 51e6).why_not == "no phase measured"


def test_beyond_the_meter_s_scale_only_a_bound_is_known():
    magnitude = np.full(401, 9 / 11)
    sweep = ScalarSweep(HZ, magnitude, 50.0, np.ones(401, dtype=bool))
    bench = bench_of(sweep)
    assert [one.text for one in cells(bench, RETURN_LOSS)] == ["< 1.7", "> 10.0", "–", "–"]
    assert as_json(bench)["markers"][0]["values"][0]["bounds"] == ["return_loss_db", "swr"]
    assert "> 10" in as_csv(bench)
    assert read(sweep, IMPEDANCE_SIZE, 50e6).why_not == "no phase measured"


def test_a_bound_beside_a_phase_says_nothing_of_ohms():
    sweep = series_circuit(36.5, 51e6)
    analysis = Analyses().of(sweep, 50.0)
    bound = np.ones(401, dtype=bool)
    track = replace(analysis.track, is_bound=bound)
    found = value_at(RESISTANCE, replace(analysis, is_bound=bound, track=track), 50.2e6)
    assert found.why_not == "beyond the meter's scale"


def test_above_one_there_is_no_swr_but_ohms():
    sweep = Sweep(HZ, np.full(401, 1.2j), 50.0)
    assert "above 1" in read(sweep, SWR, 50.2e6).why_not
    assert read(sweep, RESISTANCE, 50.2e6).value == pytest.approx(50 * (1 - 1.44) / (1 + 1.44))


def test_an_open_circuit_has_no_ohms():
    found = read(Sweep(HZ, np.ones(401), 50.0), RESISTANCE, 50.2e6)
    assert found.why_not == "no such value: all comes back"
    assert read(Sweep(HZ, np.ones(401), 50.0), SWR, 50.2e6).value == math.inf


def test_the_shown_quantity_comes_first_and_none_twice():
    bench = bench_of(series_circuit(50.0, 51e6), at_hz=(51e6,))
    assert [one.text for one in cells(bench, SWR)] == ["1.00", "50.0", "0.0"]
    assert [one.text for one in cells(bench, IMPEDANCE_SIZE)] == ["50.0", "1.00", "50.0", "0.0"]
    assert [one.text for one in cells(bench, SHAPE)] == ["1.00", "50.0", "0.0"]


def test_a_change_is_against_the_reference_or_has_its_reason():
    other = Sweep(HZ[:100], series_circuit(36.5, 51e6).reflection[:100], 50.0)
    bench = bench_of(series_circuit(50.0, 51e6), series_circuit(25.0, 51e6), other, at_hz=(51e6,))
    assert cells(bench, SWR_CHANGE, 2)[0].text == "+1.00"
    assert cells(bench, SWR_CHANGE, 3)[0].why_not == "outside the sweep"
    lower = replace(bench, reference_key=3)
    assert cells(lower, SWR_CHANGE, 1)[0].why_not == "nothing to compare with at this frequency"
    scalar = ScalarSweep(HZ, np.full(401, 0.2), 75.0)
    apart = replace(bench, entries=(*bench.entries, Entry(9, scalar, "other")), next_key=10)
    assert cells(apart, SWR_CHANGE, 9)[0].why_not


def test_texts_have_a_table_for_each_marker():
    bench = with_marker(bench_of(series_circuit(50.0, 51e6), at_hz=(54e6,)), 51e6, "club | net")
    lines = as_text(bench).splitlines()
    first = next(i for i, line in enumerate(lines) if line.startswith("At 51 MHz, club | net"))
    assert lines[first].split("  ")[-1].strip() == "X (Ω)"
    assert lines[first + 1].split() == ["sweep", "1", "1.00", "∞", "50.0", "0.0"]
    assert lines[-1] == "sweep 1: outside the sweep."
    markdown = as_markdown(bench)
    assert "| At 51 MHz, club \\| net | SWR | Return loss (dB) | R (Ω) | X (Ω) |" in markdown
    assert "| sweep 1 | 1.00 | ∞ | 50.0 | 0.0 |" in markdown


def test_json_and_csv_have_numbers_or_nothing():
    bench = with_marker(bench_of(series_circuit(50.0, 51e6), at_hz=(54e6,)), 51e6, "net")
    near, far = json.loads(json.dumps(as_json(bench)["markers"]))
    assert (near["name"], near["frequency_hz"], far["name"]) == ("net", 51e6, None)
    assert near["values"][0]["swr"] == pytest.approx(1.0, abs=1e-9)
    assert near["values"][0]["resistance_ohm"] == pytest.approx(50.0)
    assert far["values"][0]["swr"] is None
    assert far["values"][0]["why_not"]["reactance_ohm"] == "outside the sweep"
    row = next(csv.DictReader(io.StringIO(as_csv(bench))))
    assert float(row["resistance_ohm_at_51_mhz"]) == pytest.approx(50.0)
    assert row["swr_at_54_mhz"] == ""


def test_a_marker_is_named_by_its_frequency():
    bench = with_marker(bench_of(series_circuit(50.0, 51e6)), 51.0125e6, "net")
    assert [marker_title(one) for one in bench.markers] == ["50.2 MHz", "51.0125 MHz, net"]


def test_the_reflection_at_a_marker_is_that_of_the_circuit_where_the_sweep_has_one():
    sweep = series_circuit(36.5, 51e6)
    analysis = Analyses().of(sweep, 50.0)
    found = reflection_at(analysis, 50.2034e6)
    x_ohm = 9 * 36.5 * (50.2034e6 / 51e6 - 51e6 / 50.2034e6)
    assert found == pytest.approx((36.5 + 1j * x_ohm - 50) / (36.5 + 1j * x_ohm + 50), abs=1e-6)
    assert reflection_at(analysis, 53.1e6) is None
    scalar = ScalarSweep(HZ, np.abs(sweep.reflection), 50.0)
    assert reflection_at(Analyses().of(scalar, 50.0), 51e6) is None
