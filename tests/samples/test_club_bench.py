"""The demo bench: what it holds, that it is made from the samples, and that its story is true."""

from __future__ import annotations

import sys
from pathlib import Path

import pytest

from fairlead.app.look.resources import demo_bench
from fairlead.app.panels.story_text import FOOT, STORY
from fairlead.core.analysis.analyses import Analyses
from fairlead.core.bench_file.storage import load_bench
from fairlead.core.comparison.rows import compare

SAMPLES = Path(__file__).parents[2] / "samples"


@pytest.fixture(scope="module")
def bench():
    return load_bench(demo_bench())


@pytest.fixture(scope="module")
def figures(bench):
    return {row.entry.label: row for row in compare(bench, Analyses())}


def test_it_is_what_the_script_makes_of_the_samples(bench, monkeypatch):
    monkeypatch.setattr(sys, "path", [str(SAMPLES), *sys.path])
    from sample_model.club_bench import club_bench  # noqa: PLC0415 - needs the path

    made = club_bench(SAMPLES)
    for one, other in zip(bench.entries, made.entries, strict=True):
        assert (one.label, one.condition, one.circumstances) == (
            other.label,
            other.condition,
            other.circumstances,
        )
        assert one.measured == other.measured
        # Known as an original wherever the bench is opened from.
        assert Path(one.file).is_file()
    assert bench.groups == made.groups
    assert bench.band == made.band


def test_it_has_conditions_a_group_and_notes_that_say_it_is_invented(bench):
    conditions = {entry.condition for entry in bench.entries if entry.label.startswith("ground")}
    assert conditions == {"dry", "soaked", "iced"}
    assert [group.label for group in bench.groups] == ["Kit"]
    assert all("nothing was measured" in entry.circumstances.notes for entry in bench.entries)
    assert "nothing was measured" in FOOT
    assert "/" not in "".join(entry.label for entry in bench.entries)


def test_every_step_names_what_is_on_the_bench(bench):
    for step in STORY:
        assert set(step.labels) <= {entry.label for entry in bench.entries}
        assert step.group in {"", "Kit"}


def test_what_the_story_says_is_what_the_figures_say(figures):
    def best_hz(label):
        return figures[label].figures.best_match_hz

    dry_hz = best_hz("ground-plane-dry")
    assert abs(best_hz("dipole-reference") - dry_hz) == pytest.approx(0.1e6, abs=0.05e6)
    assert best_hz("ground-plane-wet") - dry_hz == pytest.approx(-0.3e6, abs=0.05e6)
    assert best_hz("ground-plane-iced") - dry_hz == pytest.approx(-1.8e6, abs=0.05e6)
    assert best_hz("ground-plane-iced") < 50e6
    worst = {label: row.figures.worst_swr for label, row in figures.items()}
    assert [label for label, swr in worst.items() if swr > 2] == ["ground-plane-iced"]
    least = {label: row.figures.best_match_swr for label, row in figures.items() if "kit" in label}
    assert min(least, key=least.get) == "kit-unit-5"
