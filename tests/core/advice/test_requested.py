"""What was typed becomes questions; the bench's network is found again for its picture."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from fairlead.core.advice.requested import network_of, question_of
from fairlead.core.advice.wording import built_sentence
from fairlead.core.analysis.analyses import Analyses
from fairlead.core.bands import Band
from fairlead.core.document.advice_request import AdviceRequest
from fairlead.core.document.bench import Bench
from fairlead.core.errors import FairleadError
from fairlead.core.reading import open_sweeps

SAMPLES = Path(__file__).parents[3] / "samples"


@pytest.fixture(scope="module")
def bench():
    made = Bench().with_band(Band(50e6, 52e6))
    for state in ("dry", "wet"):
        made = made.with_readings(open_sweeps(str(SAMPLES / f"ground-plane-{state}.s1p")))
    return made


def test_an_untouched_request_asks_for_the_band_and_the_middle_of_it(bench):
    found = question_of(bench, AdviceRequest(), [1])
    assert (found.keys, found.wants_shift) == (frozenset({1}), True)
    assert (found.station.power_w, found.station.line) == (100.0, None)
    assert (found.trim.target_hz, found.trim.length_mm, found.trim.what) == (None, None, "whole")
    assert (found.match.at_hz, found.match.plane, found.match.series) == (None, "feed", "E24")
    assert (found.match.line.name, found.match.other.name) == ("RG-213", "RG-59")


def test_all_that_is_typed_is_understood(bench):
    other = next(one.key for one in bench.entries if one.key != bench.reference_key)
    asked = AdviceRequest(
        *("25 W", "tuner", "RG-58, 12 m", "measured", "1385 mm", "50.5", other, "5 mm"),
        *("50.2 MHz", "radio", "E12", "80", "500", "z0=50, vf=0.8", "z0=75, vf=0.7"),
    )
    found = question_of(bench, asked, [1, 2])
    assert (found.trim.before_key, found.trim.cut_mm, found.trim.target_hz) == (other, 5.0, 50.5e6)
    assert (found.match.at_hz, found.match.plane, found.match.series) == (50.2e6, "radio", "E12")
    assert (found.match.coil_q, found.match.capacitor_q) == (80.0, 500.0)
    assert (found.match.line.velocity_factor, found.match.other.z0_ohm) == (0.8, 75.0)
    assert question_of(bench, replace(asked, series="E6"), [1]).match.series == "E24"


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ({"coil_q": "0"}, "Q of 0"),
        ({"capacitor_q": "much"}, "Q of a capacitor"),
        ({"stub_line": "string"}, "not a known feed line"),
        ({"cut": "measured", "before_key": 77}, "two sweeps"),
        ({"match_at": "low"}, "low"),
    ],
)
def test_what_is_not_understood_is_refused_with_its_reason(bench, changes, words):
    with pytest.raises(FairleadError, match=words):
        question_of(bench, AdviceRequest(**changes), [1])


def test_the_reference_is_not_its_own_sweep_before_a_cut(bench):
    asked = AdviceRequest(cut="measured", before_key=bench.reference_key, cut_by="5 mm")
    with pytest.raises(FairleadError, match="two sweeps"):
        question_of(bench, asked, [1])


def test_the_network_of_the_bench_is_the_best_or_the_chosen_kind(bench):
    best = network_of(bench, Analyses())
    asked = replace(bench.advice, network="quarter-wave transformer")
    chosen = network_of(bench.with_advice(asked), Analyses())
    assert chosen.kind == "quarter-wave transformer"
    assert best.worst_swr <= chosen.worst_swr
    assert [one.label for one in best.outcomes] == ["ground-plane-dry", "ground-plane-wet"]
    # The way ends where the first sweep is seen at that frequency.
    seen = best.outcomes[0].sweep
    place = abs(seen.frequency_hz - best.at_hz).argmin()
    assert abs(best.path[-1][-1] - seen.reflection[place]) < 0.02


def test_a_network_is_told_without_a_worst_swr_where_the_band_is_not_covered(bench):
    asked = replace(bench.advice, match_at="57")
    found = network_of(bench.with_band(Band(50e6, 60e6)).with_advice(asked), Analyses())
    assert found.worst_swr is None
    assert built_sentence(found).startswith(f"{found.kind} at 57 MHz, ")
    assert "worst SWR" not in built_sentence(found)
    assert "worst SWR of all sweeps in the band" in built_sentence(network_of(bench, Analyses()))


def test_a_bench_that_nothing_matches_says_so(bench, monkeypatch):
    monkeypatch.setattr("fairlead.core.advice.requested.matches", lambda *_: ())
    with pytest.raises(FairleadError, match="nothing that can be built"):
        network_of(bench, Analyses())
