"""The comparison as text: the contract's JSON, CSV for scripts, Markdown and tables for people."""

from __future__ import annotations

import csv
import io
import json
import math

import numpy as np
import pytest
from circuits import SeriesCircuit

from fairlead.core.bands import Band
from fairlead.core.comparison.knowledge import compare_known
from fairlead.core.comparison.rows import compare
from fairlead.core.document.bench import Bench
from fairlead.core.errors import ReadError
from fairlead.core.figure_table import segment_text, shown
from fairlead.core.figures import figures
from fairlead.core.notice import Notice
from fairlead.core.reading.reading import Reading
from fairlead.core.report import (
    as_csv,
    as_json,
    as_markdown,
    as_text,
)
from fairlead.core.sweep import ScalarSweep, Sweep
from fairlead.core.table_lines import heading_line, interval_line, plain_mhz
from fairlead.core.units import DASH

SPECS = shown("text")
IDS = [spec.id for spec in SPECS]
GRID_HZ = np.linspace(48e6, 54e6, 201)


def reading(f0_hz=51e6, label="dry", r_ohm=62, frequency_hz=GRID_HZ, notices=()):
    gamma = SeriesCircuit(f0_hz, r_ohm, 8).reflection(frequency_hz)
    return Reading(Sweep(frequency_hz, gamma), label, f"club/{label}.s1p", notices)


def open_end(label="open"):
    return Reading(Sweep(GRID_HZ, np.ones(201)), label, "")


def cells(bench):
    """Titles, and the texts of every row."""
    titles = [spec.title(bench) for spec in SPECS]
    return titles, [[spec.cell(row) for spec in SPECS] for row in compare(bench)]


def bench_of(*readings):
    return Bench().with_readings(readings).with_band(Band(50e6, 52e6, "6 m, Region 1"))


@pytest.fixture
def bench():
    return bench_of(reading(), reading(50.6e6, "wet", 70))


def shape(value):
    """Keys and kinds of a JSON value, lists by their first element."""
    if isinstance(value, dict):
        return {key: shape(part) for key, part in value.items()}
    if isinstance(value, list):
        return [shape(value[0])] if value else []
    return "n" if isinstance(value, float) else type(value).__name__


# The headless contract, key by key, as the design states it.
CONTRACT = {
    "format": "int",
    "program": "str",
    "band": {"name": "str", "low_hz": "n", "high_hz": "n"},
    "limit_swr": "n",
    "z0_ohm": "n",
    "reference": "str",
    "sweeps": [
        {
            "label": "str",
            "file": "str",
            "points": "int",
            "low_hz": "n",
            "high_hz": "n",
            "z0_ohm": "n",
            "has_phase": "bool",
            "steps": [],
            "covers_band": "bool",
            "best_match_hz": "n",
            "best_match_swr": "n",
            "best_match_at_end": "bool",
            "resonances": [{"frequency_hz": "n", "resistance_ohm": "n"}],
            "usable": [
                {"low_hz": "n", "high_hz": "n", "low_is_open": "bool", "high_is_open": "bool"}
            ],
            "swr_low_edge": "n",
            "swr_high_edge": "n",
            "worst_swr": "n",
            "worst_hz": "n",
            "worst_mismatch_loss_db": "n",
            "q": "n",
            "condition": "NoneType",
            "date": "NoneType",
            "notes": "NoneType",
            "plane": "NoneType",
            "verdict": {"covers": "str", "reason": "str"},
            "usable_width_hz": "n",
            "resonance_hz": "n",
            "resonance_resistance_ohm": "n",
            "warnings": [{"code": "str", "text": "str"}],
            "intervals": {},
            "why_not": {},
            "traced": "NoneType",
            "at_least": [],
        }
    ],
    "changes": [
        {
            "label": "str",
            "best_match_shift_hz": "n",
            "best_match_shift_percent": "n",
            "best_match_swr_change": "n",
            "usable_width_change_hz": "n",
            "worst_swr_change": "n",
            "worst_mismatch_loss_change_db": "n",
            "q_ratio": "n",
            "unresolved": [],
            "parts": "NoneType",
            "parts_why_not": "str",
            "added_loss": "NoneType",
            "added_loss_db": "NoneType",
            "added_loss_half_db": "NoneType",
            "dc_loss": {
                "least_share": "NoneType",
                "least_loss_db": "NoneType",
                "conductor_at_feed_ohm": "NoneType",
                "resistance_ohm": "NoneType",
                "frequency_hz": "NoneType",
                "ac_over_dc": "NoneType",
                "assumptions": [],
                "sentence": "NoneType",
                "why_not": "str",
            },
            "sentence": "str",
        }
    ],
    "markers": [],
    "groups": [],
    "repeats": "NoneType",
    "unread": [{"file": "str", "line": "int", "reason": "str", "advice": "str"}],
}


class TestJson:
    def test_it_has_exactly_the_contracts_keys_and_kinds(self):
        noticed = reading(notices=(Notice("defaults-applied", "no option line"),))
        bench = bench_of(noticed, reading(50.6e6, "wet"))
        unread = [ReadError("bad.s1p", "no numbers", "remove it", 3)]
        assert shape(as_json(bench, unread, rows=compare(bench))) == CONTRACT

    def test_it_holds_the_figures(self, bench):
        found = as_json(bench)
        dry = figures(bench.entries[0].sweep, bench.band, 50.0)
        (own, _) = found["sweeps"]
        assert own["best_match_hz"] == dry.best_match_hz
        assert own["q"] == dry.q
        assert own["usable"][0]["low_hz"] == dry.usable[0].low_hz
        assert found["reference"] == "dry"
        assert [row["label"] for row in found["changes"]] == ["wet"]
        assert found["changes"][0]["best_match_shift_hz"] == pytest.approx(-0.4e6, abs=300)
        assert found["unread"] == []

    def test_infinity_is_a_word_and_what_does_not_exist_is_null(self):
        found = as_json(bench_of(reading(), open_end()))
        (_, own) = found["sweeps"]
        assert own["best_match_swr"] is None
        for name in ("worst_swr", "swr_low_edge", "worst_mismatch_loss_db"):
            assert own[name] == "inf", name
        assert own["q"] is None
        assert own["resonances"] == own["usable"] == []
        assert found["changes"][0]["best_match_swr_change"] is None
        written = json.dumps(found, allow_nan=False)
        assert json.loads(written) == found

    def test_a_band_outside_gives_nulls(self, bench):
        found = as_json(bench.with_band(Band(60e6, 61e6)))
        own = found["sweeps"][0]
        assert found["band"]["name"] is None
        for name in (
            "best_match_hz",
            "best_match_swr",
            "swr_low_edge",
            "worst_swr",
            "worst_hz",
            "q",
        ):
            assert own[name] is None, name
        assert own["covers_band"] is False

    def test_an_empty_bench(self):
        found = as_json(Bench(), [ReadError("bad.s1p", "is empty")])
        assert found["reference"] is None
        assert found["sweeps"] == found["changes"] == []
        assert found["unread"] == [
            {"file": "bad.s1p", "line": None, "reason": "is empty", "advice": ""}
        ]

    def test_a_scalar_sweep_states_its_own_reference_impedance(self):
        scalar = Reading(ScalarSweep(GRID_HZ, np.full(201, 0.2), 75.0), "meter", "")
        (own,) = as_json(bench_of(scalar).with_z0(50.0))["sweeps"]
        assert own["z0_ohm"] == 75
        assert own["has_phase"] is False
        assert own["worst_swr"] == pytest.approx(1.5)


class TestCsv:
    def rows(self, bench):
        return list(csv.DictReader(io.StringIO(as_csv(bench))))

    def test_full_precision_with_units_in_the_header(self, bench):
        dry, wet = self.rows(bench)
        own = figures(bench.entries[0].sweep, bench.band, 50.0)
        assert float(dry["best_match_hz"]) == own.best_match_hz
        assert float(dry["usable_low_hz"]) == own.usable[0].low_hz
        assert float(dry["q"]) == own.q
        assert dry["best_match_shift_hz"] == ""
        assert float(wet["best_match_shift_hz"]) == pytest.approx(-0.4e6, abs=300)
        assert dry["file"] == "club/dry.s1p"

    def test_what_does_not_exist_is_empty(self):
        _, own = self.rows(bench_of(reading(), open_end()))
        assert own["worst_swr"] == "inf"
        assert (
            own["q"] == own["best_match_swr"] == own["resonance_hz"] == own["usable_low_hz"] == ""
        )

    def test_open_ends_are_empty(self):
        cut = reading(frequency_hz=np.linspace(50.9e6, 60e6, 101))
        (own,) = self.rows(bench_of(cut))
        assert own["usable_low_hz"] == ""
        assert float(own["usable_high_hz"]) > 52e6

    def test_text_with_commas_quotes_and_line_breaks_survives(self):
        label = 'roof, "new"\nantenna'
        (own,) = self.rows(bench_of(reading(label=label)))
        assert own["label"] == label

    @pytest.mark.parametrize("start", ["=", "+", "-", "@", "\t", "\r=", " ="])
    def test_no_label_becomes_a_formula(self, start):
        (own,) = self.rows(bench_of(reading(label=f"{start}1+1")))
        assert own["label"].startswith("'")

    def test_numbers_of_numpy_are_plain_numbers(self):
        bench = bench_of(reading()).with_band(Band(np.float64(50e6), np.float64(52e6)))
        assert "np." not in as_csv(bench)


class TestTables:
    def test_heading_line(self, bench):
        assert heading_line(bench) == "6 m, Region 1: 50 – 52 MHz, SWR limit 2, at 50 Ω"
        other = bench.with_band(Band(5.3515e6, 5.3665e6)).with_limit(1.75).with_z0(62.5)
        assert heading_line(other) == "5.3515 – 5.3665 MHz, SWR limit 1.75, at 62.5 Ω"

    @pytest.mark.parametrize(
        ("frequency_hz", "text"),
        [
            (50e6, "50"),
            (10.15e6, "10.15"),
            (5_351_500, "5.3515"),
            (144_000_001, "144.000001"),
            (109_999_999_992, "110000"),
            (1_296_000_000, "1296"),
            (1000, "0.001"),
        ],
    )
    def test_plain_frequencies(self, frequency_hz, text):
        assert plain_mhz(frequency_hz) == text

    def test_every_row_has_a_cell_for_every_title(self, bench):
        titles, rows = cells(bench)
        assert len(set(titles)) == len(titles) == len(SPECS)
        assert all(len(row) == len(titles) for row in rows)
        assert "SWR below 2 (MHz)" in titles

    def test_the_columns_of_changes_are_those_that_another_reference_changes(self, bench):
        swapped = bench.with_reference(bench.entries[1].key)
        for i, column in enumerate(SPECS):
            texts = [[row[i] for row in cells(one)[1]] for one in (bench, swapped)]
            assert (texts[0] != texts[1]) == column.is_change, column.id

    def test_the_cells_say_what_the_figures_are(self, bench):
        _, (dry, wet) = cells(bench)
        by_id = dict(zip(IDS, dry, strict=True))
        assert by_id["best_match"] == "51.000"
        assert by_id["best_swr"] == "1.24"
        assert by_id["resistance"] == "62.0"
        assert by_id["q"] == "8.0"
        assert by_id["shift"] == "reference"
        assert by_id["q_ratio"] == ""
        changes = dict(zip(IDS, wet, strict=True))
        assert changes["shift"] == "−400"
        assert changes["shift_percent"] == "−0.78"
        assert changes["swr_change"] == "+0.16"

    def test_open_ends_are_marked(self):
        cut = reading(frequency_hz=np.linspace(51.2e6, 52.2e6, 101))
        bench = bench_of(cut)
        _, (row,) = cells(bench)
        by_id = dict(zip(IDS, row, strict=True))
        assert by_id["best_match"].endswith("(end)")
        assert by_id["usable"] == "< 51.2000 – > 52.2000"
        assert by_id["width"] == "> 1000"

    def test_several_segments_stand_side_by_side(self):
        sweep = Sweep(GRID_HZ, 1 / 3 + 0.1 * np.cos(2 * np.pi * (GRID_HZ - 50e6) / 1e6))
        bench = bench_of(Reading(sweep, "two", ""))
        own = compare(bench)[0]
        _, (row,) = cells(bench)
        text = row[IDS.index("usable")]
        assert text == ", ".join(segment_text(own, "", part) for part in own.figures.usable)
        assert text.count("–") == 2

    def test_dashes_where_nothing_exists(self, bench):
        _, rows = cells(bench.with_band(Band(60e6, 61e6)))
        by_id = dict(zip(IDS, rows[1], strict=True))
        for name in (
            "best_match",
            "best_swr",
            "resonance",
            "usable",
            "width",
            "q",
            "shift",
            "worst",
        ):
            assert by_id[name] == DASH, name

    def test_infinity_has_its_sign(self):
        _, rows = cells(bench_of(reading(), open_end()))
        by_id = dict(zip(IDS, rows[1], strict=True))
        assert by_id["worst"] == by_id["mismatch"] == "∞"
        # The same at all points: no place is the best.
        assert by_id["best_swr"] == by_id["width"] == DASH

    def test_text_stands_in_columns(self, bench):
        lines = as_text(bench).splitlines()
        assert lines[0] == heading_line(bench)
        assert len(lines) == 2 + len(SPECS)
        assert lines[-1].startswith("± covers 95 %")
        starts = {line.index("dry") for line in lines if line.startswith("Sweep")}
        best = next(line for line in lines if line.startswith("Best match"))
        assert starts == {best.index("51.000")}
        assert all(line == line.rstrip() for line in lines)

    def test_markdown_is_a_table_of_one_row_a_sweep(self, bench):
        lines = as_markdown(bench).splitlines()
        assert lines[0] == heading_line(bench)
        assert lines[3].replace("|", "").replace("-", "").strip() == ""
        assert lines[6:] == ["", interval_line(compare_known(bench))]
        assert {line.count("|") for line in lines[2:6]} == {len(SPECS) + 1}

    @pytest.mark.parametrize("label", ["a | b", "a \\| b", "a <b> c", "a\nb", "a\tb"])
    def test_no_label_breaks_a_table(self, label):
        bench = bench_of(reading(label=label))
        line = as_markdown(bench).splitlines()[4]
        bars = line.replace("\\\\", "").replace("\\|", "").count("|")
        assert bars == len(SPECS) + 1
        assert "\\<b>" in line or "<" not in line
        assert len(as_text(bench).splitlines()) == 1 + len(SPECS)

    def test_a_worst_swr_beyond_all_analyzers_is_not_given_to_the_digit(self):
        nearly = Reading(Sweep(GRID_HZ, np.full(201, 1 - 1e-7)), "nearly open", "")
        _, (row,) = cells(bench_of(nearly))
        assert row[IDS.index("worst")] == "> 9999"
        own = figures(nearly.sweep, Band(50e6, 52e6), 50.0)
        assert math.isfinite(own.worst_swr)
