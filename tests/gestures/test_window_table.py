"""The table: copied as text, scrolled with the names in place, in step with everything."""

from __future__ import annotations

import pytest
from mouse import Mouse
from PySide6.QtCore import QPointF, Qt
from window import CTRL, SHIFT, cell, key_of, load, run_events, select, steps, write_sweep

from fairlead.core.figure_table import shown
from fairlead.core.report import as_csv, as_json, as_markdown

pytest_plugins = ["window_fixtures"]

IDS = [spec.id for spec in shown("window")]


def test_ctrl_c_copies_the_whole_table_for_spreadsheet_letter_and_script(loaded, qtbot, qapp):
    loaded.figures.setFocus()
    qtbot.keyClick(loaded.figures, Qt.Key.Key_C, CTRL)
    rows = [line.split("\t") for line in qapp.clipboard().text().splitlines()]
    assert [row[0] for row in rows] == ["Sweep", "dry", "wet", "iced"]
    column = rows[0].index("Best match (MHz)")
    best_hz = as_json(loaded.document.bench)["sweeps"][0]["best_match_hz"]
    # All digits that there are, not those of the table.
    assert float(rows[1][column]) == pytest.approx(best_hz / 1e6, rel=1e-11)
    assert cell(loaded, "dry", "best_match") == f"{float(rows[1][column]):.3f}"
    data = qapp.clipboard().mimeData()
    assert data.data("text/csv").data().decode() == as_csv(loaded.document.bench)
    assert data.html().count("<tr>") == 4
    assert loaded.messages.lines == ["Copied all rows of the table"]


def test_only_selected_rows_are_copied(loaded, qtbot, qapp):
    select(loaded, "iced", "wet")
    loaded.figures.setFocus()
    qtbot.keyClick(loaded.figures, Qt.Key.Key_C, CTRL)
    rows = [line.split("\t")[0] for line in qapp.clipboard().text().splitlines()]
    assert rows == ["Sweep", "wet", "iced"]
    assert loaded.messages.lines == ["Copied 2 of 3 rows of the table"]


def test_markdown_has_heading_and_selected_rows(loaded, qtbot, qapp):
    qtbot.keyClick(loaded, Qt.Key.Key_C, CTRL | SHIFT)
    assert qapp.clipboard().text() == as_markdown(loaded.document.bench)
    select(loaded, "dry")
    qtbot.keyClick(loaded, Qt.Key.Key_C, CTRL | SHIFT)
    lines = qapp.clipboard().text().splitlines()
    assert lines[0].startswith("46 – 58 MHz, SWR limit 2")
    assert [line.split("|")[1].strip() for line in lines[2:]] == ["Sweep", "---", "dry"]


def test_ctrl_c_in_a_field_copies_what_is_selected_there(loaded, qtbot, qapp):
    field = loaded.band_panel.low_field
    field.setFocus()
    field.selectAll()
    qtbot.keyClick(field, Qt.Key.Key_C, CTRL)
    assert qapp.clipboard().text() == "46 MHz"


def test_names_stay_at_the_side_while_the_columns_scroll(loaded):
    table = loaded.figures
    header = table.verticalHeader()
    assert table.isColumnHidden(IDS.index("label"))
    assert loaded.figures_model.headerData(0, Qt.Orientation.Vertical) == "dry"
    bar = table.horizontalScrollBar()
    assert bar.maximum() > 0
    bar.setValue(bar.maximum())
    run_events()
    assert header.isVisible()
    assert header.width() >= 110


def test_the_most_telling_columns_are_in_sight_at_1280(loaded):
    loaded.resize(1280, 800)
    run_events()
    table = loaded.figures
    width = table.viewport().width()
    for name in (
        "verdict",
        "best_match",
        "best_swr",
        "worst",
        "width",
        "shift",
        "loss_change",
        "mismatch",
    ):
        place = table.columnViewportPosition(IDS.index(name))
        assert place >= 0
        assert place + table.columnWidth(IDS.index(name)) <= width, name


def test_every_number_fits_its_column(loaded):
    table, model = loaded.figures, loaded.figures_model
    metrics = table.fontMetrics()
    for i, name in enumerate(IDS):
        if table.isColumnHidden(i):
            continue
        title = model.headerData(i, Qt.Orientation.Horizontal).splitlines()
        texts = [*title, *(model.index(row, i).data() for row in range(model.rowCount()))]
        for text in texts:
            assert metrics.horizontalAdvance(text) + 6 <= table.columnWidth(i), (name, text)


def test_headings_can_be_dragged_to_another_place(loaded):
    header = loaded.figures.horizontalHeader()
    first, third = header.logicalIndexAt(10), IDS.index("best_swr")
    start = header.sectionViewportPosition(third) + 20
    mouse = Mouse(header.viewport())
    mouse.drag([QPointF(start, 10), QPointF(start - 60, 10), QPointF(8, 10), QPointF(4, 10)])
    assert header.visualIndex(third) < header.visualIndex(first)
    assert steps(loaded) == 1


def test_a_hidden_sweep_stays_in_the_table_in_a_fainter_tone(loaded):
    model = loaded.figures_model
    row = model.row_of(key_of(loaded, "wet"))
    assert model.index(row, 2).data(Qt.ItemDataRole.ForegroundRole) is None
    loaded.edits.set_visible([key_of(loaded, "wet")], is_visible=False)
    tone = model.index(row, 2).data(Qt.ItemDataRole.ForegroundRole)
    assert tone.name() == loaded.view_state.theme.muted


def test_a_name_that_looks_like_markup_is_shown_as_it_is(window, qtbot, tmp_path):
    load(window, qtbot, [write_sweep(tmp_path / "plain.s1p")])
    label = "<b>bold</b> & co"
    window.edits.rename(1, label)
    assert cell(window, label, "label") == label
    tip = window.figures_model.headerData(
        0, Qt.Orientation.Vertical, int(Qt.ItemDataRole.ToolTipRole)
    )
    assert "<b>" not in tip
    assert "&lt;b&gt;" in tip
    row_tip = window.sweep_model.index(0, 0).data(Qt.ItemDataRole.ToolTipRole)
    assert "<b>" not in row_tip
