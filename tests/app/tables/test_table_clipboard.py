"""The table on the real clipboard: for spreadsheets, letters and scripts, in any locale."""

from __future__ import annotations

import csv
import io
from xml.etree import ElementTree as ET

import numpy as np
import pytest
from circuits import SeriesCircuit
from PySide6.QtCore import QLocale
from PySide6.QtGui import QGuiApplication

from fairlead.app.tables.clipboard import csv_table, markdown, markdown_data, table_data
from fairlead.core.bands import Band
from fairlead.core.document.bench import Bench
from fairlead.core.reading.reading import Reading
from fairlead.core.report import as_csv, as_json, as_markdown
from fairlead.core.sweep import Sweep

pytestmark = pytest.mark.usefixtures("qapp")

GRID_HZ = np.linspace(46e6, 58e6, 241)


def bench(*names):
    readings = [
        Reading(Sweep(GRID_HZ, SeriesCircuit(50.961e6 + 2e5 * i, 62, 8).reflection(GRID_HZ)), n, "")
        for i, n in enumerate(names)
    ]
    return Bench().with_readings(readings).with_band(Band(50e6, 52e6))


@pytest.fixture
def comma():
    """The locale of a system that writes 50,961."""
    before = QLocale()
    QLocale.setDefault(QLocale(QLocale.Language.German, QLocale.Country.Germany))
    yield
    QLocale.setDefault(before)


def copied(data):
    """What another program finds on the clipboard."""
    QGuiApplication.clipboard().setMimeData(data)
    found = QGuiApplication.clipboard().mimeData()
    return found.text(), found.html(), found.data("text/csv").data().decode()


def table(text):
    return [line.split("\t") for line in text.splitlines()]


def html_table(html):
    start = html.index("<table")
    tree = ET.fromstring(html[start : html.index("</table>") + 8])  # noqa: S314 - our own
    return [[cell.text or "" for cell in row] for row in tree.iter("tr")]


def test_no_key_means_all():
    whole = bench("a", "b", "c")
    assert csv_table(whole) == as_csv(whole)
    assert markdown(whole) == as_markdown(whole)
    assert markdown_data(whole).text() == as_markdown(whole)


def test_only_the_named_rows_in_the_order_of_the_bench():
    text, html, comma_separated = copied(table_data(bench("a", "b", "c"), {3, 1}))
    for rows in (table(text), html_table(html), list(csv.reader(io.StringIO(comma_separated)))):
        assert [row[0] for row in rows[1:]] == ["a", "c"]


def test_the_reference_need_not_be_among_them():
    lines = markdown(bench("a", "b"), {2}).splitlines()
    assert lines[-1].startswith("| b |")
    assert not any(line.startswith("| a |") for line in lines)


def test_names_with_tabs_lines_and_bars_keep_their_row():
    text, html, _ = copied(table_data(bench("a\tb\nc", "d\u2028e", "f|<g>"), {2, 3}))
    assert [row[0] for row in table(text)] == ["Sweep", "d e", "f|<g>"]
    assert [row[0] for row in html_table(html)] == ["Sweep", "d e", "f|<g>"]


@pytest.mark.usefixtures("comma")
def test_numbers_have_the_decimal_sign_of_the_system_and_all_their_digits():
    """A spreadsheet with decimal commas reads 50.961 as fifty thousand."""
    whole = bench("dry", "wet")
    text, html, comma_separated = copied(table_data(whole))
    own = as_json(whole)["sweeps"][0]
    for rows in (table(text), html_table(html)):
        titles, first = rows[:2]
        shown = dict(zip(titles, first, strict=True))
        assert "." not in shown["Best match (MHz)"]
        best = float(shown["Best match (MHz)"].replace(",", "."))
        assert best == pytest.approx(own["best_match_hz"] / 1e6, rel=1e-11)
        swr = float(shown["Minimum SWR"].replace(",", "."))
        assert swr == pytest.approx(own["best_match_swr"], rel=1e-11)
    # A file is the same everywhere.
    assert (
        float(next(csv.DictReader(io.StringIO(comma_separated)))["best_match_hz"])
        == (own["best_match_hz"])
    )


@pytest.mark.usefixtures("comma")
def test_one_number_to_a_column():
    text, *_ = copied(table_data(bench("dry", "wet")))
    titles, *rows = table(text)
    words = {"Sweep", "Condition", "Covers the band", "Reason"}
    for row in rows:
        for title, cell in zip(titles, row, strict=True):
            if title not in words and cell not in ("", "yes", "no"):
                float(cell.replace(",", "."))
    shown = dict(zip(titles, rows[0], strict=True))
    assert float(shown["Usable from (MHz)"].replace(",", ".")) < 50.961
    assert float(shown["Usable to (MHz)"].replace(",", ".")) > 50.961
    assert shown["Sweep begins inside"] == "no"


@pytest.mark.parametrize("label", ["=1+1", "+1", "-1", "@a", " =1"])
def test_no_label_becomes_a_formula(label):
    text, html, comma_separated = copied(table_data(bench(label)))
    assert table(text)[1][0].startswith("'")
    assert html_table(html)[1][0].startswith("'")
    assert next(csv.DictReader(io.StringIO(comma_separated)))["label"].startswith("'")


def test_a_number_below_zero_stays_a_number():
    text, *_ = copied(table_data(bench("dry", "wet").with_reference(2)))
    titles, first, _ = table(text)
    assert float(first[titles.index("Shift (kHz)")]) == pytest.approx(-200, abs=1)
