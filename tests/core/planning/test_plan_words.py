"""The plan in words, what loaded sweeps lack, and what is typed for it."""

from __future__ import annotations

import json
from dataclasses import replace

import numpy as np
import pytest
from printed_benches import bench_of, bench_with, reading

from fairlead.core.analysis.analyses import Analyses
from fairlead.core.bands import Band
from fairlead.core.comparison.rows import compare
from fairlead.core.document.groups import with_group
from fairlead.core.document.session import Plan
from fairlead.core.errors import FairleadError
from fairlead.core.planning.asked import plan_of, plan_with, texts_of
from fairlead.core.planning.meets import lacking_in, lines_of
from fairlead.core.planning.needs import needs
from fairlead.core.planning.words import (
    as_json,
    as_markdown,
    as_text,
    checklist,
    sentences,
    span_text,
)
from fairlead.core.transform.frequency_scale import FrequencyScale
from fairlead.core.uncertainty.error_model import ErrorModel

BAND = Band(50e6, 52e6, "6 m")
WIDE_HZ = np.linspace(44e6, 59e6, 301)
PLAN = Plan(shift_hz=200e3, cover_swr=1.5, q=8.0, noise=0.002, repeatability_hz=20e3)


def said(plan, band=BAND):
    return " ".join(sentences(plan, band, needs(plan, band)))


def test_sentences_name_every_number_with_its_ground():
    text = said(PLAN)
    for words in (
        "detect a shift of 200 kHz",
        "50 to 52 MHz is covered at SWR 1.5",
        "2:1 width about 4.51 MHz",
        "Points: at least 65",
        "sweeps of each condition, for noise of",
        "a scatter of 20 kHz",
        "within 0.1 takes a directivity of 30 dB (own-kit, good-kit)",
        "calibrate at the antenna's feed point",
    ):
        assert words in text
    assert "none of the usual calibrations" in said(replace(PLAN, shift_hz=5e3))
    assert "one sweep of each condition" in said(replace(PLAN, repeatability_hz=None))
    only_scatter = said(replace(PLAN, noise=None))
    assert "for a scatter of 20 kHz" in only_scatter
    assert "enter the scatter" in said(Plan(shift_hz=2e4, q=8.0))
    assert "look for a larger shift" in said(replace(PLAN, shift_hz=1e3))
    assert "none needed" in said(Plan(cover_swr=2.0, q=8.0))
    assert "four points for each 2:1 width" in said(Plan(cover_swr=2.0, q=300.0))


def test_a_line_that_stays_is_measured_too():
    text = said(replace(PLAN, line_m=200.0, line_loss_db=3.0))
    assert "200 m of line turn the reflection" in text
    assert "Its 3 dB make every error of the analyzer 2 times as large" in text
    assert said(replace(PLAN, line_m=10.0)).endswith("open and shorted.")


def test_spans_are_rounded_outwards():
    assert span_text(45.432e6, 56.551e6) == "45.4 to 56.6 MHz"
    low, high = map(float, span_text(14.012e6, 14.338e6).removesuffix(" MHz").split(" to "))
    assert 14.0 <= low <= 14.012
    assert 14.338 <= high <= 14.35


def test_the_checklist_leaves_blanks_for_what_is_not_known():
    lines = [line for one in checklist(PLAN, BAND, needs(PLAN, BAND)) for line in one.lines]
    assert any(line.startswith("Cable, and how it runs: ....") for line in lines)
    told = replace(PLAN, cable="10 m, along the mast", shift_hz=1e3)
    lines = [line for one in checklist(told, BAND, needs(told, BAND)) for line in one.lines]
    assert "Cable, and how it runs: 10 m, along the mast" in lines
    assert any("power lines" in line for line in lines)
    assert any("antenna's static" in line for line in lines)
    assert any("RF exposure" in line for line in lines)


def lacking(bench, plan=PLAN):
    return lacking_in(bench, needs(plan, bench.band))


def test_loaded_sweeps_are_held_against_it_in_the_same_terms():
    bench = bench_of(
        reading(0, "a", frequency_hz=WIDE_HZ), reading(1, "short", frequency_hz=WIDE_HZ[60:90:6])
    )
    found = lacking(bench)
    assert found["a"] == (
        "calibration: not stated, where the plan asks for a directivity of 30 dB",
    )
    span, points, _ = found["short"]
    assert span.startswith("span: 47.00 to 48.20 MHz, where the plan asks for 45")
    assert points.startswith("points: one every 300 kHz, where the plan asks for one every ")
    assert lines_of(found)[0].startswith("a: calibration: not stated")
    poor = bench.with_accuracy([1], ErrorModel(20.0))
    assert lacking(poor)["a"] == (
        "calibration: a directivity of 20 dB, where the plan asks for 30 dB",
    )
    assert "a" not in lacking(bench.with_accuracy([1], ErrorModel(40.0)))
    assert "a" not in lacking(bench.with_step(1, FrequencyScale(1.0)))


def test_groups_of_repeats_are_counted():
    bench = bench_with(2, frequency_hz=WIDE_HZ).with_accuracy([1, 2], ErrorModel(60.0))
    bench = with_group(bench, [1, 2], kind="repeats")
    many = replace(PLAN, repeatability_hz=40e3)
    asked = needs(many, BAND).repeats
    label = bench.groups[0].label
    assert lacking(bench, many) == {label: (f"repeats: 2, where the plan asks for {asked}",)}
    assert lacking(bench, Plan(cover_swr=2.0, q=8.0)) == {}
    few = replace(PLAN, repeatability_hz=5e3)
    assert (needs(few, BAND).repeats, lacking(bench, few)) == (2, {})
    units = with_group(bench_with(2, frequency_hz=WIDE_HZ), [1, 2])
    assert "group 1" not in lacking(units, many)


def test_every_form_says_what_is_missing_or_that_nothing_is():
    found = needs(PLAN, BAND)
    assert "No sweep is loaded yet." in as_text(PLAN, BAND, found, None)
    assert "meet the plan" in as_text(PLAN, BAND, found, [])
    text = as_markdown(PLAN, BAND, found, ["a|b: span"], "List")
    assert text.startswith("# List\n\n## What for\n\n- [ ] Purpose")
    assert "- a\\|b: span" in text
    told = json.loads(json.dumps(as_json(PLAN, BAND, found, {"a": ("x",)}, program="fairlead")))
    assert told["needs"]["points"] == 65
    assert told["needs"]["good_enough"] == ["own-kit", "good-kit"]
    assert told["lacking"] == {"a": ["x"]}
    bare = replace(found, kept_db=None, cover_db=None)
    assert as_json(PLAN, BAND, bare, {}, program="f")["needs"]["good_enough"] == []


def test_what_is_typed_is_read_with_its_units():
    texts = {
        "shift_hz": "20", "cover_swr": "1,5", "q": "8", "noise": "0.2 %", "line_m": "40 ft",
        "repeatability_hz": "4 kHz", "velocity_factor": "0.66", "line_loss_db": "0.8 dB",
        "cable": " on the mast ",
    }  # fmt: skip
    plan = plan_of(texts)
    assert (plan.shift_hz, plan.cover_swr, plan.noise) == (20e3, 1.5, 0.002)
    assert plan.line_m == pytest.approx(12.192)
    assert (plan.line_loss_db, plan.cable) == (0.8, "on the mast")
    assert plan_of({"q": ""}, plan).q is None
    assert plan_of({}, plan) == plan
    again = plan_of(texts_of(plan))
    assert again == replace(plan, line_m=again.line_m, noise=again.noise)
    assert (again.line_m, again.noise) == pytest.approx((plan.line_m, plan.noise), rel=1e-5)
    assert texts_of(Plan(shift_hz=2e4))["shift_hz"] == "20"


@pytest.mark.parametrize(
    ("name", "text"),
    [
        ("shift_hz", "much"),
        ("cover_swr", "1"),
        ("q", "-3"),
        ("noise", "100 %"),
        ("velocity_factor", "1.2"),
        ("line_m", "12"),
    ],
)
def test_what_cannot_be_is_refused(name, text):
    with pytest.raises(FairleadError):
        plan_of({name: text})


def test_a_similar_antennas_sweep_fills_in_what_was_not_stated():
    (row,) = compare(bench_of(reading(noise=0.003)), Analyses())
    plan = plan_with(Plan(shift_hz=1e4), row.figures)
    assert plan.q == row.figures.q
    assert plan.noise == pytest.approx(0.003, rel=0.3)
    assert plan_with(PLAN, row.figures) == PLAN
    assert plan_with(PLAN, None) == PLAN
