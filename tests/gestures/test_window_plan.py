"""File > Plan the measurement: typed, read at once, kept on the bench, printed."""

from __future__ import annotations

import pytest
from PySide6.QtCore import Qt
from window import run_events

from fairlead.app.panels.file_chooser import FileChooser

pytest_plugins = ["window_fixtures"]


def panel_of(window):
    window.commands["plan"].trigger()
    run_events()
    return window.handlers.planning.panel


def test_an_empty_window_can_be_planned_for(window, qtbot):
    panel = panel_of(window)
    assert "nothing to find out" in panel.result_text.toPlainText()
    assert not panel.checklist_button.isEnabled()
    qtbot.keyClicks(panel.fields["shift_hz"], "20")
    qtbot.keyClicks(panel.fields["q"], "8")
    assert "detect a shift of 20 kHz" in panel.result_text.toPlainText()
    assert "No sweep is loaded yet." in panel.result_text.toPlainText()
    qtbot.mouseClick(panel.ok_button, Qt.MouseButton.LeftButton)
    run_events()
    assert window.document.bench.plan.shift_hz == 20e3
    assert window.document.undo_stack.count() == 1
    again = panel_of(window)
    assert again.fields["shift_hz"].text() == "20"
    again.reject()
    window.commands["undo"].trigger()
    assert window.document.bench.plan is None


def test_what_cannot_be_read_is_said_and_not_kept(window, qtbot):
    panel = panel_of(window)
    qtbot.keyClicks(panel.fields["q"], "sharp")
    assert "the Q" in panel.result_text.toPlainText()
    qtbot.mouseClick(panel.ok_button, Qt.MouseButton.LeftButton)
    assert panel.isVisible()
    assert window.document.bench.plan is None
    panel.reject()


def test_the_checklist_has_the_page_that_was_chosen_last(loaded, qtbot, monkeypatch, tmp_path):
    path = tmp_path / "list.pdf"
    monkeypatch.setattr(FileChooser, "data_to_write", classmethod(lambda *_: str(path)))
    for key, box in ((Qt.Key.Key_End, b"612"), (None, b"612"), (Qt.Key.Key_Home, b"595")):
        panel = panel_of(loaded)
        qtbot.keyClicks(panel.fields["cover_swr"], "1.5")
        if key is not None:
            qtbot.keyClick(panel.paper_box, key)
        qtbot.mouseClick(panel.checklist_button, Qt.MouseButton.LeftButton)
        run_events()
        assert b"/MediaBox [0 0 " + box in path.read_bytes()
        panel.reject()


@pytest.mark.parametrize("is_there", [True, False])
def test_the_checklist_of_loaded_sweeps_is_saved(loaded, qtbot, monkeypatch, tmp_path, is_there):
    path = tmp_path / ("list.pdf" if is_there else "missing/list.pdf")
    chosen = classmethod(lambda *_: str(path))
    monkeypatch.setattr(FileChooser, "data_to_write", chosen)
    panel = panel_of(loaded)
    qtbot.keyClicks(panel.fields["cover_swr"], "1.5")
    assert "where the plan asks for" in panel.result_text.toPlainText()
    qtbot.mouseClick(panel.checklist_button, Qt.MouseButton.LeftButton)
    run_events()
    (line,) = loaded.messages.lines
    assert path.exists() == is_there
    assert (line == f"Saved {path}") == is_there
    panel.reject()
