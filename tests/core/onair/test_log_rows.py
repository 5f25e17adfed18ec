"""The log as rows of text: read, refused, pasted, written and read back. All data invented."""

from __future__ import annotations

from dataclasses import replace

import pytest
from printed_benches import bench_with

from fairlead.core.comparison.knowledge import compare_known
from fairlead.core.document.session import Group, LogEntry
from fairlead.core.onair.comparison import Heard
from fairlead.core.onair.lines import heard_in, heard_of, names_of
from fairlead.core.onair.predicted import predicted_db
from fairlead.core.onair.table import COLUMNS, LogTable, ignored_words, log_table
from fairlead.core.onair.typed import log_of, rows_of
from fairlead.core.onair.words import log_sentences
from fairlead.core.onair.written import log_as

NAMES = {1: "sweep 1", 2: "sweep 2"}


def test_labels_that_repeat_are_numbered():
    """Two sweeps of one label are two antennas."""
    bench = bench_with(2)
    entries = tuple(
        replace(one, label="Dipole" if one.key == 1 else "dipole") for one in bench.entries
    )
    group = Group(5, "dipole\n(2)")
    log = (LogEntry(6, about_key=1, report="57"), LogEntry(7, about_key=2, report="58"))
    bench = replace(bench, entries=entries, groups=(group,), log=log, next_key=8)
    assert names_of(bench) == {1: "Dipole", 2: "dipole (2)", 5: "dipole (2) (2)"}
    assert heard_of(bench) == (Heard("Dipole", "57"), Heard("dipole (2)", "58"))
    assert predicted_db(compare_known(bench), bench, "Dipole", "dipole (2)") is not None
    assert predicted_db(compare_known(bench), bench, "Dipole", "dipole (2) (2)") is None


def test_a_log_is_read_back_as_it_is_written():
    log = (
        LogEntry(10, "2026-05-01 19:00", 1, 99.7, 31.25, "57", "calm"),
        LogEntry(12, "", None, None, None, "", "thunder: stopped"),
    )
    bench = replace(bench_with(2), log=log, next_key=20)
    rows = rows_of(bench)
    assert rows[0] == ("2026-05-01 19:00", "sweep 1", "99.7", "31.25", "57", "calm")
    lines, bad = log_of([*rows, ("",) * 6], names_of(bench))
    assert bad == ()
    assert bench.with_log(lines) == bench
    longer = bench.with_log([*lines, LogEntry(0, report="58")])
    assert [line.key for line in longer.log] == [10, 12, 20]
    assert (longer.next_key, longer.contradiction) == (21, None)
    assert [line.key for line in bench.with_log(lines[1:]).log] == [10]


def test_units_and_decimal_commas_are_understood():
    (line,), bad = log_of([("", "SWEEP 2", "0,5 W", "12 km", "S7", "")], NAMES)
    assert bad == ()
    assert (line.about_key, line.power_w, line.path_km) == (2, 0.5, 12.0)


@pytest.mark.parametrize(
    ("cells", "column", "reason"),
    [
        (("", "sweep 3", "", "", "57", ""), 1, 'row 2: "sweep 3" is no sweep or group'),
        (("", "sweep 1", "much", "", "57", ""), 2, 'row 2: "much" is not a number for the power'),
        (("", "sweep 1", "0", "", "57", ""), 2, "row 2: the power has to be positive"),
        (("", "sweep 1", "", "-3", "57", ""), 3, "row 2: the path has to be positive"),
        (("", "sweep 1", "", "", "loud", ""), 4, 'row 2: "loud" is not a signal report'),
    ],
)
def test_a_bad_cell_is_named_and_the_other_rows_are_read(cells, column, reason):
    good = ("", "sweep 1", "", "", "57", "")
    lines, (bad,) = log_of([good, cells, good], NAMES)
    assert len(lines) == 2
    assert (bad.row, bad.column) == (1, column)
    assert str(bad).startswith(reason)


def test_a_list_is_pasted_with_headings_in_any_order_or_without():
    assert log_table("2026-05-01\tsweep 1\t50\t31\t57\n") == LogTable(
        (("2026-05-01", "sweep 1", "50", "31", "57"),), (1,), columns=frozenset(range(5))
    )
    table = log_table('report;antenna;sky\n"\'-12 dB";sweep 1;grey\n\n57;sweep 2\n')
    assert table.rows == (("", "sweep 1", "", "", "-12 dB", ""), ("", "sweep 2", "", "", "57", ""))
    assert table.lines == (2, 4)
    assert log_table("57").rows == (("57",),)
    assert log_table("") == LogTable()
    assert log_table('a,"' + "x" * 140_000) == LogTable()


def test_columns_that_a_log_does_not_have_are_named():
    """Unknown ones, second ones of a kind, and cells beyond the last column."""
    table = log_table("report,antenna,sky,group,,\n57,sweep 1,grey,sweep 2,x,\n")
    assert table.ignored == ("sky", "group", "column 5")
    assert ignored_words(table.ignored) == (
        'Not read, because a log has no such column: "sky", "group", "column 5".'
    )
    assert ignored_words(()) == ""
    bare = log_table("2026-05-01\tsweep 1\t50\t31\t57\tcalm\tgrey\n")
    assert (bare.rows[0][-1], bare.ignored) == ("calm", ("column 7",))


def test_a_date_that_is_none_is_said_and_kept_as_typed():
    rows = [
        (text, "sweep 1", "", "", "57", "")
        for text in ("1.5.2026", "2026-05-01", "2026-05-01 19:00", "2026-13-01")
    ]
    lines, bad = log_of(rows, NAMES)
    assert [line.at for line in lines] == [row[0] for row in rows]
    assert [(one.row, one.column, one.is_kept) for one in bad] == [(0, 0, True), (3, 0, True)]
    assert str(bad[0]).startswith('row 1: "1.5.2026" is not a date; write 2026-05-14')


def test_the_csv_copy_is_what_the_command_line_reads():
    """A report with a minus is no formula in a spreadsheet, and a report again when read."""
    rows = [("2026-05-01", "=sweep 1", "50", "", "-12 dB", "a, b"), ("",) * 6]
    text = log_as("csv", rows, ["not in CSV"])
    assert text == f"{','.join(COLUMNS)}\n2026-05-01,'=sweep 1,50,,'-12 dB,\"a, b\"\n"
    assert heard_in(log_table(text), "log.csv") == (Heard("=sweep 1", "-12 dB", 50.0),)
    assert log_table(text).rows == (rows[0],)


def test_the_other_copies_have_the_table_and_the_sentences():
    rows = [("2026-05-01", "sweep_1", "50", "", "57", "")]
    plain = log_as("text", rows, ["one", "two"])
    assert plain.splitlines()[-3:] == ["", "one", "two"]
    assert "2026-05-01     sweep_1         50        –         57      –" in plain
    marked = log_as("markdown", rows, ["a_b", "two"])
    assert "| 2026-05-01 | sweep\\_1 | 50 | – | 57 | – |" in marked
    assert marked.endswith("\n- a\\_b\n- two\n")


def test_what_cannot_be_compared_is_said():
    def said(*lines, first="sweep 1", second="sweep 2"):
        return log_sentences(lines, NAMES, first, second, None)

    assert said(first="sweep 2") == ("Choose two different antennas to compare.",)
    mixed = (LogEntry(0, about_key=1, report="57"), LogEntry(0, about_key=2, report="-3 dB"))
    assert said(*mixed)[0].startswith("reports of different kinds cannot be compared")
    alone, unknown = said(mixed[0])
    assert "no four reports in the order A B B A" in alone
    assert unknown.startswith("The power budget predicts nothing here")
    assert len(log_sentences(mixed[:1], NAMES, *NAMES.values(), 0.2)) == 2
    lost = LogEntry(0, report="57")
    assert said(lost)[-1] == "1 report names no sweep or group and cannot be compared."
    assert said(lost, lost)[-1].startswith("2 reports name no")
