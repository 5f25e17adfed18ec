"""File > Export report: the menu writes a page, or Markdown with its picture."""

from __future__ import annotations

import pytest
from window import run_events

from fairlead.app.panels.file_chooser import FileChooser

pytest_plugins = ["window_fixtures"]


@pytest.fixture
def chosen(monkeypatch):
    """Answers the file dialog with the paths put here, and keeps what was suggested."""

    class Chosen:
        path = ""
        suggestion = ""

    given = Chosen()

    def data(_cls, _parent, _title, suggestion, _form, _ending):
        given.suggestion = suggestion
        return str(given.path)

    monkeypatch.setattr(FileChooser, "data_to_write", classmethod(data))
    return given


@pytest.mark.parametrize(("name", "box"), [("a4", b"595"), ("letter", b"612")])
def test_the_menu_writes_a_page(loaded, chosen, tmp_path, name, box):
    chosen.path = tmp_path / "page.pdf"
    steps = loaded.document.undo_stack.count()
    loaded.commands[f"export-report-{name}"].trigger()
    run_events()
    assert chosen.suggestion.endswith("report.pdf")
    assert loaded.messages.lines == [f"Exported {chosen.path}"]
    assert b"/MediaBox [0 0 " + box in chosen.path.read_bytes()
    assert loaded.document.undo_stack.count() == steps


def test_the_menu_writes_markdown_and_says_what_it_wrote(loaded, chosen, tmp_path):
    chosen.path = tmp_path / "club.md"
    loaded.commands["export-report-markdown"].trigger()
    run_events()
    assert loaded.messages.lines == [f"Exported {chosen.path} and {tmp_path / 'club.png'}"]
    assert "](club.png)" in chosen.path.read_text("utf-8")


def test_a_cancelled_dialog_writes_nothing_and_a_bad_place_is_said(loaded, chosen, tmp_path):
    loaded.commands["export-report-a4"].trigger()
    assert loaded.messages.lines == []
    chosen.path = tmp_path / "missing" / "page.pdf"
    loaded.commands["export-report-a4"].trigger()
    run_events()
    (line,) = loaded.messages.lines
    assert "could not be saved" in line
