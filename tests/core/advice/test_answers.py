"""Questions to a bench, and the answers in sentences, tables and JSON."""

from __future__ import annotations

import json
from dataclasses import replace

import jsonschema
import numpy as np
import pytest
from circuits import SeriesCircuit, complex_noise

from fairlead.core.advice import cautions, wording
from fairlead.core.advice.advice_json import as_json
from fairlead.core.advice.advice_report import as_markdown, as_text, sections, table
from fairlead.core.advice.answers import Question, TrimQuestion, advise
from fairlead.core.advice.asked import parse_station
from fairlead.core.advice.budget import Station
from fairlead.core.advice.elements import Lumped, Section, Stub
from fairlead.core.advice.matching import Wish
from fairlead.core.advice.radio import FOLD_BACK, TUNER
from fairlead.core.analysis.analyses import Analyses
from fairlead.core.bands import Band
from fairlead.core.comparison.knowledge import compare_known
from fairlead.core.comparison.rows import compare
from fairlead.core.document.bench import Bench
from fairlead.core.errors import ReadError
from fairlead.core.feed_line import FeedLine
from fairlead.core.reading import Reading
from fairlead.core.sweep import ScalarSweep, Sweep
from fairlead.core.uncertainty.error_model import ErrorModel

BAND = Band(50e6, 52e6)
AT_HZ = np.linspace(46e6, 58e6, 241)
DRY = SeriesCircuit(50.828e6, 50.0, 6.6)
ICED = SeriesCircuit(49.006e6, 50.0, 6.6)
STATION = parse_station("100W", "fixed", "RG-58, 12 m")


def swept(circuit, sigma=0.001, seed=1, at_hz=AT_HZ):
    return Sweep(at_hz, circuit.reflection(at_hz) + complex_noise(at_hz.size, sigma, seed))


def bench_of(**sweeps):
    readings = [Reading(sweep, label, f"{label}.s1p") for label, sweep in sweeps.items()]
    return Bench().with_band(BAND).with_readings(readings)


def asked(bench, question, rows=None):
    return advise(bench, compare_known(bench) if rows is None else rows, Analyses(), question)


@pytest.fixture(scope="module")
def whole():
    """Everything asked of a dry and an iced antenna."""
    bench = bench_of(dry=swept(DRY), iced=swept(ICED, seed=2))
    question = Question(STATION, True, TrimQuestion(51e6, 1385.0), Wish(51e6))
    return asked(bench, question)


def said(advice, heading):
    return dict(sections(advice))[heading]


def test_what_is_asked_is_answered_in_this_order(whole):
    assert [heading for heading, _ in sections(whole)] == [
        "Power into the antenna, not radiated",
        "What the difference costs",
        "One tuning for all",
        "Length",
        "Match",
        "Assumed",
        "Before you do any of this",
    ]


def test_the_power_says_where_it_goes(whole):
    dry, iced = said(whole, "Power into the antenna, not radiated")
    assert dry.startswith("dry: of 100 W, 7")
    assert "at the worst point, 52 MHz" in dry
    assert "1.31 dB in the line" in dry
    assert "fold-back" not in dry
    worst = whole.budgets[1].place("worst").steps
    assert f"SWR {worst.swr_antenna:.2f} there, {worst.swr_radio:.2f} at the radio" in iced
    assert f"{worst.total_db:.2f} dB is lost: " in iced


def test_ice_costs_so_much_and_no_more_digits(whole):
    (line,) = said(whole, "What the difference costs")
    assert line.startswith("iced compared with dry: ")
    assert " ± " in line
    assert "dB less into the antenna" in line
    assert "S-units of 6 dB (real meters differ)" in line


def test_the_tuning_for_all_is_that_of_the_issue(whole):
    line, assumption = said(whole, "One tuning for all")
    assert "Tune 2.1" in line
    assert "higher" in line
    assert "% shorter if the whole antenna is scaled" in line
    assert "the worst SWR of both sweeps is 1.64" in line
    assert "The radio sees no more than" in line
    assert "noise alone" in assumption


def test_the_length_is_cut_in_steps(whole):
    offset, amount, first = said(whole, "Length")
    assert "kHz below 51 MHz: make it shorter" in offset
    assert "mm less" in amount
    assert "if the whole antenna is scaled" in amount
    assert "sweep again" in first
    assert "Do not go below" in first


def test_a_match_says_what_to_build_and_what_there_is_without(whole):
    lines = said(whole, "Match")
    assert lines[0].startswith("Without a network the worst SWR over 50 to 52 MHz is: dry ")
    network = next(line for line in lines if line.startswith("L network at 51 MHz"))
    assert "in series (Q" in network or "across (Q" in network
    stub = next(line for line in lines if line.startswith("Shunt stub, shorted"))
    assert "mm of RG-213, shorted, across" in stub
    assert any("cannot be made of coax: neither side may be grounded." in line for line in lines)


def test_cautions_stand_once_and_defer(whole):
    lines = said(whole, "Before you do any of this")
    assert len(set(lines)) == len(lines)
    assert lines[-1] == cautions.FIRST
    assert any("47 CFR 1.1310" in line for line in lines)
    assert any("power lines" in line for line in lines)


def test_text_and_markdown_hold_the_same(whole):
    text, markdown = as_text(whole), as_markdown(whole)
    for heading, lines in sections(whole):
        assert heading in text
        assert f"## {heading}" in markdown
        assert all(line in text for line in lines)
    assert "W into antenna" in text
    assert "fold-back" not in text
    assert markdown.count("| dry |") == 4


JSON_OF_ADVICE = {
    "type": "object",
    "required": [
        *("format", "program", "band", "reference", "power_w", "radio", "sweeps", "differences"),
        *("shift", "trim", "matches", "why_not", "left_out", "sentences", "unread"),
    ],
    "additionalProperties": False,
    "properties": {
        **{key: {"type": "number"} for key in ("format", "power_w")},
        **{key: {"type": "object"} for key in ("band", "radio", "why_not", "left_out")},
        **{key: {"type": "array"} for key in ("sweeps", "differences", "matches", "unread")},
        **{key: {"type": ["object", "null"]} for key in ("shift", "trim")},
        **{key: {"type": ["string", "null"]} for key in ("program", "reference")},
        "sentences": {"type": "object"},
    },
}


def test_json_has_every_number(whole):
    error = ReadError("x.s1p", "no points", "sweep again", 3)
    found = json.loads(json.dumps(as_json(whole, [error], program="p"), allow_nan=False))
    jsonschema.validate(found, JSON_OF_ADVICE)
    place = found["sweeps"][1]["places"][0]
    steps = whole.budgets[1].places[0].steps
    assert place["place"] == "low_edge"
    assert place["power_w"] == pytest.approx(steps.power_w)
    assert place["total_db"] == pytest.approx(steps.total_db)
    assert place["power_interval_w"][0] < place["power_w"] < place["power_interval_w"][1]
    assert found["shift"]["worst_swr"] == pytest.approx(1.64, abs=0.005)
    assert found["trim"]["direction"] == "shorter"
    assert found["trim"]["change_mm"] == pytest.approx(-4.67, abs=0.2)
    kinds = {part["part"] for match in found["matches"] for part in match["network"]}
    assert kinds >= {"capacitor", "stub", "section"}
    assert found["differences"][0]["label"] == "iced"
    assert found["unread"] == [
        {"file": "x.s1p", "line": 3, "reason": "no points", "advice": "sweep again"}
    ]


def test_a_bench_without_sweeps_has_only_cautions():
    bench = Bench()
    found = asked(bench, Question(wants_shift=True, trim=TrimQuestion(), match=Wish()))
    assert table(found)[1] == []
    assert "No best tuning" in as_text(found)
    assert "No best tuning" in as_markdown(found)
    assert as_json(found)["reference"] is None
    assert found.trim is None


def test_only_some_sweeps():
    bench = bench_of(dry=swept(DRY), iced=swept(ICED, seed=2))
    question = Question(STATION, True, None, Wish(51e6), frozenset({2}))
    found = asked(bench, question)
    assert [row.entry.label for row in found.rows] == ["iced"]
    assert [one.label for one in found.unmatched] == ["dry", "iced"]
    assert "the worst SWR of the sweep is" in said(found, "One tuning for all")[0]


def test_a_sweep_at_the_radio_is_left_out_of_the_tuning_with_its_reason():
    bench = bench_of(dry=swept(DRY), far=swept(DRY, seed=3)).with_plane(2, "radio")
    found = asked(bench, Question(wants_shift=True, trim=TrimQuestion(), match=Wish(51e6)))
    assert found.shift_at_radio_swr is None
    lines = said(found, "One tuning for all")
    assert "far is left out" in lines[1]
    assert "radio" not in lines[0]
    turned = bench.with_reference(2)
    lost = asked(turned, Question(trim=TrimQuestion(), match=Wish(51e6)))
    assert "the line moves the best match" in said(lost, "Length")[0]
    assert "a match needs a sweep with phase, seen at the feed point" in said(lost, "Match")[0]
    assert set(as_json(lost)["why_not"]) == {"trim", "match"}
    assert as_json(asked(bench, Question(wants_shift=True)))["left_out"].keys() == {"far"}


def test_sweeps_that_end_too_soon_say_how_far_to_go():
    short = np.linspace(49.8e6, 54e6, 85)
    bench = bench_of(dry=swept(DRY, at_hz=short), iced=swept(ICED, at_hz=short))
    found = asked(bench, Question(wants_shift=True, trim=TrimQuestion(), match=Wish(70e6)))
    line = said(found, "One tuning for all")[0]
    assert "Sweep every condition from 47." not in line
    assert "Sweep every condition from " in line
    shift = as_json(found)["shift"]
    assert shift["shift_percent"] is None
    assert shift["sweep_from_hz"] < 49e6
    turned = asked(bench.with_reference(2), Question(trim=TrimQuestion()))
    assert "the best match of iced is not known" in said(turned, "Length")[0]


def test_of_few_points_the_noise_is_not_known_and_no_interval_told():
    few = np.linspace(44e6, 58e6, 11)
    bench = bench_of(low=swept(SeriesCircuit(50.5e6, 50.0, 4.0), 0.0, at_hz=few))
    line = said(asked(bench, Question(wants_shift=True)), "One tuning for all")[0]
    assert "±" not in line
    assert "Any shift" not in line


def test_nothing_that_can_be_built():
    bench = bench_of(open=Sweep(AT_HZ, np.full(241, 0.9999 + 0j)))
    found = asked(bench, Question(match=Wish(51e6)))
    assert said(found, "Match") == ["No answer: nothing that can be built matches it."]


def test_a_sweep_that_ends_in_the_band_tells_the_edge_it_has():
    part = swept(DRY, at_hz=np.linspace(49e6, 51.5e6, 51))
    away = swept(DRY, at_hz=np.linspace(60e6, 62e6, 51))
    found = asked(bench_of(dry=part, away=away), Question(STATION))
    near, far = said(found, "Power into the antenna, not radiated")
    assert "at the low edge, 50 MHz" in near
    assert far.startswith("away: no power budget: ")
    assert said(found, "What the difference costs") == [
        "away: no place at which both have a power budget."
    ]
    assert any("–" in row for row in table(found)[1])
    json.dumps(as_json(found), allow_nan=False)


def test_what_is_not_resolved_is_not_claimed():
    bench = bench_of(a=swept(DRY, 0.003, 1), b=swept(DRY, 0.003, 2))
    (line,) = said(asked(bench, Question(STATION)), "What the difference costs")
    assert "no difference can be claimed" in line


def test_without_intervals_numbers_stand_alone():
    bench = bench_of(iced=swept(ICED), dry=swept(DRY))
    found = asked(bench, Question(STATION, trim=TrimQuestion(51e6, 1000.0)), compare(bench))
    (line,) = said(found, "What the difference costs")
    assert "±" not in line
    assert "dB more into the antenna" in line
    offset, amount, _ = said(found, "Length")
    assert "±" not in offset + amount


def test_the_length_in_per_cent_and_what_two_sweeps_say():
    before, after = SeriesCircuit(50.4e6, 50.0, 6.6), SeriesCircuit(50.6e6, 50.0, 6.6)
    bench = bench_of(now=swept(after), before=swept(before, seed=5))
    percent = asked(bench, Question(trim=TrimQuestion()))
    lines = said(percent, "Length")
    assert "% less of the whole antenna" in lines[1]
    assert lines[2].startswith("Cut 0.39 % first")
    assert as_json(percent)["trim"]["change_mm"] is None
    assert as_json(percent)["trim"]["change_percent"] == pytest.approx(-0.784, abs=0.02)
    question = Question(trim=TrimQuestion(51e6, None, "part", 2, 5.0))
    measured = asked(bench, question)
    lines = said(measured, "Length")
    assert "kHz for each millimetre cut." in lines[1]
    assert "if the whole antenna is scaled" not in " ".join(lines)
    assert as_json(measured)["trim"]["hz_per_mm"] == pytest.approx(40e3, rel=0.02)
    bare = said(asked(bench, question, compare(bench)), "Length")
    assert "40 kHz for each millimetre cut." in bare[1] or "kHz for each" in bare[1]
    nothing = asked(bench, Question(trim=TrimQuestion(51e6, None, "part", 1, 5.0)))
    assert "do not say what a millimetre does" in said(nothing, "Length")[0]


def test_a_cut_that_moved_next_to_nothing_teaches_nothing():
    near = SeriesCircuit(50.601e6, 50.0, 6.6)
    after = SeriesCircuit(50.6e6, 50.0, 6.6)
    bench = bench_of(now=swept(near, 0.01), before=swept(after, 0.01, seed=5))
    lines = said(
        asked(bench, Question(trim=TrimQuestion(51.5e6, 1000.0, "part", 2, 5.0))), "Length"
    )
    assert "may be none" in lines[1]
    assert len(lines) == 2


def test_a_part_on_target_too_high_or_uncertain():
    bench = bench_of(now=swept(DRY))
    part = said(asked(bench, Question(trim=TrimQuestion(50e6, 1385.0, "part"))), "Length")
    assert "make it longer" in part[0]
    assert "31 % of that" in part[1]
    assert part[2].startswith("Add ")
    assert "beyond" not in part[2]
    longer = said(asked(bench, Question(trim=TrimQuestion(50e6, 1385.0))), "Length")
    assert "mm more" in longer[1]
    assert "Do not go beyond" in longer[2]
    stated = bench.with_accuracy([1], ErrorModel(40.0))
    on = said(asked(stated, Question(trim=TrimQuestion(50.83e6, 1385.0))), "Length")
    assert on == ["now: the best match is on 50.83 MHz as far as it is known: leave the length."]
    half_hz = asked(stated, Question(trim=TrimQuestion(50.83e6))).trim.best.half_hz
    best_hz = asked(stated, Question(trim=TrimQuestion(50.83e6))).trim.best.frequency_hz
    edge = TrimQuestion(best_hz + half_hz * 1.02, 1385.0)
    assert "measure better before you cut" in said(asked(stated, Question(trim=edge)), "Length")[-1]


def test_an_end_fed_wire_has_a_hot_end_and_a_bad_match_its_caution():
    circuit = SeriesCircuit(50.8e6, 40.0, 25.0)
    bench = bench_of(wire=swept(circuit))
    station = Station(100, FOLD_BACK, transformer_loss_db=0.5, transformer_ratio=49.0)
    found = asked(bench, Question(station))
    lines = said(found, "Before you do any of this")
    assert cautions.POWER in lines
    hot = next(line for line in lines if "V peak at" in line)
    assert any(f"about {size}" in hot for size in (6, 7, 8, 9, 10, 11))
    power = said(found, "Power into the antenna, not radiated")[0]
    assert "to the radio's fold-back" in power
    assert "transformer" in power
    assert any("rule of thumb" in line for line in said(found, "Assumed"))


def test_a_tuner_without_a_line_loses_nothing():
    """All of the power goes into the antenna, whatever its SWR."""
    (line,) = said(
        asked(bench_of(dry=swept(DRY)), Question(Station(100, TUNER))),
        "Power into the antenna, not radiated",
    )
    assert line.startswith("dry: of 100 W, 100 W go into the antenna at the ")
    assert line.endswith("; next to nothing is lost.")


def test_assumptions_that_differ_stand_with_their_sweep():
    bench = bench_of(a=swept(DRY), b=ScalarSweep(AT_HZ, np.abs(DRY.reflection(AT_HZ))))
    found = asked(bench.with_plane(1, "feed"), Question(STATION))
    shared, own, sign = said(found, "Assumed")
    assert sign.startswith("± covers 95 %")
    assert shared == "All sweeps: a 50 Ω transmitter without a tuner; 12 m of RG-58."
    assert own.startswith("b: the sweep counts as taken at the feed point")
    radios = [replace(one, assumptions=(f"radio {i}",)) for i, one in enumerate(found.budgets)]
    assert said(replace(found, budgets=tuple(radios)), "Assumed")[:2] == [
        "a: radio 0.",
        "b: radio 1.",
    ]


def test_parts_are_named_in_units_that_people_buy():
    line = FeedLine("RG-8X", 50.0, 0.8)
    network = (
        Lumped("shunt", "coil", 2.2e-6, 100.0),
        Lumped("series", "capacitor", 0.5e-12, 1000.0),
        Lumped("series", "coil", 33e-9, 100.0),
        Stub("series", "open", line, 0.5),
        Section(line, 1.2344),
    )
    assert wording.network_words(network) == (
        "2.2 µH across (Q 100), then 0.5 pF in series (Q 1000), then 33 nH in series (Q 100), then "
        "500 mm of RG-8X, open, in series, then 1234 mm of RG-8X"
    )
    assert wording.network_words(()) == "nothing"
