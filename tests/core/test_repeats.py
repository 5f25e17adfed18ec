"""Before, during, after: effect and drift in closed form, coverage, words, refusals."""

from __future__ import annotations

import json
import math
from dataclasses import replace

import numpy as np
import pytest
from circuits import SeriesCircuit, complex_noise

from fairlead.core.bands import Band
from fairlead.core.comparison.knowledge import compare_known
from fairlead.core.comparison.repeats.answer import Question, answer, caution
from fairlead.core.comparison.repeats.difference import weighted
from fairlead.core.comparison.repeats.output import as_object, lines_of
from fairlead.core.comparison.repeats.stages import compare_stages
from fairlead.core.comparison.repeats.times import minutes_from, parse_minutes
from fairlead.core.comparison.repeats.words import cable_verdict
from fairlead.core.document.bench import Bench
from fairlead.core.document.entry import Circumstances
from fairlead.core.document.planes import line_step, with_feed_line
from fairlead.core.errors import ValueTextError
from fairlead.core.feed_line import FeedLine
from fairlead.core.reading.reading import Reading
from fairlead.core.sweep import ScalarSweep, Sweep
from fairlead.core.uncertainty.error_model import ErrorModel
from fairlead.core.uncertainty.interval import Interval, Intervals

GRID_HZ = np.linspace(46e6, 56e6, 201)
NAMES = ("dry", "soaked", "dry again")
TIMES = ("2026-05-14T10:00", "2026-05-14T10:30", "2026-05-14T12:00")


def sweep_of(f0_hz, r_ohm=42.0, noise=0.002, seed=1):
    gamma = SeriesCircuit(f0_hz, r_ohm, 9.0).reflection(GRID_HZ)
    return Sweep(GRID_HZ, gamma + complex_noise(GRID_HZ.size, noise, seed))


def bench_of(*f0_hz, times=TIMES, sweeps=None, noise=0.002):
    sweeps = sweeps or [sweep_of(hz, noise=noise, seed=i) for i, hz in enumerate(f0_hz)]
    names = (*NAMES, *(f"more {i}" for i in range(9)))
    readings = [
        Reading(sweep, name, "", (), taken_at)
        for sweep, name, taken_at in zip(sweeps, names, (*times, *[""] * 9), strict=False)
    ]
    return Bench().with_readings(readings).with_band(Band(50e6, 52e6))


def rows_of(bench):
    return compare_known(bench)


def asked(bench, *, after=True, **words):
    keys = [entry.key for entry in bench.entries]
    question = Question(keys[0], keys[1], keys[2] if after else None, **words)
    return answer(rows_of(bench), question)


# --- arithmetic -----------------------------------------------------------------------------------


def known(noise, bound=None):
    return Intervals(Interval(-noise, noise), None if bound is None else Interval(-bound, bound))


def test_half_widths_add_in_quadrature_and_bounds_add():
    found = weighted((10.0, 4.0), (known(3, 5), known(4, 6)), (1.0, -1.0))
    assert found.value == 6
    assert found.intervals.repeatability == Interval(1.0, 11.0)
    assert found.intervals.accuracy == Interval(-5.0, 17.0)
    # The wider statement decides.
    assert found.half == 11
    assert found.is_resolved is False
    one_alone = weighted((10.0, 4.0), (known(3), known(4, 6)), (1.0, -1.0))
    assert one_alone.intervals.accuracy is None
    assert one_alone.is_resolved is True
    nothing = weighted((10.0, 4.0), (None, known(4)), (1.0, -1.0))
    assert nothing.half is None
    assert nothing.is_resolved is None
    endless = Intervals(Interval(-math.inf, 1.0))
    assert weighted((1.0,), (endless,), (1.0,)).half is None


def test_a_range_of_its_own_is_reached_over_by_one_tail_where_it_is_wide():
    """1.645 sigmas beyond a wide range, 1.96 where there is none (Imbens and Manski)."""
    sigma = 1 / 1.959964
    wide = weighted((0.0,), (known(1.0),), (1.0,), spread=50.0)
    assert wide.half == pytest.approx(50 + 1.644854 * sigma, abs=1e-4)
    none = weighted((0.0,), (known(1.0),), (1.0,))
    assert none.half == pytest.approx(1.0)
    narrow = weighted((0.0,), (known(1.0),), (1.0,), spread=1e-9)
    assert narrow.half == pytest.approx(1.0, abs=1e-6)
    exact = weighted((0.0,), (known(0.0),), (1.0,), spread=2.0)
    assert exact.half == pytest.approx(2.0)
    bounded = weighted((0.0,), (known(1.0, 3.0),), (1.0,), spread=2.0)
    assert bounded.intervals.accuracy == Interval(-5.0, 5.0)


def test_effect_and_drift_in_closed_form():
    """51.0 dry, 50.6 soaked after 30 min, 50.96 dry after 120 min: the baseline was 50.99 MHz."""
    found = asked(bench_of(51.0e6, 50.6e6, 50.96e6, noise=0.0)).compared
    assert found.minutes == (0.0, 30.0, 120.0)
    stages = found.figures["best_match_hz"]
    # A circuit of 42 ohm is matched best at its resonance; interpolation is good to some hertz.
    assert stages.drift.value == pytest.approx(-40e3, abs=50)
    assert stages.effect.value == pytest.approx(-390e3, abs=50)
    assert (stages.before, stages.during, stages.after) == pytest.approx(
        (51e6, 50.6e6, 50.96e6), abs=50
    )
    without = asked(bench_of(51.0e6, 50.6e6, 50.96e6, times=("", "", ""), noise=0.0)).compared
    assert without.minutes is None
    assert without.figures["best_match_hz"].effect.value == pytest.approx(-380e3, abs=50)


def test_the_half_widths_are_those_of_the_three_sweeps():
    bench = bench_of(51.0e6, 50.6e6, 50.96e6)
    halves = [(row.intervals["best_match_hz"].repeatability) for row in rows_of(bench)]
    h = [(one.high - one.low) / 2 for one in halves]
    stages = asked(bench).compared.figures["best_match_hz"]
    assert stages.drift.half == pytest.approx(math.hypot(h[0], h[2]))
    assert stages.effect.half == pytest.approx(math.hypot(0.75 * h[0], h[1], 0.25 * h[2]))
    two = asked(bench, after=False).compared.figures["best_match_hz"]
    assert two.drift is None
    assert two.effect.half == pytest.approx(math.hypot(h[0], h[1]))
    bare = bench_of(51.0e6, 50.6e6, 50.96e6, times=("", "", ""))
    untimed = asked(bare).compared.figures["best_match_hz"]
    assert untimed.effect.half > abs(untimed.drift.value) / 2


def test_stated_accuracy_stands_beside_the_noise():
    bench = bench_of(51.0e6, 50.6e6, 50.96e6)
    bench = bench.with_accuracy([entry.key for entry in bench.entries], ErrorModel(40.0))
    for times in (TIMES, ()):
        stages = asked(bench, minutes=(0.0, 30.0, 120.0) if times else ()).compared.figures[
            "best_match_hz"
        ]
        for found in (stages.drift, stages.effect):
            noise, bound = found.intervals.repeatability, found.intervals.accuracy
            assert bound.high - bound.low > noise.high - noise.low


@pytest.mark.parametrize("drift", [0.0, 0.5, 2.0, 20.0])
def test_intervals_of_effect_and_drift_hold_the_truth(drift):
    """2,000 cases of normal noise: with times 95 %, without at least so, wherever the baseline."""
    rng = np.random.default_rng(17)
    share = 0.3
    sigmas = np.array([1.0, 0.7, 1.6])
    cases = 2000
    base = np.array([0.0, share * drift, drift])
    noise = sigmas * rng.standard_normal((cases, 3))
    hit = {"effect": 0, "drift": 0, "untimed": 0}
    effect = -3.0
    for one in base + noise + np.array([0.0, effect, 0.0]):
        ends = [known(1.959964 * sigma) for sigma in sigmas]
        timed = weighted(one, ends, (share - 1, 1.0, -share))
        moved = weighted(one[[0, 2]], (ends[0], ends[2]), (-1.0, 1.0))
        middle = (one[1], (one[0] + one[2]) / 2)
        untimed = weighted(middle, (ends[1], ends[2]), (1.0, -1.0), abs(moved.value) / 2)
        hit["effect"] += abs(timed.value - effect) <= timed.half
        hit["drift"] += abs(moved.value - drift) <= moved.half
        hit["untimed"] += abs(untimed.value - effect) <= untimed.half
    assert 0.935 <= hit["effect"] / cases <= 0.965
    assert 0.935 <= hit["drift"] / cases <= 0.965
    assert hit["untimed"] / cases >= 0.94


# --- real sweeps ----------------------------------------------------------------------------------


def test_words_for_water():
    told = asked(bench_of(51.0e6, 50.6e6, 50.96e6))
    effect, drift, causes, drying = told.sentences
    assert effect.startswith(
        "soaked, compared with a baseline between dry and dry again at that time: best match 39"
    )
    assert " kHz lower (−0.7" in effect
    assert "unresolved: " in effect
    assert drift.startswith("Drift from dry to dry again in 120 minutes: best match 4")
    assert "Water or ice may" in causes
    assert drying == (
        "Drying curve: at least four sweeps with different times are needed, from wet to dry."
    )
    assert told.why_no_minutes == ""
    assert caution(told.question) == ""


def test_words_without_times_and_without_a_sweep_afterwards():
    told = asked(bench_of(51.0e6, 50.6e6, 50.96e6, times=("", "2026-05-14", "")))
    assert "the mean of dry and dry again, with their drift as uncertainty" in told.sentences[0]
    assert told.sentences[1].startswith("Drift from dry to dry again: ")
    assert told.why_no_minutes == "no date with a time of day is noted for each of them"
    assert told.drying == told.why_no_minutes
    two = asked(bench_of(51.0e6, 50.6e6, 50.96e6), after=False)
    assert two.sentences[0].startswith("soaked, compared with dry: ")
    assert two.sentences[1].startswith("Without a sweep afterwards")
    assert two.why_no_minutes == "a sweep afterwards is needed"
    assert two.drying == "a sweep afterwards is needed"


def test_a_drift_larger_than_the_effect_is_warned_of():
    told = asked(bench_of(51.0e6, 50.9e6, 50.3e6))
    assert told.sentences[2].startswith("The drift is larger than the effect")
    two = asked(bench_of(51e6, 50.6e6, 51e6), after=False)
    assert not any("Drying" in line for line in two.sentences)


def test_lines_begin_with_the_caution():
    told = asked(bench_of(51.0e6, 50.6e6, 51.0e6), kind="cable")
    assert lines_of(told) == [caution(told.question), *told.sentences]
    weather = asked(bench_of(51.0e6, 50.6e6, 51.0e6))
    assert lines_of(weather) == list(weather.sentences)


def test_nothing_is_said_about_chance_where_the_noise_is_not_known():
    rows = [replace(row, intervals={}) for row in rows_of(bench_of(51e6, 50.6e6, 50.96e6))]
    keys = [row.entry.key for row in rows]
    told = answer(rows, Question(*keys))
    assert any(line.startswith("The noise of these sweeps is unknown") for line in told.sentences)
    assert "±" not in " ".join(told.sentences)
    cable = answer(rows, Question(*keys, kind="cable"))
    assert cable_verdict(cable.compared) == "cannot tell"
    assert cable.sentences[0] == "Whether the cable is part of the antenna cannot be determined."
    untimed = answer(rows, Question(*keys, minutes=(1.0,)))
    assert untimed.why_no_minutes == "give a time in minutes for each of the three sweeps"
    assert untimed.compared.figures["best_match_hz"].effect.half is None


def test_a_sweep_that_says_the_same_has_not_changed():
    sweep = sweep_of(51e6)
    rows = [replace(row, intervals={}) for row in rows_of(bench_of(sweeps=[sweep, sweep, sweep]))]
    told = answer(rows, Question(*(row.entry.key for row in rows)))
    assert "best match the same" in told.sentences[0]


def test_typed_minutes_come_before_dates():
    told = asked(bench_of(51.0e6, 50.6e6, 50.96e6), minutes=(0.0, 60.0, 80.0))
    assert told.compared.minutes == (0.0, 60.0, 80.0)
    wrong = asked(bench_of(51.0e6, 50.6e6, 50.96e6), minutes=(0.0, 90.0, 80.0))
    assert "was not taken between" in wrong.compared
    assert wrong.sentences == (f"Nothing can be compared: {wrong.compared}.",)


def test_each_refusal_has_its_reason():
    bench = bench_of(51.0e6, 50.6e6, 50.96e6)
    rows = rows_of(bench)
    assert compare_stages(rows[0], rows[1], rows[0]) == "choose a different sweep for each"
    planes = bench.with_plane(rows[0].entry.key, "feed").with_plane(rows[1].entry.key, "radio")
    assert "not comparable" in asked(planes).compared
    scalar = ScalarSweep(GRID_HZ, np.abs(sweep_of(51e6).reflection), 75.0)
    other = bench_of(sweeps=[sweep_of(51e6), scalar, sweep_of(51e6)]).with_z0(50.0)
    assert "different reference impedance" in asked(other).compared


def test_each_missing_figure_has_its_reason():
    radio = bench_of(51.0e6, 50.6e6, 50.96e6)
    for entry in radio.entries:
        radio = radio.with_plane(entry.key, "radio")
    assert "feed line and antenna" in asked(radio).compared.why_not["q"]
    short_hz = np.linspace(46e6, 53e6, 141)
    falling = Sweep(short_hz, SeriesCircuit(53.5e6, 42.0, 9.0).reflection(short_hz))
    beyond = bench_of(sweeps=[sweep_of(51e6), falling, sweep_of(51e6, seed=2)])
    assert "at the end" in asked(beyond).compared.why_not["best_match_hz"]
    # Without a best match there are no per cent.
    assert "%" not in asked(beyond).sentences[0]
    full = Sweep(GRID_HZ, np.ones(GRID_HZ.size, dtype=complex))
    shorted = asked(bench_of(sweeps=[sweep_of(51e6), full, sweep_of(51e6, seed=2)]))
    assert "infinite" in shorted.compared.why_not["worst_swr"]
    assert set(shorted.compared.why_not) == {
        *("best_match_hz", "best_match_swr", "worst_swr", "usable_width_hz", "q")
    }
    assert "no figure exists in all of them" in shorted.sentences[0]
    assert cable_verdict(shorted.compared) == "cannot tell"


# --- the cable ------------------------------------------------------------------------------------


def test_a_cable_that_changes_the_sweep_is_part_of_the_antenna():
    told = asked(bench_of(51.0e6, 50.6e6, 51.0e6), kind="cable")
    assert cable_verdict(told.compared) == "yes"
    assert told.sentences[0] == (
        "The cable is part of the antenna: it changes the sweep by more than chance and drift."
    )
    assert told.drying is None
    assert "never while transmitting" in caution(told.question)
    pair = asked(bench_of(51.0e6, 50.6e6, 51.0e6), after=False, kind="cable")
    assert pair.sentences[0].endswith("put the cable back and take the first sweep again to know.")
    assert "choke the cable" in pair.sentences[-1]


def test_a_difference_within_the_drift_shows_nothing():
    told = asked(bench_of(51.0e6, 50.95e6, 50.8e6), kind="cable", minutes=(0.0, 1.0, 60.0))
    assert abs(told.compared.figures["best_match_hz"].effect.value) > 40e3
    assert cable_verdict(told.compared) == "no"
    assert told.sentences[0] == "Nothing shows that the cable is part of the antenna."
    assert "may still show it" in told.sentences[-1]


@pytest.mark.unmeasured
def test_by_chance_alone_the_cable_is_seldom_blamed():
    """Five figures at 95 % would blame it in up to a quarter of all cases."""
    blamed = 0
    for seed in range(60):
        sweeps = [sweep_of(51e6, seed=1000 + 2 * seed + i, noise=0.004) for i in range(2)]
        bench = bench_of(sweeps=sweeps)
        blamed += cable_verdict(asked(bench, after=False, kind="cable").compared) == "yes"
    assert blamed <= 6


def test_another_length_of_cable_is_compared_at_the_feed_point_only():
    line = FeedLine("a line", 50.0, 0.66, 0.2, 0.0)
    bench = bench_of(51.0e6, 50.6e6, 50.96e6)
    told = asked(bench, kind="cable-length")
    assert "remove its line" in told.compared
    for entry, length_m in zip(bench.entries, (5.0, 9.0, 5.0), strict=True):
        bench = with_feed_line(bench, [entry.key], "radio", line_step("radio", line, length_m))
    assert not isinstance(asked(bench, kind="cable-length").compared, str)


# --- times and output -----------------------------------------------------------------------------


def test_minutes_from_dates():
    assert minutes_from(TIMES) == (0.0, 30.0, 120.0)
    assert minutes_from(["2026-05-14T23:30+02:00", "2026-05-14T22:00Z"]) == (0.0, 30.0)
    for dates in (["2026-05-14T10:00", ""], ["2026-05-14"], ["soon"]):
        assert minutes_from(dates) == "no date with a time of day is noted for each of them"
    mixed = minutes_from(["2026-05-14T10:00", "2026-05-14T10:00Z"])
    assert mixed == "some of their times state a time zone and others do not"


@pytest.mark.parametrize("text", ["0, 25, 70.5", "0 25 70.5", "0;25;70,5", "0,25,70.5"])
def test_minutes_as_people_type_them(text):
    assert parse_minutes(text) == (0.0, 25.0, 70.5)


@pytest.mark.parametrize("text", ["", "0, soon", "1,,2"])
def test_what_is_no_time_is_refused(text):
    with pytest.raises(ValueTextError):
        parse_minutes(text)


def test_the_answer_as_json_has_every_number_and_reason():
    told = asked(bench_of(51.0e6, 50.6e6, 50.96e6))
    found = json.loads(json.dumps(as_object(told), allow_nan=False))
    assert (found["kind"], found["before"], found["after"]) == ("weather", "dry", "dry again")
    assert found["minutes"] == [0, 30, 120]
    stages = found["figures"]["best_match_hz"]
    assert stages["drift"]["value"] == pytest.approx(stages["after"] - stages["before"])
    assert stages["effect"]["resolved"] is True
    assert stages["effect"]["accuracy"] is None
    low, high = stages["effect"]["repeatability"]
    assert low < stages["effect"]["value"] < high
    assert found["cable_is_part"] is None
    assert found["drying"] is None
    assert "at least four" in found["drying_why_not"]
    two = as_object(asked(bench_of(51e6, 50.6e6, 51e6), after=False, kind="cable"))
    assert two["cable_is_part"] == "yes"
    assert two["after"] is None
    assert two["figures"]["best_match_hz"]["drift"] is None
    refused = as_object(asked(bench_of(51e6, 50.6e6, 51e6), kind="cable-length"))
    assert refused["figures"] is None
    assert "Feed line" in refused["why_not"]


# --- drying ---------------------------------------------------------------------------------------


def drying_bench(half_time=20.0, minutes=(0, 10, 20, 40, 70, 110), noise=0.002, hidden=()):
    """Dry at 51 MHz, then soaked by 400 kHz and drying."""
    sweeps = [sweep_of(51e6, noise=noise, seed=50)]
    dates = ["2026-05-14T09:00"]
    for i, at in enumerate(minutes):
        left_hz = 400e3 * 0.5 ** (at / half_time)
        sweeps.append(sweep_of(51e6 - left_hz, noise=noise, seed=i))
        dates.append(f"2026-05-14T{10 + at // 60:02}:{at % 60:02}")
    bench = bench_of(sweeps=sweeps, times=dates)
    keys = [entry.key for entry in bench.entries]
    for place in hidden:
        bench = bench.with_visibility(keys[place], is_visible=False)
    return bench, Question(keys[0], keys[1], keys[-1])


def test_a_drying_curve_has_its_half_time():
    bench, question = drying_bench()
    told = answer(rows_of(bench), question)
    drying = told.drying
    assert drying.points == 6
    assert drying.interval_minutes.low < 20 < drying.interval_minutes.high
    assert drying.half_time_minutes == pytest.approx(20, rel=0.1)
    assert drying.end - drying.start == pytest.approx(400e3, rel=0.05)
    assert told.sentences[-1].startswith(
        "Drying curve of 6 sweeps: half of the remaining change is gone"
    )
    assert "; +39" in told.sentences[-1]
    found = as_object(told)["drying"]
    assert found["half_time_minutes"] == drying.half_time_minutes
    assert found["interval_minutes"] == [drying.interval_minutes.low, drying.interval_minutes.high]


def test_hidden_sweeps_and_those_of_another_time_take_no_part():
    bench, question = drying_bench(hidden=(3,))
    assert answer(rows_of(bench), question).drying.points == 5
    noted = Circumstances(taken_at="2026-05-13T10:00")
    bench = bench.with_circumstances(bench.entries[4].key, noted)
    assert answer(rows_of(bench), question).drying.points == 4


def test_a_drying_curve_without_known_noise_needs_six_sweeps():
    bench, question = drying_bench(noise=0.0)
    rows = [replace(row, intervals={}) for row in rows_of(bench)]
    assert answer(rows, question).drying.half_time_minutes == pytest.approx(20, rel=1e-3)
    bench, question = drying_bench(noise=0.0, hidden=(3,))
    rows = [replace(row, intervals={}) for row in rows_of(bench)]
    assert "six sweeps" in answer(rows, question).drying
