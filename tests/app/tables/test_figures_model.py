"""The model of the table: follows the document row by row, and says only what differs."""

from __future__ import annotations

from types import SimpleNamespace

import numpy as np
import pytest
from circuits import SeriesCircuit
from hypothesis import given
from hypothesis import strategies as st
from PySide6.QtCore import QPersistentModelIndex, Qt
from PySide6.QtTest import QAbstractItemModelTester

import fairlead.app.tables.figures_model
from fairlead.app.document.document import Document
from fairlead.app.document.edits import Edits
from fairlead.app.document.view_state import ViewState
from fairlead.app.panels.sweep_list_model import SweepListModel
from fairlead.app.tables.figures_model import FiguresModel
from fairlead.app.tables.figures_view import FiguresView
from fairlead.core.analysis.analyses import Analyses
from fairlead.core.bands import Band
from fairlead.core.comparison.knowledge import at_once
from fairlead.core.comparison.rows import compare
from fairlead.core.figure_table import cells, shown
from fairlead.core.reading.reading import Reading
from fairlead.core.sweep import ScalarSweep, Sweep
from fairlead.core.uncertainty.interval import Interval, Intervals

pytestmark = pytest.mark.usefixtures("qapp")

GRID_HZ = np.linspace(46e6, 58e6, 101)
SPECS = shown("window")
IDS = [spec.id for spec in SPECS]


def reading(i):
    gamma = SeriesCircuit(49e6 + 0.3e6 * i, 40.0 + 5 * i, 8.0).reflection(GRID_HZ)
    if i % 4 == 3:
        return Reading(ScalarSweep(GRID_HZ, np.abs(gamma)), f"sweep {i}", f"{i}.s1p")
    return Reading(Sweep(GRID_HZ, gamma), f"sweep {i}", f"{i}.s1p")


@pytest.fixture
def bench():
    return make(4)


def make(count):
    document, view_state = Document(), ViewState()
    model = FiguresModel(document, view_state)
    listed = SweepListModel(document)
    testers = [
        QAbstractItemModelTester(each, QAbstractItemModelTester.FailureReportingMode.Fatal)
        for each in (model, listed)
    ]
    edits = Edits(document)
    edits.add([reading(i) for i in range(count)])
    return SimpleNamespace(
        document=document, edits=edits, model=model, listed=listed, testers=testers
    )


def texts(model):
    return [
        [model.index(row, column).data() for column in range(model.columnCount())]
        for row in range(model.rowCount())
    ]


def expected(bench):
    analyses = Analyses()
    figures = {
        one.key: at_once(bench, one, analyses.of(one.sweep, bench.z0_ohm)) for one in bench.entries
    }
    return [list(cells(SPECS, row)) for row in compare(bench, analyses, figures=figures)]


def signals(model):
    heard = SimpleNamespace(changed=[], resets=0, inserted=[], removed=[], layouts=0)
    model.dataChanged.connect(
        lambda first, last: heard.changed.append(
            (first.row(), last.row(), first.column(), last.column())
        )
    )
    model.modelReset.connect(lambda: setattr(heard, "resets", heard.resets + 1))
    model.layoutChanged.connect(lambda: setattr(heard, "layouts", heard.layouts + 1))
    model.rowsInserted.connect(lambda _, first, last: heard.inserted.append((first, last)))
    model.rowsRemoved.connect(lambda _, first, last: heard.removed.append((first, last)))
    return heard


def test_cells_and_headings_are_those_of_the_report(bench):
    assert texts(bench.model) == expected(bench.document.bench)
    for i, spec in enumerate(SPECS):
        text = bench.model.headerData(i, Qt.Orientation.Horizontal)
        assert text.split("\n") == list(spec.two_lines(bench.document.bench))


def test_every_column_says_what_it_means(bench):
    for i, spec in enumerate(SPECS):
        role = int(Qt.ItemDataRole.ToolTipRole)
        assert spec.hint in bench.model.headerData(i, Qt.Orientation.Horizontal, role)
        if spec.id != "verdict":  # its reason stands there
            assert bench.model.index(0, i).data(Qt.ItemDataRole.ToolTipRole) == spec.hint


def test_an_edge_changes_cells_and_nothing_else(bench):
    bench.edits.set_band(Band(49e6, 53e6))
    heard = signals(bench.model)
    bench.edits.set_edge("low", 49.5e6)
    assert texts(bench.model) == expected(bench.document.bench)
    assert heard.resets == heard.layouts == 0
    assert heard.inserted == heard.removed == []
    columns = {c for _, _, first, last in heard.changed for c in range(first, last + 1)}
    assert IDS.index("low_edge") in columns
    assert not columns & {IDS.index(name) for name in ("label", "condition", "high_edge")}


def test_the_same_figures_are_not_computed_twice(bench, monkeypatch):
    calls = []
    real = fairlead.app.tables.figures_model.at_once
    monkeypatch.setattr(
        fairlead.app.tables.figures_model,
        "at_once",
        lambda *a: calls.append(a[0]) or real(*a),
    )
    keys = [entry.key for entry in bench.document.bench.entries]
    bench.edits.rename(keys[1], "another")
    bench.edits.set_visible(keys[:2], is_visible=False)
    bench.edits.set_reference(keys[2])
    bench.edits.move(keys[0], 3)
    bench.edits.remove([keys[1]])
    assert calls == []
    bench.edits.add([reading(7)])
    assert len(calls) == 1
    bench.edits.set_limit(1.5)
    assert len(calls) == 1 + 4
    assert texts(bench.model) == expected(bench.document.bench)


def test_a_new_reference_turns_every_change(bench):
    heard = signals(bench.model)
    bench.edits.set_reference(bench.document.bench.entries[2].key)
    assert bench.model.index(2, IDS.index("shift")).data() == "reference"
    assert heard.resets == 0
    assert {row for first, last, *_ in heard.changed for row in range(first, last + 1)} == {
        0,
        1,
        2,
        3,
    }


def test_rows_keep_their_selection_through_moves(bench):
    kept = QPersistentModelIndex(bench.model.index(0, 2))
    key = bench.model.key_at(0)
    heard = signals(bench.model)
    bench.edits.move(key, 2)
    assert kept.row() == 2
    assert bench.model.key_at(kept.row()) == key
    assert heard.layouts == 1
    bench.edits.remove([bench.model.key_at(0)])
    assert kept.row() == 1
    assert heard.removed == [(0, 0)]
    bench.edits.remove([key])
    assert not kept.isValid()


def test_a_scalar_sweep_has_dashes_where_nothing_exists(bench):
    row = texts(bench.model)[3]
    assert row[IDS.index("resonance")] == row[IDS.index("q")] == "–"
    assert row[IDS.index("best_swr")] != "–"


def test_numbers_stand_at_the_right_and_words_at_the_left(bench):
    role = Qt.ItemDataRole.TextAlignmentRole
    assert bench.model.index(0, IDS.index("label")).data(role) & Qt.AlignmentFlag.AlignLeft
    assert bench.model.index(0, IDS.index("worst")).data(role) & Qt.AlignmentFlag.AlignRight


def test_swatch_and_bold_name_of_the_reference_stand_at_the_side(bench):
    side = Qt.Orientation.Vertical
    icon = bench.model.headerData(0, side, int(Qt.ItemDataRole.DecorationRole))
    assert not icon.isNull()
    font = bench.model.headerData(0, side, int(Qt.ItemDataRole.FontRole))
    assert font.bold()
    assert bench.model.headerData(1, side, int(Qt.ItemDataRole.FontRole)) is None


EDITS = st.sampled_from(
    [
        "add",
        "add two",
        "remove",
        "remove two",
        "move",
        "rename",
        "hide",
        "reference",
        "band",
        "span",
        "limit",
        "undo",
        "redo",
    ]
)


@pytest.mark.unmeasured
@pytest.mark.slow
@given(st.lists(st.tuples(EDITS, st.integers(0, 9), st.integers(0, 9)), max_size=12))
def test_after_any_edits_both_models_agree_with_the_bench(steps):
    """Qt's own model tester watches every signal; the contents are compared with the core."""
    bench = make(2)
    for step, i, j in steps:
        play(bench, step, i, j)
        entries = bench.document.bench.entries
        assert texts(bench.model) == expected(bench.document.bench)
        assert [row.entry.key for row in compare(bench.document.bench)] == [
            bench.model.key_at(row) for row in range(bench.model.rowCount())
        ]
        listed = bench.listed
        assert [listed.entry_at(row) for row in range(listed.rowCount())] == list(entries)


def play(bench, step, i, j):
    edits, keys = bench.edits, [entry.key for entry in bench.document.bench.entries]
    some = keys[i % len(keys)] if keys else None
    simple = {
        "add": lambda: edits.add([reading(i)]),
        "add two": lambda: edits.add([reading(i), reading(j)]),
        "band": lambda: edits.set_band(Band(47e6 + i * 1e5, 52e6 + j * 1e5)),
        "span": edits.use_whole_span,
        "limit": lambda: edits.set_limit(1.2 + i / 5),
        "undo": edits.undo,
        "redo": edits.redo,
    }
    with_one = {
        "remove": lambda: edits.remove([some]),
        "remove two": lambda: edits.remove([some, keys[j % len(keys)]]),
        "move": lambda: edits.move(some, j),
        "rename": lambda: edits.rename(some, f"name {j}"),
        "hide": lambda: edits.set_visible([some], is_visible=bool(j % 2)),
        "reference": lambda: edits.set_reference(some),
    }
    if step in simple:
        simple[step]()
    elif some is not None:
        with_one[step]()


def known_to(bench, key, half):
    """Intervals of one figure of every sweep, half as wide on either side."""
    found = {}
    for row in compare(bench):
        value = getattr(row.figures, key)
        interval = Interval(value - half, value + half)
        found[row.entry.key] = {key: Intervals(interval)}
    return found


def test_intervals_come_later_and_go_with_the_figures_they_belong_to(bench):
    bench.edits.set_band(Band(49e6, 53e6))
    heard, column = signals(bench.model), IDS.index("best_match")
    found = known_to(bench.document.bench, "best_match_hz", 40e3)
    bench.model.show_intervals(bench.document.bench, found)
    assert bench.model.index(1, column).data().endswith(" ± 0.04")
    assert {first for *_, first, _ in heard.changed} >= {column, IDS.index("shift")}
    # Words change no figure.
    bench.edits.rename(bench.model.key_at(1), "another")
    assert "±" in bench.model.index(1, column).data()
    bench.edits.set_limit(1.5)
    assert "±" not in bench.model.index(1, column).data()
    assert texts(bench.model) == expected(bench.document.bench)


def test_intervals_of_another_bench_are_not_shown(bench):
    old = bench.document.bench
    found = known_to(old, "best_match_hz", 40e3)
    bench.edits.set_limit(1.5)
    bench.model.show_intervals(old, found)
    assert texts(bench.model) == expected(bench.document.bench)


def test_columns_make_room_for_intervals(bench, qtbot):
    view = FiguresView(bench.model, ViewState())
    qtbot.addWidget(view)
    column = IDS.index("best_swr")
    before = view.columnWidth(column)
    found = known_to(bench.document.bench, "best_match_swr", 0.02)
    bench.model.show_intervals(bench.document.bench, found)
    text = bench.model.index(0, column).data()
    assert "±" in text
    assert view.columnWidth(column) > before
    assert view.columnWidth(column) > view.fontMetrics().horizontalAdvance(text) + 6
    assert view.isColumnHidden(IDS.index("label"))
