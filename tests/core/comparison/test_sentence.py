"""What changed in words: nothing that the figures do not say."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest
from antenna_families import has_solver
from circuits import SeriesCircuit, complex_noise

from fairlead.core.analysis.analysis import analyse
from fairlead.core.bands import Band
from fairlead.core.comparison import changes
from fairlead.core.comparison.added_loss import added_loss
from fairlead.core.comparison.changes import changes_of
from fairlead.core.comparison.knowledge import compare_known
from fairlead.core.comparison.parts.result import Part, Parts
from fairlead.core.comparison.rows import Change, compare
from fairlead.core.comparison.sentence import sentence_of
from fairlead.core.comparison.what_changed import parts_of
from fairlead.core.document.bench import Bench
from fairlead.core.reading.reading import Reading
from fairlead.core.report import as_json, as_markdown, as_text
from fairlead.core.sweep import ScalarSweep, Sweep
from fairlead.core.uncertainty.interval import Interval, Intervals
from fairlead.core.verdict import Grounds, Within

GRID_HZ = np.linspace(129e6, 159e6, 401)
DRY, SOAKED = SeriesCircuit(144.985e6, 54.0, 15.31), SeriesCircuit(143.349e6, 60.0, 14.0)


def swept(circuit, seed):
    noise = complex_noise(GRID_HZ.size, 0.001, seed)
    return Sweep(GRID_HZ, circuit.reflection(GRID_HZ) + noise, 50.0)


def bench_of(*sweeps):
    names = ("Dry", "Soaked")
    readings = [Reading(one, names[k], "") for k, one in enumerate(sweeps)]
    return Bench().with_readings(readings).with_band(Band(144e6, 146e6))


BENCH = bench_of(swept(DRY, 1), swept(SOAKED, 2))
ROWS = compare_known(BENCH)
KEY = ROWS[1].entry.key
WHY = "no parts"


def part(value, half):
    return Part(value, half, 0.0, Intervals(Interval(value - half, value + half)))


def told(row=ROWS[1], reference=ROWS[0], parts=WHY):
    return sentence_of(row, reference, BENCH.band, BENCH.limit_swr, parts)


def test_the_whole_sentence():
    (found,) = changes_of(BENCH, ROWS).values()
    assert found.sentence.startswith("Soaked: best match 1.6")
    assert " MHz lower (−1.1 %); tuning 1.6" in found.sentence
    assert "; match 6.0" in found.sentence
    assert "; more damping (" in found.sentence
    assert " instead of 1." in found.sentence
    assert "covers the band at 2, not at 1.5" in found.sentence
    assert found.why_not is None


def test_nothing_changed_is_unresolved_never_unchanged():
    bench = bench_of(swept(DRY, 1), swept(DRY, 4))
    (found,) = changes_of(bench, compare_known(bench)).values()
    for name in ("best match", "tuning", "match", "damping"):
        assert f"{name} change unresolved (" in found.sentence
    assert "unchanged" not in found.sentence


def test_a_worst_swr_that_is_not_known_to_differ():
    row = replace(ROWS[1], unresolved=("worst_swr_change",))
    assert "its change unresolved" in told(row=row)


def test_a_worst_swr_that_reads_alike_on_both_is_no_change():
    row = replace(ROWS[1], figures=replace(ROWS[1].figures, worst_swr=1.2541))
    reference = replace(ROWS[0], figures=replace(ROWS[0].figures, worst_swr=1.2538))
    assert "worst SWR in the band 1.25, as for the reference" in told(row, reference)


def test_a_worst_swr_beyond_the_meter_on_both_is_neither_a_change_nor_equal():
    beyond = frozenset({"worst_swr"})
    row, reference = (
        replace(one, figures=replace(one.figures, worst_swr=10.0, at_least=beyond))
        for one in (ROWS[1], ROWS[0])
    )
    said = told(row, reference)
    assert "worst SWR in the band over 10" in said
    assert ", and of the reference too" in said
    assert "as for the reference" not in said


def test_the_reference_has_none_and_other_planes_say_so():
    assert told(row=ROWS[0]) == ""
    refused = replace(ROWS[1], change=Change(why_not="not comparable"))
    assert told(row=refused) == "Soaked: not comparable."


def test_the_condition_is_part_of_the_name():
    row = replace(ROWS[1], entry=replace(ROWS[1].entry, condition="after rain"))
    assert told(row=row).startswith("Soaked, after rain: ")


def test_no_best_match_and_none_that_moved():
    nowhere = replace(ROWS[1], change=Change())
    assert told(row=nowhere).startswith("Soaked: no best match to compare; ")
    same = replace(ROWS[1], change=Change(0.0, 0.0), half_widths={})
    assert "best match at the same frequency" in told(row=same)
    higher = replace(ROWS[1], change=Change(123456.0, 0.085), half_widths={})
    assert "best match 123 kHz higher (+0.09 %)" in told(row=higher)
    endless = replace(ROWS[1], half_widths={"best_match_shift_hz": math.inf})
    assert "best match change unresolved (unknown)" in told(row=endless)


def test_worst_swr_where_it_exists():
    lost = replace(ROWS[1], figures=replace(ROWS[1].figures, worst_swr=None))
    assert "worst SWR" not in told(row=lost)
    infinite = replace(ROWS[1], figures=replace(ROWS[1].figures, worst_swr=math.inf))
    assert "worst SWR in the band infinite instead of" in told(row=infinite)
    figures = replace(ROWS[1].figures, at_least=frozenset({"worst_swr"}))
    assert "worst SWR in the band over 1." in told(row=replace(ROWS[1], figures=figures))


@pytest.mark.parametrize(
    ("highest", "expected"),
    [
        (1.1, "covers the band at 1.5."),
        (2.4, "covers the band at 3, not at 2."),
        (5.0, "does not cover the band, even at 3."),
        (None, "whether it covers the band cannot be determined."),
    ],
)
def test_coverage(highest, expected):
    figures = replace(ROWS[1].figures, highest_swr=highest, grounds=None)
    assert told(row=replace(ROWS[1], figures=figures, intervals={})).endswith(expected)


def test_doubt_about_yes_leaves_only_the_limit_that_is_broken():
    grounds = Grounds(Within(1.7, 1.7, ""), {"yes": "something was hidden"})
    figures = replace(ROWS[1].figures, highest_swr=1.7, grounds=grounds)
    assert told(row=replace(ROWS[1], figures=figures)).endswith("does not cover the band at 1.5.")


def test_parts_one_by_one():
    parts = parts_of(ROWS[0].analysis, ROWS[1].analysis)
    other = replace(parts, tuning_hz=part(5e3, 1e3), match_ohm=None, damping_db=part(0.5, 0.1))
    text = told(parts=other)
    assert "tuning 5.0 ± 1.0 kHz higher; less damping (0.50 ± 0.10 dB of Q)" in text
    assert "Ω" not in text
    assert "match 3.0 ± 1.0 Ω lower" in told(parts=replace(parts, match_ohm=part(-3.0, 1.0)))
    assert replace(parts.tuning_hz, intervals=Intervals()).half == 0.0


# All of a bench


def test_without_parts_the_figures_still_speak():
    few_hz = GRID_HZ[::20]
    scalar = ScalarSweep(few_hz, np.abs(SOAKED.reflection(few_hz)), 50.0)
    bench = bench_of(swept(DRY, 1), scalar)
    (found,) = changes_of(bench, compare(bench)).values()
    assert "between its points to estimate the noise" in found.why_not
    assert "best match 1.6" in found.sentence


def test_what_still_holds_is_not_worked_out_again(monkeypatch):
    first = changes_of(BENCH, ROWS)
    calls = []
    monkeypatch.setattr(changes, "parts_of", lambda *arguments: calls.append(arguments) or "why")
    moved = BENCH.with_band(Band(143e6, 145e6))
    again = changes_of(moved, compare(moved), first)
    assert calls == []
    assert again[KEY].parts is first[KEY].parts
    assert again[KEY].sentence != first[KEY].sentence
    other = moved.with_z0(75.0)
    assert changes_of(other, compare(other), first)[KEY].parts == "why"
    assert len(calls) == 1


def test_it_stops_when_nobody_wants_it_and_says_nothing_without_a_reference():
    assert changes_of(BENCH, ROWS, is_wanted=lambda: False) is None
    assert changes_of(BENCH, ROWS[1:]) == {}


def test_what_nobody_has_foreseen_costs_no_other_parts(monkeypatch):
    def fails(*_):
        raise ZeroDivisionError

    monkeypatch.setattr(changes, "parts_of", fails)
    (found,) = changes_of(BENCH, ROWS).values()
    assert found.why_not == "the change could not be taken apart"


def test_texts_and_json():
    found = changes_of(BENCH, ROWS)
    sentence = found[KEY].sentence
    assert as_text(BENCH, ROWS, found).endswith(f"\n{sentence}\n")
    assert f"\n- {sentence}" in as_markdown(BENCH, ROWS, found)
    (change,) = as_json(BENCH, rows=ROWS)["changes"]
    assert change["sentence"] == sentence
    assert change["parts_why_not"] is None
    assert change["parts"]["match_ohm"] == pytest.approx(6.0, abs=0.3)
    low, high = change["parts"]["intervals"]["tuning_hz"]["repeatability"]
    assert low < -1.636e6 < high
    unsure = replace(found[KEY].parts, match_ohm=None, why_not_match="unsure")
    without = {KEY: replace(found[KEY], parts=unsure)}
    (change,) = as_json(BENCH, rows=ROWS, changes=without)["changes"]
    assert change["parts"]["match_ohm"] is None
    assert change["parts"]["why_not"] == {"match_ohm": "unsure"}
    (change,) = as_json(BENCH, rows=ROWS, changes={})["changes"]
    assert (change["parts"], change["parts_why_not"], change["sentence"]) == (None, None, None)


# Added loss


def loss(parts, planes=("feed", "feed"), *, one=True, told=True):
    return added_loss(parts, planes, is_one_calibration=one, is_radiation_unchanged=told)


def test_added_loss_is_claimed_only_where_it_may_be():
    parts = parts_of(ROWS[0].analysis, ROWS[1].analysis)
    near = replace(parts, tuning_hz=part(0.0, 1.0))
    assert loss(near, ("radio", "feed")).loss_db is None
    assert loss(near, one=False).loss_db is None
    assert "only you can know" in loss(near, told=False).text
    far = replace(parts, tuning_hz=part(6e6, 1.0))
    assert "too far" in loss(far).text
    assert loss(near).text.startswith("if nothing but loss changed, 0.")
    assert loss(near).text.endswith("dB of loss added")
    assert loss(replace(near, damping_db=part(0.5, 0.1))).text.endswith("of loss less")
    unsure = loss(replace(near, damping_db=part(-0.2, 0.4)))
    assert unsure.text == "added loss unresolved (+0.20 ± 0.40 dB)"


@pytest.mark.skipif(not has_solver(), reason="needs the antenna solver")
@pytest.mark.parametrize("conductivity", [1e6, 2e5])
def test_a_half_wave_dipole_of_falling_conductivity_by_a_solver(conductivity):
    """Oracle: NEC-2 (PyNEC). The efficiency is what the wire without loss takes at one current.

    At poorer wires the inner reactance moves the resonance, and the solver's own Q ratio leaves the
    efficiency too (0.895 and 0.872 at 5e4 S/m).
    """
    from PyNEC import nec_context  # noqa: PLC0415  (only where there is a solver)

    grid_hz = np.linspace(115e6, 180e6, 131)

    def solved(own_conductivity):
        values = []
        for hz in grid_hz:
            context = nec_context()
            context.get_geometry().wire(1, 31, 0, 0, -0.49, 0, 0, 0.49, 1e-3, 1, 1)
            context.geometry_complete(0)
            if own_conductivity:
                context.ld_card(5, 1, 1, 31, own_conductivity, 0, 0)
            context.ex_card(0, 1, 16, 0, 0, 1, 0, 0, 0, 0, 0)
            context.fr_card(0, 1, hz / 1e6, 0)
            context.xq_card(0)
            values.append(complex(context.get_input_parameters(0).get_impedance()[0]))
        return np.array(values)

    good_ohm, poor_ohm = solved(0.0), solved(conductivity)
    place = int(np.abs(good_ohm.imag).argmin())
    efficiency = good_ohm.real[place] / poor_ohm.real[place]
    sweeps = []
    for seed, z_ohm in enumerate((good_ohm, poor_ohm)):
        noise = complex_noise(grid_hz.size, 2e-4, seed)
        sweeps.append(analyse(Sweep(grid_hz, (z_ohm - 50) / (z_ohm + 50) + noise, 50.0), 50.0))
    parts = parts_of(*sweeps)
    assert isinstance(parts, Parts), parts
    assert 0.9 < efficiency < 0.98
    assert 10 ** (parts.damping_db.value / 10) == pytest.approx(efficiency, rel=0.02)
    assert loss(parts).loss_db == pytest.approx(-10 * math.log10(efficiency), abs=0.1)
