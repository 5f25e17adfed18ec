"""``fairlead plan``: without sweeps, held against sweeps, and as a checklist."""

from __future__ import annotations

import json

import pytest

from fairlead.core.bench_file import load_bench, save_bench
from fairlead.core.document.bench import Bench
from fairlead.core.document.session import Plan

WISHES = ("--band", "6m", "--shift", "100kHz", "--q", "8", "--noise", "0.2%")


def test_a_plan_needs_no_sweep(fairlead):
    done = fairlead("plan", *WISHES)
    assert (done.status, done.errors) == (0, [])
    assert "detect a shift of 100 kHz" in done.out
    assert "No sweep is loaded yet." in done.out


def test_sweeps_give_what_was_not_stated_and_are_held_against_it(fairlead, write):
    done = fairlead("plan", write("a.s1p"), "--band", "6m", "--cover", "2", "--as", "json")
    assert (done.status, done.errors) == (0, [])
    told = json.loads(done.out)
    assert told["plan"]["q"] == pytest.approx(8.0, rel=0.01)
    assert "calibration: not stated" in told["lacking"]["a"][-1]


def test_the_plan_of_a_bench_is_taken_and_kept(fairlead, tmp_path):
    bench = Bench(plan=Plan(shift_hz=50e3, q=9.0, cable="along the mast"))
    save_bench(bench, str(tmp_path / "club.fairlead"))
    assert load_bench(str(tmp_path / "club.fairlead")).plan == bench.plan
    done = fairlead("plan", "club.fairlead", "--band", "6m", "--as", "markdown")
    assert (done.status, done.errors) == (0, [])
    assert "a shift of 50.0 kHz" in done.out or "a shift of 50 kHz" in done.out
    assert "Cable, and how it runs: along the mast" in done.out


def test_the_checklist_is_one_page_or_markdown(fairlead, tmp_path):
    done = fairlead("plan", *WISHES, "-o", "list.pdf", "--page", "letter")
    assert (done.status, done.out, done.errors) == (0, "", [])
    data = (tmp_path / "list.pdf").read_bytes()
    assert data.count(b"/MediaBox [0 0 612") == 1
    assert b"/FontFile" in data
    assert fairlead("plan", *WISHES, "-o", "list.md").status == 0
    assert "- [ ] " in (tmp_path / "list.md").read_text("utf-8")
    done = fairlead("plan", *WISHES, "-o", "missing/list.md")
    assert done.status == 1
    assert "could not be saved" in done.errors[-1]


@pytest.mark.parametrize(
    ("arguments", "reason"),
    [
        (("--band", "6m"), "nothing to find out"),
        (("--band", "6m", "--shift", "20kHz"), "how sharp"),
        (("--shift", "20kHz", "--q", "8"), "no band"),
        (("--q", "none"), "the Q"),
        ((*WISHES, "-o", "list.doc"), ".pdf or .md"),
    ],
)
def test_wrong_usage_of_plan_is_one_line(fairlead, arguments, reason):
    done = fairlead("plan", *arguments)
    assert done.status == 2
    (line,) = done.errors
    assert reason in line
