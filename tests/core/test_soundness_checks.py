"""Each check speaks where an expert would, and is silent where an expert would be silent."""

from __future__ import annotations

import dataclasses
import math
from pathlib import Path

import numpy as np
import pytest
from circuits import C_M_PER_S, SeriesCircuit, behind_line, complex_noise
from suspects import ANTENNA, CLEAN, NOISE, WIDE_HZ, cable, found_in, good_model

from fairlead.core.analysis.analysis import analyse
from fairlead.core.bands import Band
from fairlead.core.figures import figures_of
from fairlead.core.soundness import checks, noisy
from fairlead.core.soundness.cable_loss import lengths_m
from fairlead.core.soundness.checks import ABOUTS, about, check_sweep
from fairlead.core.soundness.duplicates import repeated
from fairlead.core.soundness.facts import facts_of, find_dips
from fairlead.core.soundness.line_fit import fit_line
from fairlead.core.soundness.wording import rounded_up, shown_swr, shown_width
from fairlead.core.sweep import ScalarSweep, Sweep

BAND = Band(430e6, 440e6)
both_kinds = pytest.mark.parametrize("scalar", [False, True])


def suspects(found):
    return {code for code, one in found.items() if one.severity == "suspect"}


# What every check has


def test_every_check_says_what_it_stands_on_and_has_its_own_code():
    codes = [one.code for one in ABOUTS]
    assert len(set(codes)) == len(codes) == 14
    for one in ABOUTS:
        assert about(one.code) is one
        for text in (one.title, one.reason, one.threshold, one.source, one.advice):
            assert text
            assert text == text.strip()
        assert one.reason.endswith(".")
        assert one.advice.endswith(".")
    assert about("defaults-applied") is None


def test_the_manual_has_a_line_on_each_check():
    manual = (Path(__file__).parents[2] / "README.md").read_text("utf-8")
    assert [one.code for one in ABOUTS if f"| `{one.code}` |" not in manual] == []


def test_what_does_not_depend_on_the_band_is_worked_out_once(monkeypatch):
    analysis = analyse(Sweep(WIDE_HZ, CLEAN), 50.0)
    first = check_sweep(analysis)
    monkeypatch.setattr(checks, "facts_of", None)
    assert check_sweep(analysis, None, BAND) == first == ()


@both_kinds
def test_a_good_sweep_of_an_antenna_is_not_spoken_of(scalar):
    assert found_in(WIDE_HZ, CLEAN, BAND, scalar=scalar) == {}


@pytest.mark.unmeasured
def test_hundreds_of_good_models_raise_no_alarm():
    """600 of them: nothing suspect, and a line only where there is one of that length."""
    generator = np.random.default_rng(2026)
    told, right = 0, 0
    for _ in range(300):
        kind, line_m, hz, gamma = good_model(generator)
        found = found_in(hz, gamma)
        assert set(found) <= ({"line-in-sweep"} if kind == "line" else set())
        if found and "±" in found["line-in-sweep"].text:
            words = found["line-in-sweep"].text.split()
            at = words.index("±")
            length_m, known_m = (0.66 * float(words[at + side]) for side in (-1, 1))
            told += 1
            right += abs(length_m - line_m) <= known_m
            assert length_m == pytest.approx(line_m, rel=0.2)
        assert suspects(found_in(hz, gamma, scalar=True)) == set()
    assert told > 35
    assert right > 0.9 * told


# Best match outside, band not covered


def test_a_sweep_that_stops_before_the_dip_says_so():
    found = found_in(WIDE_HZ[:100], CLEAN[:100], BAND)
    assert set(found) == {"match-outside-sweep", "band-not-covered"}
    assert "high end of the sweep, 434.65 MHz" in found["match-outside-sweep"].text
    assert "only part of the band" in found["band-not-covered"].text
    found = found_in(WIDE_HZ[103:], CLEAN[103:], Band(437e6, 440e6))
    assert "low end" in found["match-outside-sweep"].text
    found = found_in(WIDE_HZ, CLEAN, Band(50e6, 52e6))
    assert found["band-not-covered"].text == "has nothing in the band 50 to 52 MHz"


def test_a_band_that_is_the_sweep_to_the_last_digit_is_covered():
    low_hz, high_hz = float(WIDE_HZ[0]), float(WIDE_HZ[-1])
    assert found_in(WIDE_HZ, CLEAN, Band(low_hz * (1 - 1e-12), high_hz * (1 + 1e-12))) == {}


# Points too far apart


@both_kinds
def test_fewer_than_four_points_a_width_are_too_few(scalar):
    hz = np.linspace(95e6, 195e6, 11)
    gamma = SeriesCircuit(145e6, 45, 12).reflection(hz)
    found = found_in(hz, gamma, scalar=scalar)
    assert suspects(found) == {"points-too-far-apart"}
    if scalar:
        assert "take at least 43 points" in found["points-too-far-apart"].text
    # At twice what it asks for the check is content: 100 MHz of 8.5 MHz wide dips.
    hz = np.linspace(95e6, 195e6, 87)
    assert found_in(hz, SeriesCircuit(145e6, 45, 12).reflection(hz), scalar=scalar) == {}


@both_kinds
def test_a_dip_at_the_end_of_the_sweep_counts_on_its_one_side(scalar):
    hz = np.linspace(145e6, 245e6, 11)
    gamma = SeriesCircuit(145e6, 45, 12).reflection(hz)
    assert "points-too-far-apart" in found_in(hz, gamma, scalar=scalar)
    assert "points-too-far-apart" in found_in(hz - 100e6, gamma[::-1].conj(), scalar=scalar)


def test_a_line_that_turns_over_an_eighth_a_step_asks_for_points_that_are_enough():
    hz = np.linspace(20e6, 3620e6, 181)
    length_m = 1.5
    gamma = behind_line(SeriesCircuit(900e6, 45, 12).reflection(hz), hz, length_m, 0.66, 1.0)
    found = found_in(hz, gamma)
    assert suspects(found) == {"points-too-far-apart"}
    text = found["points-too-far-apart"].text
    need = int(text.split("take at least ")[1].split()[0])
    step_hz = 3600e6 / (need - 1)
    assert 2 * length_m / (C_M_PER_S * 0.66) * step_hz <= 1 / 8
    # Not twice times what is needed either.
    assert need <= 1.1 * (1 + 3600e6 * 8 * 2 * length_m / (C_M_PER_S * 0.66))


def test_one_wide_turn_may_hide_a_dip_but_a_stray_point_is_none():
    hz = np.linspace(100e6, 200e6, 101)
    gamma = SeriesCircuit(150.5e6, 6, 900).reflection(hz)
    found = found_in(hz, gamma)
    assert "a dip may hide there" in found["points-too-far-apart"].text
    assert found["points-too-far-apart"].low_hz == pytest.approx(150e6)
    smooth = 0.6 * np.exp(1j * np.linspace(1, 0, 101))
    smooth[40] *= np.exp(2j)
    assert "points-too-far-apart" not in found_in(hz, smooth)


def test_where_only_the_interpolation_fails_it_is_a_note():
    hz = np.linspace(100e6, 200e6, 61)
    place = np.linspace(0, 1, 61)
    wiggle = 0.4 + 0.08 * np.exp(2j * np.pi * 13 * place) * (np.abs(place - 0.3) < 0.1)
    one = found_in(hz, wiggle)["points-too-far-apart"]
    assert one.severity == "note"
    assert "too far apart for figures" in one.text
    assert one.low_hz < 130e6 < one.high_hz


def test_a_narrow_dip_outside_the_band_is_not_the_bands_matter():
    hz = np.linspace(100e6, 500e6, 401)
    z_ohm = 1 / (
        1 / SeriesCircuit(144e6, 52, 15).impedance_ohm(hz)
        + 1 / SeriesCircuit(432e6, 52, 200).impedance_ohm(hz)
    )
    gamma = (z_ohm - 50) / (z_ohm + 50)
    assert "points-too-far-apart" in found_in(hz, gamma, scalar=True)
    assert "points-too-far-apart" in found_in(hz, gamma, Band(430e6, 440e6), scalar=True)
    assert "points-too-far-apart" not in found_in(hz, gamma, Band(140e6, 150e6), scalar=True)
    # A band beside the dip whose best match is followed into it.
    analysis = analyse(ScalarSweep(hz, np.abs(gamma)), 50.0)
    beside = Band(425e6, 429e6)
    found = check_sweep(analysis, figures_of(analysis, beside), beside)
    assert {one.code for one in found} <= {"points-too-far-apart"}
    assert check_sweep(analysis, None, beside) == ()


# Ceiling, flat


@both_kinds
def test_an_unconnected_cable_is_spoken_of_with_the_arithmetic(scalar):
    """25 m of a line of 32 dB/100 m at 435 MHz: 8 dB, SWR at most 1.38."""
    gamma = cable(WIDE_HZ, 25, 8.0 * np.sqrt(WIDE_HZ / 435e6)) + NOISE
    found = found_in(WIDE_HZ, gamma, scalar=scalar)
    one = found["swr-ceiling"]
    assert one.severity == ("note" if scalar else "suspect")
    told_db = float(one.text.split("a loss of ")[1].split(" dB")[0])
    assert 7.5 < told_db < 8.1
    assert "RG-58" in one.text
    assert ("nothing resonant at its end" in one.text) is not scalar


@both_kinds
def test_an_antenna_behind_8_db_is_spoken_of_over_a_wide_span_only(scalar):
    gamma = behind_line(ANTENNA, WIDE_HZ, 25, 0.66, 8.0) + NOISE
    found = found_in(WIDE_HZ, gamma, scalar=scalar)
    assert "swr-ceiling" in found
    narrow = np.abs(WIDE_HZ - 435e6) < 5e6
    assert "swr-ceiling" not in found_in(WIDE_HZ[narrow], gamma[narrow], scalar=scalar)


@pytest.mark.parametrize("loss_db", [3.0, 5.0, 8.0])
def test_with_phase_the_loss_is_that_of_the_model(loss_db):
    """The ceiling of the published rule: return loss at the near end is twice the line's loss."""
    antenna = SeriesCircuit(435e6, 60, 80).reflection(WIDE_HZ)
    gamma = behind_line(antenna, WIDE_HZ, 6, 0.66, loss_db) + NOISE
    text = found_in(WIDE_HZ, gamma)["swr-ceiling"].text
    told_db = float(text.split("a loss of ")[1].split(" dB")[0])
    assert told_db == pytest.approx(loss_db, rel=0.03)
    r = 10 ** (-loss_db / 10)
    told_swr = float(text.split("stays under ")[1].split()[0])
    assert told_swr == pytest.approx((1 + r) / (1 - r), rel=0.03)


@both_kinds
def test_a_broad_antenna_is_not_accused(scalar):
    hz = np.linspace(130e6, 160e6, 201)
    gamma = SeriesCircuit(145e6, 48, 2.5).reflection(hz) + 0.3 * NOISE
    assert np.abs(gamma).max() < 0.5
    assert found_in(hz, gamma, scalar=scalar) == {}


def test_something_low_and_even_that_no_fit_explains_is_only_a_note():
    hz = np.linspace(100e6, 200e6, 101)
    place = np.linspace(0, 2 * np.pi, 101)
    gamma = 0.2 + 0.012 * (np.exp(-9j * place) + np.exp(-4j * place) + np.exp(3j * place))
    assert found_in(hz, gamma)["swr-ceiling"].severity == "note"
    # Ten points only: no fit of a line at all.
    assert found_in(hz[::11], gamma[::11])["swr-ceiling"].severity == "note"
    assert "RG" not in found_in(hz * 100, gamma, scalar=True)["swr-ceiling"].text


@both_kinds
def test_flat_like_a_termination(scalar):
    load = 0.02 * np.exp(-1j * WIDE_HZ / 2e7) + NOISE
    assert suspects(found_in(WIDE_HZ, load, scalar=scalar)) == {"flat-like-a-termination"}
    narrow = np.abs(WIDE_HZ - 435e6) < 5e6
    found = found_in(WIDE_HZ[narrow], load[narrow], scalar=scalar)["flat-like-a-termination"]
    assert found.severity == "note"


@both_kinds
@pytest.mark.parametrize("value", [0.0, 0.2, 1 / 3])
def test_a_fixed_load_over_a_narrow_span_is_no_antenna_that_covers_the_band(scalar, value):
    hz = np.linspace(144e6, 146e6, 101)
    gamma = value + complex_noise(101, 0.001, 3)
    assert set(found_in(hz, gamma, scalar=scalar)) == {"flat-like-a-termination"}
    # The flattest of antennas, of Q 2, moves by 0.03 over these 1.4 %; an open end covers nothing.
    circuit = SeriesCircuit(145e6, 75, 2)
    assert found_in(hz, circuit.reflection(hz), scalar=False) == {}
    assert "flat-like-a-termination" not in found_in(hz, 0.9 + 0 * gamma + NOISE[:101])


def test_lengths_of_line_only_within_the_published_points():
    # 100 m of RG-213 lose 8.9 dB at 150 MHz, RG-58 20 dB (Codan guide, App. H).
    assert lengths_m(8.9, 150e6) == pytest.approx({"RG-58": 44.5, "RG-213": 100.0})
    assert set(lengths_m(3.0, 20e6)) == {"RG-213"}
    assert lengths_m(3.0, 2e9) == {}


# More than sent, noise


@both_kinds
def test_more_reflected_than_sent_is_counted_and_placed(scalar):
    gamma = CLEAN.copy()
    gamma[10:12] = 1.1
    text = found_in(WIDE_HZ, gamma, scalar=scalar)["reflection-above-one"].text
    assert "at 2 of 201 points, from 403.5 to 403.85 MHz, largest 1.1" in text
    gamma[11] = CLEAN[11]
    assert (
        "at 1 of 201 points, at 403.5 MHz" in found_in(WIDE_HZ, gamma)["reflection-above-one"].text
    )


def test_noise_on_total_reflection_is_not_more_than_sent():
    hz = np.linspace(100e6, 200e6, 401)
    gamma = np.exp(-1j * hz / 3e7) + complex_noise(401, 0.003, 8)
    assert np.abs(gamma).max() > 1
    assert "reflection-above-one" not in found_in(hz, gamma)


@both_kinds
def test_noise_says_what_it_does_to_the_figures(scalar):
    found = found_in(WIDE_HZ, ANTENNA + complex_noise(201, 0.02, 2), scalar=scalar)
    assert found["noisy"].severity == "note"
    assert ("Q to about" in found["noisy"].text) is not scalar


def test_the_wander_of_the_best_match_is_about_what_repeats_show():
    """Fifty repeats of one antenna: their spread against twice the standard error that is told."""
    wide_hz, told = [], []
    for seed in range(50):
        gamma = ANTENNA + complex_noise(201, 0.02, 100 + seed)
        analysis = analyse(Sweep(WIDE_HZ, gamma), 50.0)
        wide_hz.append(figures_of(analysis, BAND).best_match_hz)
        text = {one.code: one for one in check_sweep(analysis)}["noisy"].text
        told.append(1e3 * float(text.split("best match known to about ± ")[1].split(" kHz")[0]))
    assert 0.3 < 2 * np.std(wide_hz) / np.median(told) < 2.0


def test_noise_on_nothing_loses_the_best_match_and_on_few_points_says_less():
    hz = np.linspace(100e6, 101e6, 60)
    flat = 0.2 + complex_noise(60, 0.02, 5)
    assert "hidden by it" in found_in(hz, flat)["noisy"].text
    steep = SeriesCircuit(100.5e6, 50, 4000).reflection(hz) + complex_noise(60, 0.014, 5)
    text = found_in(hz, steep)["noisy"].text
    assert "SWR" in text
    assert "best match known" not in text


@pytest.mark.parametrize("copies", [1, 5])
def test_noise_says_where_it_hides_resonances(copies):
    """The reactance crosses zero three times by less than the noise: how often is not told."""
    knots = ([-1, -0.8, -0.7, -0.2, 0.2, 0.7, 0.8, 1], [-0.6, 0, 0.14, 0.14, -0.14, -0.14, 0, 0.6])
    across = np.interp(np.linspace(-1, 1, 120), *knots)
    across = np.concatenate([across if n % 2 == 0 else -across for n in range(copies)])
    hz = np.linspace(100e6, 101e6, across.size)
    facts = facts_of(analyse(Sweep(hz, 0.3 + 1j * across), 50.0))
    (quiet,) = noisy.find(dataclasses.replace(facts, noise=0.012))
    assert "resonances hidden" not in quiet.text
    (found,) = noisy.find(dataclasses.replace(facts, noise=0.036))
    spans = found.text.split(", the resonances hidden by it from ")[1].split(", ")
    assert len(spans) == min(copies, 4)
    assert (spans[-1] == "2 more spans") is (copies > 3)
    # Half of the swing of 0.6 before and after the first zero and the last.
    low_mhz, high_mhz = (float(part) for part in spans[0].removesuffix(" MHz").split(" to "))
    assert 100 < low_mhz < 100 + 0.1 / copies
    assert 100 + 0.9 / copies < high_mhz < 100 + 1 / copies


# Wrong way, lost sign


@pytest.mark.parametrize("length_m", [0, 6])
def test_a_conjugate_turns_the_wrong_way(length_m):
    gamma = behind_line(ANTENNA, WIDE_HZ, length_m, 0.66, 0.05 * length_m) + NOISE
    assert "turns-backwards" not in found_in(WIDE_HZ, gamma)
    found = found_in(WIDE_HZ, gamma.conj())
    assert suspects(found) == {"turns-backwards"}
    assert "counterclockwise" in found["turns-backwards"].text


def test_a_pad_or_a_short_curve_or_too_few_points_say_nothing_of_the_way():
    pad = 0.01 * ANTENNA.conj() + 0.5 * NOISE
    assert "turns-backwards" not in found_in(WIDE_HZ, pad)
    assert "turns-backwards" not in found_in(WIDE_HZ[::40], ANTENNA[::40].conj())
    # Nearly a full turn a step looks like a turn backwards: the points are too far apart.
    far = cable(WIDE_HZ, 0.33 / (350e3 * 2 / (C_M_PER_S * 0.66)), 1.0)
    assert "turns-backwards" not in found_in(WIDE_HZ, far)


def test_many_points_of_a_noisy_conjugate_are_smoothed_first():
    hz = np.linspace(400e6, 470e6, 4001)
    gamma = SeriesCircuit(435e6, 60, 30).reflection(hz) + complex_noise(4001, 0.005, 6)
    assert "turns-backwards" in found_in(hz, gamma.conj())
    assert "turns-backwards" not in found_in(hz, gamma)


@pytest.mark.parametrize("sign", [1, -1])
@pytest.mark.parametrize("length_m", [0, 6])
def test_a_lost_sign_is_seen_by_its_edge(sign, length_m):
    gamma = behind_line(ANTENNA, WIDE_HZ, length_m, 0.66, 0.05 * length_m) + NOISE
    found = found_in(WIDE_HZ, gamma.real + 1j * sign * np.abs(gamma.imag))
    assert suspects(found) == {"sign-lost"}
    if length_m == 0:
        assert found["sign-lost"].low_hz == pytest.approx(435e6, abs=1e6)


def test_a_curve_on_one_side_that_only_comes_near_has_its_sign():
    one_side = np.abs(WIDE_HZ - 445e6) < 8e6
    assert "sign-lost" not in found_in(WIDE_HZ[one_side], CLEAN[one_side])
    touching = 0.3 + 1j * ((WIDE_HZ - 435e6) / 35e6) ** 2 * 0.5
    assert "sign-lost" not in found_in(WIDE_HZ, touching)
    assert "sign-lost" not in found_in(WIDE_HZ[::20], np.abs(CLEAN[::20]) * 1j)


# Line


def test_the_flank_of_a_resonance_alone_is_neither_a_line_nor_under_a_ceiling():
    """Far off its resonance |G| hardly changes, and only the reactance turns it."""
    hz = np.linspace(46e6, 47e6, 201)
    lossy = 0.5 * SeriesCircuit(50e6, 50, 20).reflection(hz) + 0.3 * NOISE
    assert found_in(hz, lossy) == {}
    assert found_in(hz, lossy, scalar=True) == {}


@pytest.mark.parametrize("length_m", [0.5, 6.0, 25.0, 60.0])
@pytest.mark.parametrize("noise", [0, 0.002])
def test_the_line_is_told_apart_from_the_resonance(length_m, noise):
    """The plain slope of the phase reads metres too much; the fit does not."""
    hz = np.linspace(40e6, 60e6, 401)
    gamma = behind_line(
        SeriesCircuit(50e6, 35, 12).reflection(hz), hz, length_m, 0.66, 0.04 * length_m
    ) + complex_noise(401, noise, 3)
    fit = fit_line(hz, gamma, noise)
    per_m = 2 / (C_M_PER_S * 0.66)
    assert fit.is_good
    assert fit.delay_s / per_m == pytest.approx(length_m, abs=0.02 + 0.002 * length_m)
    assert fit.mean_turn_s / per_m > length_m + 1
    assert fit.far_magnitude == pytest.approx(10 ** (-0.004 * length_m), abs=0.02)
    if length_m >= 6:
        text = found_in(hz, gamma)["line-in-sweep"].text
        assert f"({length_m:g} m at velocity factor 0.66)" in text or length_m == 60


def test_a_resonance_alone_has_no_line_and_two_behind_one_are_not_separable():
    hz = np.linspace(40e6, 60e6, 401)
    assert fit_line(hz, SeriesCircuit(50e6, 35, 12).reflection(hz), 0.0).evidence < 10
    z_ohm = 1 / (
        1 / SeriesCircuit(48e6, 60, 15).impedance_ohm(hz)
        + 1 / SeriesCircuit(52e6, 40, 15).impedance_ohm(hz)
    )
    gamma = behind_line((z_ohm - 50) / (z_ohm + 50), hz, 12, 0.66, 0.5)
    assert "not separable" in found_in(hz, gamma)["line-in-sweep"].text
    assert fit_line(hz[:10], gamma[:10], 0.0) is None


def test_what_is_matched_over_all_of_the_sweep_is_not_said_to_be_open_or_shorted():
    """A horn with reflections from both of its ends, the far one some 0.2 m away."""
    hz = np.linspace(75e9, 110e9, 401)
    turn = np.exp(-2j * np.pi * hz * 1.3e-9)
    gamma = 0.02 + 0.06 * turn + 0.02 * turn**2 + complex_noise(401, 0.001, 2)
    text = found_in(hz, gamma)["line-in-sweep"].text
    assert "not separable" in text
    assert "open" not in text


# Segments, repeats


@both_kinds
def test_a_jump_is_found_where_it_is(scalar):
    gamma = CLEAN.copy()
    gamma[60:] *= 0.95
    one = found_in(WIDE_HZ, gamma, scalar=scalar)["jump-between-segments"]
    assert one.low_hz == pytest.approx(WIDE_HZ[59], abs=1e6)
    gamma[140:] *= 1 / 0.95
    assert "the first of 2" in found_in(WIDE_HZ, gamma)["jump-between-segments"].text


@both_kinds
def test_a_stray_point_is_no_jump_and_even_distances_are_a_comb(scalar):
    gamma = 0.8 * CLEAN
    gamma[77] += 0.2
    assert "jump-between-segments" not in found_in(WIDE_HZ, gamma, scalar=scalar)
    gamma = 0.8 * CLEAN
    gamma[(np.arange(201) // 25) % 2 == 1] *= 0.9
    text = found_in(WIDE_HZ, gamma)["jump-between-segments"].text
    assert "one every 25 points" in text


def test_a_stray_point_is_named_and_many_at_even_distances_are_a_comb():
    gamma = 0.8 * CLEAN
    gamma[77] += 0.2
    one = found_in(WIDE_HZ, gamma)["points-off-the-curve"]
    assert one.severity == "note"
    assert "1 point off the curve and left out of the figures: 426.95 MHz" in one.text
    gamma[[20, 60, 130, 150]] += 0.2
    assert "and more" in found_in(WIDE_HZ, gamma)["points-off-the-curve"].text
    gamma = 0.8 * CLEAN
    gamma[20::30] += 0.2
    one = found_in(WIDE_HZ, gamma)["points-off-the-curve"]
    assert one.severity == "suspect"
    assert "one every 30 points" in one.text


def test_four_jumps_at_odd_distances_are_no_comb():
    gamma = 0.8 * CLEAN
    for place in (25, 45, 140, 168):
        gamma[place:] *= 0.94
    assert "the first of 4" in found_in(WIDE_HZ, gamma)["jump-between-segments"].text


def test_a_steep_resonance_a_change_of_step_and_a_rough_curve_are_no_jumps():
    hz = np.linspace(400e6, 470e6, 801)
    steep = SeriesCircuit(435e6, 45, 450).reflection(hz)
    assert "jump-between-segments" not in found_in(hz, steep)
    hz = np.concatenate((np.linspace(400e6, 430e6, 31), np.linspace(430.1e6, 440e6, 100)))
    assert "jump-between-segments" not in found_in(hz, SeriesCircuit(435e6, 45, 30).reflection(hz))
    rough = 0.4 * np.exp(2j * np.pi * np.random.default_rng(1).uniform(size=601))
    assert "jump-between-segments" not in found_in(np.linspace(1e8, 2e8, 601), rough)
    near_end = CLEAN.copy()
    near_end[:2] *= 0.9
    assert "jump-between-segments" not in found_in(WIDE_HZ, near_end)


def test_no_more_than_six_dips_are_looked_at():
    hz = np.linspace(100e6, 200e6, 101)
    assert len(find_dips(hz, np.cos(np.linspace(0, 9 * np.pi, 101)) ** 2)) == 6
    assert find_dips(hz, np.full(101, 0.01)) == ()


@both_kinds
@pytest.mark.parametrize("value", [0.0, 1.1, 1.0])
def test_one_value_everywhere_was_not_measured(scalar, value):
    found = found_in(WIDE_HZ, np.full(201, value), scalar=scalar)
    assert "values-repeat" in found
    assert suspects(found) <= {"values-repeat", "reflection-above-one"}


def test_a_stalled_stretch_is_named_and_rounding_is_not():
    gamma = CLEAN.copy()
    gamma[50:90] = gamma[50]
    found = found_in(WIDE_HZ, gamma)
    assert suspects(found) == {"values-repeat"}
    assert "at 40 points in a row, 417.5 to 431.15 MHz" in found["values-repeat"].text
    hz = np.linspace(400e6, 470e6, 10_001)
    rounded = np.round(SeriesCircuit(435e6, 60, 3).reflection(hz), 3)
    assert "values-repeat" not in found_in(hz, rounded)
    assert suspects(found_in(hz[:2], rounded[:2])) == set()


def test_the_same_sweep_twice_is_a_finding_too():
    assert repeated("unit 1").code == "same-content"
    assert '"unit 1"' in repeated("unit 1").text


# Words


def test_numbers_as_they_are_said():
    assert [shown_swr(0.0), shown_swr(1 / 3), shown_swr(1.0)] == ["1", "2", "infinity"]
    assert [shown_width(12.34e3), shown_width(2.5e6)] == ["12.3 kHz", "2.5 MHz"]
    assert [rounded_up(n) for n in (7, 43, 101, 1234)] == [7, 43, 110, 1300]
    assert math.isclose(float(rounded_up(20.0)), 20.0)


@pytest.mark.parametrize(("largest", "severity"), [(1.02, "note"), (1.04, "suspect")])
def test_what_a_plain_calibration_leaves_above_one_is_only_a_note(largest, severity):
    """30 dB: 0.032 (common practice, no source)."""
    gamma = 0.9 * np.exp(-2j * np.pi * np.linspace(0, 0.5, 201))
    gamma[90:110] *= largest / 0.9
    assert found_in(WIDE_HZ, gamma)["reflection-above-one"].severity == severity
