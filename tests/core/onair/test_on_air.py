"""Reports as decibels and ABBA comparisons, against published t quantiles. All data invented."""

from __future__ import annotations

import json
from dataclasses import replace

import pytest
from printed_benches import bench_with

from fairlead.core.document.session import LogEntry
from fairlead.core.errors import FairleadError, ReadError
from fairlead.core.onair.comparison import Heard, compare_heard
from fairlead.core.onair.lines import first_two, heard_in, heard_of
from fairlead.core.onair.reports import parse_report
from fairlead.core.onair.table import log_table
from fairlead.core.onair.words import as_json, sentences


def heard(order, a_db, b_db, drift_db=0.0, unit="dB"):
    """Reports in an order of letters; each one later by a drift."""
    level = {"A": a_db, "B": b_db}
    return [
        Heard(letter, f"{level[letter] + drift_db * n:.1f} {unit}")
        for n, letter in enumerate(order)
    ]


@pytest.mark.parametrize(
    ("text", "kind", "value_db", "step_db"),
    [
        # IARU Region 1 R.1: an S-unit is 6 dB.
        ("57", "RST", 42.0, 6.0),
        ("599", "RST", 54.0, 6.0),
        (" S7 ", "S-meter", 42.0, 6.0),
        ("S9+20 dB", "S-meter", 74.0, 10.0),
        ("-12 dB", "dB", -12.0, 1.0),
        ("\N{MINUS SIGN}3,5dB", "dB", -3.5, 0.1),
    ],
)
def test_reports_have_their_own_coarseness(text, kind, value_db, step_db):
    found = parse_report(text)
    assert (found.kind, found.value_db, found.step_db) == (kind, value_db, step_db)


@pytest.mark.parametrize("text", ["", "loud", "67", "S7+10", "S12", "0"])
def test_what_is_no_report_is_refused(text):
    with pytest.raises(FairleadError, match="not a signal report"):
        parse_report(text)


def test_an_even_drift_cancels_in_abba():
    found = compare_heard(heard("ABBABAAB", -10.0, -7.0, drift_db=0.7), "A", "B")
    assert found.blocks == pytest.approx((3.0, 3.0))
    assert found.unused == 0


def test_the_interval_is_students_t_of_the_blocks():
    """Blocks 2, 4, 6: mean 4, s 2, t(0.975; 2) = 4.303 (NIST/SEMATECH table), half 4.97."""
    lines = [one for b in (2.0, 4.0, 6.0) for one in heard("ABBA", 0.0, b)]
    found = compare_heard(lines, "A", "B")
    assert found.mean_db == pytest.approx(4.0)
    assert found.half_db == pytest.approx(4.303 * 2 / 3**0.5, rel=1e-3)
    assert not found.is_resolved
    (line,) = sentences(found)
    assert "smaller than your reports can show" in line


def test_reports_that_do_not_scatter_are_known_to_a_step_only():
    lines = [Heard(letter, "58" if letter == "B" else "57") for letter in "ABBA" * 5]
    found = compare_heard(lines, "A", "B")
    assert (found.mean_db, found.half_db, found.is_resolved) == (6.0, 6.0, False)
    louder = [Heard(letter, "59" if letter == "B" else "57") for letter in "ABBA" * 5]
    found = compare_heard(louder, "A", "B")
    assert found.is_resolved
    assert "B against A: louder, +12.0 ± 6.0 dB" in sentences(found)[0]
    assert "2.0 S-units" in sentences(found)[0]
    weaker = sentences(compare_heard(louder, "B", "A"))[0]
    assert "A against B: weaker, \N{MINUS SIGN}12.0" in weaker


def test_powers_are_brought_to_one():
    """100 W against 10 W are 10 dB."""
    lines = [Heard(x, "-10 dB", 100.0 if x == "A" else 10.0) for x in "ABBA"]
    assert compare_heard(lines, "A", "B").blocks == pytest.approx((10.0,))
    lines[0] = replace(lines[0], power_w=None)
    assert compare_heard(lines, "A", "B").blocks == pytest.approx((0.0,))


def test_what_is_not_in_order_is_counted_and_other_kinds_are_refused():
    found = compare_heard(heard("AABBA", 0.0, 5.0), "A", "B")
    assert (found.blocks, found.unused) == ((5.0,), 1)
    assert "one block of four" in sentences(found)[0]
    assert "1 report is in no such block" in sentences(found)[0]
    none = compare_heard(heard("ABAB", 0.0, 5.0), "A", "B")
    assert none.mean_db is None
    assert "no four reports in the order A B B A" in sentences(none)[0]
    assert compare_heard([], "A", "B").mean_db is None
    with pytest.raises(FairleadError, match="different kinds"):
        compare_heard([Heard("A", "57"), Heard("B", "-3 dB")], "A", "B")


def test_the_prediction_stands_beside_it_and_in_json():
    found = compare_heard(heard("ABBAABBA", 0.0, 5.0), "A", "B")
    assert "predicts at most \N{MINUS SIGN}0.3 dB" in sentences(found, -0.3)[1]
    assert "predicts at most 0.0 dB" in sentences(found, -0.04)[1]
    told = json.loads(json.dumps(as_json(found, None, program="fairlead")))
    assert told["resolved"] is True
    assert told["predicted_db"] is None
    assert told["mean_db"] == pytest.approx(5.0)


def test_lines_come_from_the_bench_and_from_csv():
    bench = bench_with(2)
    log = (
        LogEntry(10, about_key=1, report="57", power_w=50.0),
        LogEntry(11, about_key=2, report=" "),
        LogEntry(12, about_key=None, report="57"),
    )
    assert heard_of(replace(bench, log=log, next_key=20)) == (Heard("sweep 1", "57", 50.0),)
    lines = heard_in(log_table("Antenna,Report,power_w\na,57,\nb,S7,25\nb,,\n"), "log.csv")
    assert lines == (Heard("a", "57"), Heard("b", "S7", 25.0))
    assert first_two(lines) == ("a", "b")


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("antenna,date\na,\n", "log.csv: no column report; name them antenna,report"),
        ("power_w;date\n50;\n", "log.csv: no column antenna and report; "),
        ("a,57\nb,58\n", "log.csv: the first line does not name the columns of a log; "),
        ("antenna,report,power_w\na,57,0\n", "log.csv:2: the power has to be positive; "),
        ("antenna,report,power\na,57,\n\nb,57,much\n", 'log.csv:4: "much" is not a number for'),
        ("antenna,report\na,loud\n", 'log.csv:2: "loud" is not a signal report; '),
    ],
)
def test_csv_that_cannot_be_read_is_said_with_its_line(text, said):
    with pytest.raises(ReadError) as caught:
        heard_in(log_table(text), "log.csv")
    assert str(caught.value).startswith(said)
