"""Rows of the table that nobody sees are written when somebody asks for them, and never stale."""

from __future__ import annotations

import numpy as np
import pytest
from circuits import SeriesCircuit

import fairlead.app.tables.figures_model
from fairlead.app.document.document import Document
from fairlead.app.document.edits import Edits
from fairlead.app.document.view_state import ViewState
from fairlead.app.tables.figures_model import FiguresModel
from fairlead.app.tables.figures_view import FiguresView
from fairlead.core.analysis.analyses import Analyses
from fairlead.core.bands import Band
from fairlead.core.comparison.knowledge import at_once, knowledge_of
from fairlead.core.comparison.rows import compare
from fairlead.core.figure_table import cells, shown
from fairlead.core.reading.reading import Reading
from fairlead.core.sweep import Sweep

pytestmark = pytest.mark.usefixtures("qapp")

GRID_HZ = np.linspace(46e6, 58e6, 101)
COLUMNS = len(shown("window"))
SWEEPS = 6


@pytest.fixture
def document():
    document = Document()
    edits = Edits(document)
    edits.add([reading(i) for i in range(SWEEPS)])
    edits.set_band(Band(49e6, 53e6))
    return document


@pytest.fixture
def edits(document):
    return Edits(document)


@pytest.fixture
def model(document):
    """Rows 1 and 2 are in sight; the reference, in row 0, is not."""
    model = FiguresModel(document, ViewState())
    model.follow_sight(lambda: range(1, 3))
    return model


@pytest.fixture
def computed(monkeypatch):
    """The labels of the sweeps whose figures are calculated."""
    labels = []
    real = fairlead.app.tables.figures_model.at_once
    monkeypatch.setattr(
        fairlead.app.tables.figures_model,
        "at_once",
        lambda bench, entry, analysis: labels.append(entry.label) or real(bench, entry, analysis),
    )
    return labels


def reading(i):
    gamma = SeriesCircuit(49e6 + 0.5e6 * i, 40.0 + 5 * i, 8.0).reflection(GRID_HZ)
    return Reading(Sweep(GRID_HZ, gamma), f"sweep {i}", f"{i}.s1p")


def texts(model, rows=range(SWEEPS)):
    return [[model.index(row, column).data() for column in range(COLUMNS)] for row in rows]


def expected(bench):
    analyses = Analyses()
    figures = {
        one.key: at_once(bench, one, analyses.of(one.sweep, bench.z0_ohm)) for one in bench.entries
    }
    specs = shown("window")
    return [list(cells(specs, row)) for row in compare(bench, analyses, figures=figures)]


def test_an_edge_calculates_what_is_in_sight_and_the_reference(document, edits, model, computed):
    edits.set_edge("low", 49.5e6)
    assert computed == ["sweep 0", "sweep 1", "sweep 2"]
    texts(model, [1, 2])
    assert len(computed) == 3
    texts(model, [4])
    assert computed[3:] == ["sweep 4"]
    assert texts(model) == expected(document.bench)
    assert sorted(computed) == [f"sweep {i}" for i in range(SWEEPS)]


@pytest.mark.parametrize(
    "edit",
    [
        lambda edits, _keys: edits.set_edge("low", 50e6),
        lambda edits, _keys: edits.set_limit(1.5),
        lambda edits, keys: edits.rename(keys[4], "another"),
        lambda edits, keys: edits.drag_shift([keys[0], keys[5]], 1.0),
        lambda edits, keys: edits.set_reference(keys[5]),
        lambda edits, keys: edits.move(keys[0], 4),
        lambda edits, keys: edits.remove([keys[3]]),
        lambda edits, _keys: edits.add([reading(7)]),
    ],
)
def test_what_was_left_waiting_is_right_after_any_edit(document, edits, model, edit):
    edits.set_edge("high", 52e6)
    edit(edits, [entry.key for entry in document.bench.entries])
    model._catch_up()
    assert texts(model, range(model.rowCount())) == expected(document.bench)
    edits.undo()
    model._catch_up()
    assert texts(model, range(model.rowCount())) == expected(document.bench)


def test_every_cell_that_changes_is_announced(edits, model):
    before, told = texts(model), set()
    model.dataChanged.connect(
        lambda first, last: told.update(
            (row, column)
            for row in range(first.row(), last.row() + 1)
            for column in range(first.column(), last.column() + 1)
        )
    )
    edits.set_edge("low", 50e6)
    after = texts(model)
    differing = {
        (row, column)
        for row in range(SWEEPS)
        for column in range(COLUMNS)
        if before[row][column] != after[row][column]
    }
    assert differing <= told
    assert {cell for cell in differing if cell[0] in {1, 2}} == {
        cell for cell in told if cell[0] in {1, 2}
    }


def test_a_table_that_is_behind_asks_for_its_own_bench(document, edits, model):
    """A row that is asked for between two turns of a hurried change must not run ahead."""
    keys = [entry.key for entry in document.bench.entries]
    edits.drag_shift(keys, 1.0)
    model._catch_up()
    told = []
    at_one = expected(document.bench)
    edits.drag_shift(keys, 2.0)
    assert texts(model) == at_one
    model.dataChanged.connect(lambda first, last: told.extend(range(first.row(), last.row() + 1)))
    model._catch_up()
    assert {0, 1, 2} <= set(told)
    assert texts(model) == expected(document.bench)


def test_intervals_reach_the_rows_that_were_left_waiting(document, edits, model):
    rng = np.random.default_rng(5)
    noise = rng.normal(0, 1e-3, (2, GRID_HZ.size))
    gamma = SeriesCircuit(51e6, 45.0, 8.0).reflection(GRID_HZ) + noise[0] + 1j * noise[1]
    edits.add([Reading(Sweep(GRID_HZ, gamma), "noisy", "n.s1p")])
    edits.set_edge("low", 49.2e6)
    known = knowledge_of(document.bench, document.analyses)
    document.learn(document.bench, known)
    row = [*texts(model, [SWEEPS])[0]]
    assert any("±" in text for text in row)
    edits.set_edge("low", 49.4e6)
    assert not any("±" in text for text in texts(model, [SWEEPS])[0])


def test_the_view_says_which_rows_it_shows(document, edits, qtbot, computed):
    view_state = ViewState()
    model = FiguresModel(document, view_state)
    view = FiguresView(model, view_state)
    qtbot.addWidget(view)
    computed.clear()
    edits.set_edge("low", 49.2e6)
    assert computed == ["sweep 0"], "a hidden table shows nothing"
    height = view.verticalHeader().defaultSectionSize()
    view.resize(600, view.horizontalHeader().sizeHint().height() + 3 * height)
    with qtbot.waitExposed(view):
        view.show()
    view.verticalScrollBar().setValue(2 * height)
    qtbot.wait(1)
    seen = {view.rowAt(y) for y in range(view.viewport().height())} - {-1}
    assert 0 not in seen
    assert len(seen) < SWEEPS - 1
    computed.clear()
    edits.set_edge("low", 49.5e6)
    assert set(computed) == {"sweep 0"} | {f"sweep {row}" for row in seen}
    assert texts(model) == expected(document.bench)
