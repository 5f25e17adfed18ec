"""The conductor loss that a DC reading shows, against closed forms."""

from __future__ import annotations

import json
import math
from dataclasses import replace

import numpy as np
import pytest
from circuits import SeriesCircuit
from scipy.special import iv
from skrf.data import materials
from skrf.tlineFunctions import skin_depth

from fairlead.core.advice.advice_json import as_json
from fairlead.core.advice.advice_report import as_markdown, as_text
from fairlead.core.advice.answers import Question, advise
from fairlead.core.analysis.analyses import Analyses
from fairlead.core.bands import Band
from fairlead.core.comparison.changes import changes_of
from fairlead.core.comparison.dc_loss import dc_loss_of, least_loss
from fairlead.core.comparison.dc_reading import RESISTIVITY_OHM_M, DcReading, reading_of
from fairlead.core.comparison.knowledge import compare_known
from fairlead.core.comparison.part_lines import part_lines
from fairlead.core.comparison.skin_effect import ac_over_dc, skin_depth_m
from fairlead.core.document.bench import Bench
from fairlead.core.reading import Reading
from fairlead.core.report import as_json as figures_json
from fairlead.core.report import as_markdown as figures_markdown
from fairlead.core.report import as_text as figures_text
from fairlead.core.sweep import ScalarSweep, Sweep

COPPER = RESISTIVITY_OHM_M["copper"]
HALF_WAVE_M = 299_792_458 / 14.2e6 / 2


@pytest.mark.parametrize("depths", [0.01, 0.5, 1.0, 3.0, 10.0, 40.0, 59.0, 61.0, 300.0])
def test_the_ratio_is_that_of_the_bessel_functions(depths):
    """Exact for a round wire; scipy's functions are the oracle."""
    z = (1 + 1j) * depths
    if depths < 300:
        exact = (z * iv(0, z) / (2 * iv(1, z))).real
        assert ac_over_dc(depths, 1.0) == pytest.approx(exact, rel=1e-6)
    else:
        # The thick limit a / (2 delta), with its constant 1/4 (Wheeler 1942, from memory).
        assert ac_over_dc(depths, 1.0) == pytest.approx(depths / 2 + 0.25, rel=1e-5)


def test_skin_depth_and_resistivity_are_those_of_scikit_rf():
    assert skin_depth_m(14.2e6, COPPER) == pytest.approx(skin_depth(14.2e6, COPPER, 1), rel=1e-6)
    # Handbook value: 66 um at 1 MHz in copper (from memory).
    assert skin_depth_m(1e6, COPPER) == pytest.approx(65.2e-6, rel=5e-3)
    assert materials["copper"]["resistivity(ohm*m)"] == COPPER
    assert RESISTIVITY_OHM_M["aluminium"] <= materials["aluminum"]["resistivity(ohm*m)"]


@pytest.mark.parametrize(
    ("text", "reading"),
    [
        ("12 mΩ along 1.35 m, quarter wave", DcReading(0.012, 1.35, 0.25, None, "")),
        ("half-wave, 2 mm copper: 55mΩ over 10.1 m", DcReading(0.055, 10.1, 0.5, 2e-3, "copper")),
        (
            "1,5 ohm along 33 ft dipole 0.08 in aluminum",
            DcReading(1.5, 33 * 0.3048, 0.5, 0.08 * 0.0254, "aluminium"),
        ),
        ("80 µ\u2126 along 50 cm λ/4, brass and copper", DcReading(80e-6, 0.5, 0.25, None, "")),
    ],
)
def test_what_people_note(text, reading):
    found = reading_of(text)
    assert found.resistance_ohm == pytest.approx(reading.resistance_ohm)
    assert found.length_m == pytest.approx(reading.length_m)
    assert found.diameter_m == (
        reading.diameter_m if reading.diameter_m is None else pytest.approx(reading.diameter_m)
    )
    assert (found.waves, found.metal) == (reading.waves, reading.metal)


@pytest.mark.parametrize(
    ("text", "why"),
    [
        ("", "no DC resistance"),
        ("open, > 20 MΩ", "no resistance in mΩ"),
        ("< 1 Ω along 2 m, dipole", "no resistance in mΩ"),
        ("0 Ω along 2 m, dipole", "no resistance in mΩ"),
        ("-3 mΩ along 2 m, dipole", "no resistance in mΩ"),
        ("12 mΩ, dipole", "along which length"),
        ("12 mΩ along 0 m, dipole", "along which length"),
        ("12 mΩ along 2 m", "half wave"),
        ("12 mΩ along 2 m, dipole on a ground-plane", "half wave"),
    ],
)
def test_what_is_missing_is_said(text, why):
    assert why in reading_of(text)


def solid_ohm(length_m, diameter_m, resistivity=COPPER):
    return resistivity * length_m / (math.pi * diameter_m**2 / 4)


def test_a_solid_copper_dipole_is_the_closed_form():
    """Half of length * surface resistance / circumference, the thick limit."""
    length_m, diameter_m = 0.96 * HALF_WAVE_M, 2e-3
    reading = DcReading(solid_ohm(length_m, diameter_m), length_m, 0.5, diameter_m, "copper")
    found = least_loss(reading, 14.2e6, 70.0)
    surface_ohm = math.sqrt(math.pi * 14.2e6 * 4e-7 * math.pi * COPPER)
    thick = length_m * surface_ohm / (math.pi * diameter_m) / 2
    depth_m = skin_depth_m(14.2e6, COPPER)
    assert found.at_feed_ohm == pytest.approx(thick * (1 + depth_m / diameter_m), rel=1e-3)
    assert found.share == pytest.approx(found.at_feed_ohm / 70)
    assert found.loss_db == pytest.approx(-10 * math.log10(1 - found.share))


@pytest.mark.parametrize(
    ("diameter_m", "metal", "length_m", "at_hz", "of_ohm", "lost_ohm"),
    [
        (2e-3, "copper", 10.2, 14.252e6, 72.82, 0.867),
        (20e-3, "aluminium", 10.0, 14.328e6, 72.02, 0.1112),
        (1e-3, "brass", 10.2, 14.271e6, 75.05, 3.328),
    ],
)
def test_it_is_a_lower_bound_of_what_a_solver_loses(
    diameter_m, metal, length_m, at_hz, of_ohm, lost_ohm
):
    """Dipoles in free space in an NEC-2 solver, 81 segments, at their resonance.

    The resistance is that with the metal's conductivity; what is lost is how much more that is
    than without loss at the same frequency.
    """
    ohm = solid_ohm(length_m, diameter_m, RESISTIVITY_OHM_M[metal])
    found = least_loss(DcReading(ohm, length_m, 0.5, diameter_m, metal), at_hz, of_ohm)
    assert 0.85 * lost_ohm < found.at_feed_ohm < lost_ohm


def test_without_a_diameter_the_reading_itself_counts():
    found = least_loss(DcReading(4.0, HALF_WAVE_M, 0.5, None, ""), 14.2e6, 80.0)
    assert (found.share, found.ac_over_dc) == (0.025, 1.0)


def test_what_metal_does_not_explain_is_not_scaled():
    """A reading far above solid metal's: a thin wall or joints."""
    length_m, diameter_m = HALF_WAVE_M, 2e-3
    metal = solid_ohm(length_m, diameter_m)
    plain, worse, worst = (
        least_loss(DcReading(ohm, length_m, 0.5, diameter_m, "copper"), 14.2e6, 80.0)
        for ohm in (metal, 3 * metal, 30 * metal)
    )
    assert worse.at_feed_ohm == pytest.approx(plain.at_feed_ohm)
    assert worst.at_feed_ohm == pytest.approx(15 * metal)


def test_part_of_a_conductor_stands_for_nine_tenths_of_a_wave():
    found = least_loss(DcReading(1.0, HALF_WAVE_M / 2, 0.5, None, ""), 14.2e6, 80.0)
    assert found.at_feed_ohm == pytest.approx(0.9)
    assert "1.8 times" in found.assumptions[-1]


@pytest.mark.parametrize(
    ("reading", "why"),
    [
        (DcReading(0.1, 1.2 * HALF_WAVE_M, 0.5, None, ""), "does not fit a half wave of 10.6 m"),
        (DcReading(0.1, 0.6 * HALF_WAVE_M, 0.25, None, ""), "does not fit a quarter wave"),
        (DcReading(0.1, 0.05 * HALF_WAVE_M, 0.5, None, ""), "does not fit"),
        (DcReading(500.0, HALF_WAVE_M, 0.5, None, ""), "more resistance than the whole"),
        (DcReading(0.01, HALF_WAVE_M, 0.5, 2e-3, "copper"), "below that of solid copper"),
    ],
)
def test_what_cannot_be_is_refused(reading, why):
    found = least_loss(reading, 14.2e6, 80.0)
    assert why in found.why_not
    assert (found.share, found.text, found.sentence) == (None, "", "")


AT_HZ = np.linspace(12e6, 16.5e6, 226)
NOTED = "3 Ω along 10.2 m, half wave"


def bench_of(noted=NOTED, **sweeps):
    readings = [Reading(sweep, label, f"{label}.s1p") for label, sweep in sweeps.items()]
    bench = Bench().with_band(Band(14e6, 14.35e6)).with_readings(readings)
    entry = bench.entries[-1]
    return bench.with_circumstances(entry.key, replace(entry.circumstances, continuity=noted))


def swept(f0_hz=14.2e6, r_ohm=75.0):
    return Sweep(AT_HZ, SeriesCircuit(f0_hz, r_ohm, 12).reflection(AT_HZ))


def test_it_is_said_in_every_answer_beside_the_change():
    bench = bench_of(dry=swept(), soaked=swept(14.1e6))
    rows = compare_known(bench)
    found = dc_loss_of(rows[1])
    assert found.share == pytest.approx(0.02, rel=1e-3)
    assert "at least 1.5 Ω of the 75 Ω" in found.sentence
    advice = advise(bench, rows, Analyses(), Question())
    for text in (as_text(advice), as_markdown(advice)):
        assert f"soaked: {found.sentence}." in text
        assert "dry: by the DC" not in text
    first, second = json.loads(json.dumps(as_json(advice)))["sweeps"]
    assert first["dc_loss"]["least_share"] is None
    assert first["dc_loss"]["why_not"] == "no DC resistance is noted"
    assert second["dc_loss"]["least_share"] == pytest.approx(found.share)
    assert second["dc_loss"]["sentence"] == found.sentence
    changes = changes_of(bench, rows)
    (summary,) = changes.values()
    assert summary.sentence.endswith(f"; {found.text}.")
    assert part_lines(summary)[-1].texts[:2] == ("Conductor", "≥ 0.087 dB")
    assert part_lines(summary)[-1].hint == found.sentence
    for text in (figures_text(bench, rows, changes), figures_markdown(bench, rows, changes)):
        assert found.text in text
    (change,) = figures_json(bench, rows=rows, changes=changes)["changes"]
    assert change["dc_loss"]["least_loss_db"] == pytest.approx(found.loss_db)


def test_a_sweep_at_the_radio_or_without_phase_says_nothing():
    bench = bench_of(one=ScalarSweep(AT_HZ, np.abs(swept().reflection)))
    assert "not known" in dc_loss_of(compare_known(bench)[0]).why_not
    bench = bench_of(one=swept())
    key = bench.entries[0].key
    at_radio = bench.with_plane(key, "radio")
    assert "remove the feed line" in dc_loss_of(compare_known(at_radio)[0]).why_not
    assert dc_loss_of(compare_known(bench)[0]).assumptions[0] == "the sweep was taken at the feed"
    at_feed = dc_loss_of(compare_known(bench.with_plane(key, "feed"))[0])
    assert at_feed.share is not None
    assert "the sweep was taken at the feed" not in at_feed.assumptions
    bad = bench_of("3 Ω along 30 m, half wave", one=swept())
    assert "does not fit" in dc_loss_of(compare_known(bad)[0]).why_not
