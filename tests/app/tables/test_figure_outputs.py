"""Every figure is in every output, or the table of figures says why not."""

from __future__ import annotations

import csv
import io
from dataclasses import replace
from functools import cache
from html import escape

import numpy as np
import pytest
from circuits import SeriesCircuit
from PySide6.QtCore import Qt

from fairlead.app.document.document import Document
from fairlead.app.document.edits import Edits
from fairlead.app.document.view_state import ViewState
from fairlead.app.panels.help_text import figures_page
from fairlead.app.printing.table_columns import print_columns
from fairlead.app.tables.clipboard import table_data
from fairlead.app.tables.figures_model import FiguresModel
from fairlead.core import report
from fairlead.core.bands import Band
from fairlead.core.comparison.rows import compare
from fairlead.core.document.bench import Bench
from fairlead.core.figure_table import OUTPUTS, FigureSpec, Number, left_out
from fairlead.core.figure_table import table as figure_table
from fairlead.core.reading.reading import Reading
from fairlead.core.report import as_csv, as_json, as_markdown, as_text, escaped
from fairlead.core.sweep import Sweep
from fairlead.core.units import format_number
from fairlead.core.verdict import Verdict

pytestmark = pytest.mark.usefixtures("qapp")

GRID_HZ = np.linspace(46e6, 58e6, 241)
READINGS = [
    Reading(Sweep(GRID_HZ, SeriesCircuit(f0_hz, 62.0, 8.0).reflection(GRID_HZ)), label, "")
    for label, f0_hz in (("dry", 51e6), ("wet", 50.5e6))
]
BENCH = Bench().with_readings(READINGS).with_band(Band(50e6, 52e6))
NONSENSE = FigureSpec(
    "nonsense",
    "nonsense_furlongs",
    "Nonsense",
    "furlong",
    "What nobody has ever asked of an antenna",
    lambda row: 4711.25 if row.is_reference else 4712.25,
    number=Number(format_number, lambda _row, _value: 2),
)


@cache
def _put_out(_figures, _shown, make):
    return make()


def put_out(make):
    """What an output puts out for the bench, once for a table of figures and a choice of them."""
    return _put_out(tuple(spec.id for spec in figure_table.FIGURES), report.shown, make)


def window_words():
    """All headings and cells, as the table's model gives them to the view."""
    document = Document()
    Edits(document).add(READINGS)
    model = FiguresModel(document, ViewState())
    columns = range(model.columnCount())
    heads = [model.headerData(i, Qt.Orientation.Horizontal) for i in columns]
    cells = [model.index(0, i).data() for i in columns]
    # As the window does before it goes: commands in the history hold the document.
    document.undo_stack.clear()
    return heads, cells


def picture_columns():
    rows = [
        replace(row, figures=replace(row.figures, verdict=Verdict("no", "too high at 52 MHz")))
        for row in compare(BENCH)
    ]
    return {column.id: column for column in print_columns(BENCH, rows, has_band=True)}


def text():
    return as_text(BENCH)


def markdown():
    return as_markdown(BENCH)


def sheet():
    return as_csv(BENCH)


def json_object():
    return as_json(BENCH)


def sheet_of_two_dips():
    two_dips = [SeriesCircuit(f0_hz, 45.0, 30.0).reflection(GRID_HZ) for f0_hz in (49e6, 55e6)]
    sweep = Sweep(GRID_HZ, two_dips[0] * two_dips[1])
    return as_csv(Bench().with_readings([Reading(sweep, "two", "")]).with_band(Band(47e6, 57e6)))


def in_window(spec):
    return "\n".join(spec.two_lines(BENCH)) in put_out(window_words)[0]


def in_text(spec):
    return any(line.startswith(f"{spec.title(BENCH)} ") for line in put_out(text).splitlines())


def in_markdown(spec):
    head = put_out(markdown).splitlines()[2].split(" | ")
    return escaped(spec.title(BENCH)) in {cell.strip("| ") for cell in head}


def in_csv(spec):
    if spec.further:
        return _has_further(spec)
    head = next(csv.reader(io.StringIO(put_out(sheet))))
    return all(part.header in head for part in spec.columns())


def in_json(spec):
    found = put_out(json_object)
    return spec.key in found["sweeps"][0] or spec.key in found["changes"][0]


def in_help(spec):
    page = figures_page("2")
    heading = escape(spec.heading.format(limit="2"))
    return f"<b>{heading}</b>" in page and escape(spec.hint) in page


SEARCH = {
    "window": in_window,
    "text": in_text,
    "markdown": in_markdown,
    "csv": in_csv,
    "json": in_json,
    "picture": lambda spec: spec.id in put_out(picture_columns),
    "help": in_help,
}


def found_in(output):
    """Ids of the figures that an output has, searched for in what it really puts out."""
    return {spec.id for spec in figure_table.FIGURES if SEARCH[output](spec)}


def _has_further(spec):
    """Whether a second and third one stands at the end of the CSV."""
    head = next(csv.reader(io.StringIO(put_out(sheet_of_two_dips))))
    return all(header.format(n=2) in head for header in spec.further.headers)


@pytest.mark.parametrize("output", OUTPUTS)
def test_each_figure_is_there_or_left_out_with_a_reason(output):
    reasons = left_out(output)
    assert all(len(reason) > 10 for reason in reasons.values())
    assert found_in(output) == {spec.id for spec in figure_table.FIGURES} - reasons.keys()


@pytest.mark.parametrize("output", OUTPUTS)
def test_a_nonsense_figure_comes_out_everywhere_from_its_one_entry(output, monkeypatch):
    monkeypatch.setattr(figure_table, "FIGURES", (*figure_table.FIGURES, NONSENSE))
    assert "nonsense" in found_in(output)
    said = {
        "window": lambda: put_out(window_words)[1],
        "text": lambda: put_out(text),
        "markdown": lambda: put_out(markdown),
        "csv": lambda: put_out(sheet),
        "json": lambda: str(put_out(json_object)),
        "picture": lambda: put_out(picture_columns)["nonsense"].cells,
        "help": lambda: figures_page("2").replace("furlong", "4711.25"),
    }
    assert "4711.25" in said[output]()
    assert "4711.25" in table_data(BENCH).text()


def test_an_output_that_forgets_a_figure_is_found_out(monkeypatch):
    forgetful = figure_table.shown("csv")
    monkeypatch.setattr(figure_table, "FIGURES", (*figure_table.FIGURES, NONSENSE))
    monkeypatch.setattr(report, "shown", lambda _output: forgetful)
    for output in ("text", "markdown", "csv", "json"):
        assert "nonsense" not in found_in(output)
        with pytest.raises(AssertionError):
            test_each_figure_is_there_or_left_out_with_a_reason(output)


def test_names_keys_and_headers_are_unique():
    specs = figure_table.FIGURES
    for names in (
        [spec.id for spec in specs],
        [spec.key for spec in specs],
        [spec.title(BENCH) for spec in specs],
        [spec.two_lines(BENCH) for spec in specs],
        next(csv.reader(io.StringIO(as_csv(BENCH)))),
        table_data(BENCH).text().splitlines()[0].split("\t"),
        [spec.rank for spec in figure_table.shown("picture")],
    ):
        assert len(set(names)) == len(names)


def test_the_table_answers_first():
    """Whether it serves the band, where and how well, how bad at worst, how wide, what changed."""
    ids = [spec.id for spec in figure_table.shown("window")]
    first = ["verdict", "best_match", "best_swr", "worst", "width", "shift", "loss_change"]
    assert ids[: 2 + len(first)] == ["label", "condition", *first]
