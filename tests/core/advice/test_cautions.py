"""Cautions: short, once, and where they are needed; local codes and licensed practice first."""

from __future__ import annotations

import re

import pytest
from printed_benches import bench_with

from fairlead.core.advice import cautions
from fairlead.core.advice.advice_report import as_markdown, as_text
from fairlead.core.advice.answers import Question, TrimQuestion, advise
from fairlead.core.advice.matching import Wish
from fairlead.core.analysis.analyses import Analyses
from fairlead.core.comparison.knowledge import compare_known
from fairlead.core.document.session import Plan
from fairlead.core.planning import words
from fairlead.core.planning.asked import plan_with
from fairlead.core.planning.needs import needs
from fairlead.core.report_page.markdown import report_as_markdown

ALL = (cautions.POWER, cautions.EXPOSURE, cautions.STATIC, cautions.MASTS, cautions.FIRST)
LONGEST_WORDS = 45


@pytest.fixture(scope="module")
def texts():
    """Everything that is written for somebody who goes to the antenna or to the transmitter."""
    bench = bench_with(2)
    rows = compare_known(bench)
    asked = Question(wants_shift=True, trim=TrimQuestion(), match=Wish())
    advice = advise(bench, rows, Analyses(), asked)
    plan = plan_with(Plan(cover_swr=1.5, q=8.0), None)
    found = needs(plan, bench.band)
    return {
        "advice as text": as_text(advice),
        "advice as Markdown": as_markdown(advice),
        "plan": words.as_text(plan, bench.band, found, None),
        "checklist": words.as_markdown(plan, bench.band, found, None, words.TITLE),
        "report": report_as_markdown(bench, rows, {}, "a.png", "A picture."),
    }


@pytest.mark.parametrize("caution", [*ALL, cautions.hot_end(1234.0)])
def test_each_is_one_short_sentence_or_two(caution):
    assert len(caution.split()) <= LONGEST_WORDS
    assert len(re.findall(r"[.!](?= |$)", caution)) <= 2
    assert caution[0].isupper()
    assert caution.endswith(".")


@pytest.mark.parametrize(
    ("text", "wanted"),
    [
        ("advice as text", (cautions.EXPOSURE, cautions.STATIC, cautions.MASTS)),
        ("advice as Markdown", (cautions.EXPOSURE, cautions.STATIC, cautions.MASTS)),
        ("plan", ()),
        ("checklist", (cautions.EXPOSURE, cautions.STATIC, cautions.MASTS)),
        ("report", (cautions.EXPOSURE, cautions.STATIC, cautions.MASTS)),
    ],
)
def test_each_is_given_once_and_where_it_is_needed(texts, text, wanted):
    said = texts[text].replace("\\", "")
    counts = {caution: said.count(caution) for caution in ALL}
    assert {one for one, count in counts.items() if count} - {cautions.POWER} == {
        *wanted,
        cautions.FIRST,
    }
    assert max(counts.values()) == 1


def test_the_distance_to_power_lines_is_the_published_one():
    """At least 10 ft from a falling antenna (NCVEC Technician pool, T0B06)."""
    assert "3 m (10 ft)" in cautions.MASTS
    assert pytest.approx(10 * 0.3048, abs=0.05) == 3.0
