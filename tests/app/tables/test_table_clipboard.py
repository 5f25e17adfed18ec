"""Some rows of the report, whatever names are in it."""

from __future__ import annotations

import numpy as np

from fairlead.app.tables.clipboard import markdown, tabbed
from fairlead.core.document.bench import Bench
from fairlead.core.reading.reading import Reading
from fairlead.core.report import as_markdown, as_tabbed
from fairlead.core.sweep import Sweep


def bench(*names):
    sweep = Sweep(np.linspace(50e6, 52e6, 11), np.full(11, 0.2 + 0.1j))
    return Bench().with_readings(Reading(sweep, name, "") for name in names)


def test_no_key_means_all():
    whole = bench("a", "b", "c")
    assert tabbed(whole) == as_tabbed(whole)
    assert markdown(whole) == as_markdown(whole)


def test_only_the_named_rows_in_the_order_of_the_bench():
    text = tabbed(bench("a", "b", "c"), {3, 1})
    assert [line.split("\t")[0] for line in text.splitlines()] == ["Sweep", "a", "c"]


def test_the_reference_need_not_be_among_them():
    lines = markdown(bench("a", "b"), {2}).splitlines()
    assert lines[-1].startswith("| b |")
    assert not any(line.startswith("| a |") for line in lines)


def test_names_with_tabs_lines_and_bars_keep_their_row():
    text = tabbed(bench("a\tb\nc", "d\u2028e", "f|g"), {2, 3})
    assert [line.split("\t")[0] for line in text.splitlines()] == ["Sweep", "d e", "f|g"]
