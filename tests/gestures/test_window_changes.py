"""What changed, in words: in the window, on the clipboard, always of the bench as it is."""

from __future__ import annotations

import pytest
from mouse import Mouse
from PySide6.QtCore import Qt
from PySide6.QtGui import QGuiApplication
from PySide6.QtWidgets import QToolButton
from window import load, row_centre, run_events, select, write_sweep

from fairlead.core.errors import FairleadError

pytest_plugins = ["window_fixtures"]
CTRL_ALT = Qt.KeyboardModifier.ControlModifier | Qt.KeyboardModifier.AltModifier


def wait(window, qtbot):
    qtbot.waitUntil(lambda: not window.background.is_busy, timeout=60_000)
    run_events()


def clipboard(window, qtbot):
    qtbot.waitUntil(lambda: not window.handlers.changes.is_busy, timeout=60_000)
    run_events()
    return QGuiApplication.clipboard().text()


def said(window):
    return window.change_text.toPlainText()


def test_the_sentences_of_the_samples_are_on_the_screen_and_on_the_clipboard(window, qtbot):
    with qtbot.waitSignal(window.loader.ended, timeout=20_000):
        qtbot.mouseClick(window.empty_page.samples_button, Qt.MouseButton.LeftButton)
    wait(window, qtbot)
    lines = said(window).splitlines()
    assert len(lines) == len(window.document.bench.entries) - 1
    (iced,) = [line for line in lines if line.startswith("ground-plane-iced")]
    assert "best match 1.95" in iced
    assert " MHz lower (−3.8 %)" in iced
    assert "covers the band at 3, not at 2" in iced
    text = window.change_text
    seen = text.mapTo(window, text.rect().center())
    assert text.isVisible()
    assert window.rect().contains(seen)
    qtbot.keyClick(window, Qt.Key.Key_C, CTRL_ALT)
    assert clipboard(window, qtbot) == said(window) + "\n"


def test_a_click_on_a_sweep_shows_and_copies_its_own(loaded, qtbot):
    wait(loaded, qtbot)
    assert [line.split(":")[0] for line in said(loaded).splitlines()] == ["wet", "iced"]
    Mouse(loaded.sweep_list.viewport()).click(row_centre(loaded, "iced"))
    assert said(loaded).startswith("iced: best match 1.8")
    assert "\n" not in said(loaded)
    button = loaded.change_text.parentWidget().parentWidget().findChild(QToolButton)
    qtbot.mouseClick(button, Qt.MouseButton.LeftButton)
    assert clipboard(loaded, qtbot) == said(loaded) + "\n"
    # The reference alone is compared with nothing.
    Mouse(loaded.sweep_list.viewport()).click(row_centre(loaded, "dry"))
    assert len(said(loaded).splitlines()) == 2


def test_as_markdown_and_in_the_context_menu(loaded, qtbot):
    wait(loaded, qtbot)
    select(loaded, "wet")
    names = [action.objectName() for action in loaded.change_text.actions()]
    assert names == ["copy-changes", "copy-changes-markdown"]
    loaded.commands["copy-changes-markdown"].trigger()
    assert clipboard(loaded, qtbot).startswith("- wet: best match ")


def test_nothing_of_an_earlier_band_is_shown_or_copied(loaded, qtbot):
    wait(loaded, qtbot)
    assert "worst SWR in the band" in said(loaded)
    before = said(loaded)
    loaded.edits.set_edge("high", 52e6)
    assert said(loaded) == ""
    assert "Working out" in loaded.change_text.placeholderText()
    loaded.commands["copy-changes"].trigger()
    copied = clipboard(loaded, qtbot)
    wait(loaded, qtbot)
    assert said(loaded) + "\n" == copied
    assert said(loaded) != before


def test_one_sweep_alone_is_compared_with_nothing(window, qtbot, tmp_path):
    load(window, qtbot, [write_sweep(tmp_path / "a.s1p")])
    wait(window, qtbot)
    assert said(window) == ""
    assert "With two or more sweeps" in window.change_text.placeholderText()
    QGuiApplication.clipboard().setText("before")
    window.commands["copy-changes"].trigger()
    assert clipboard(window, qtbot) == "before"
    assert "Nothing to compare yet" in window.messages.lines[-1]


def test_an_error_is_told(loaded, qtbot, monkeypatch):
    wait(loaded, qtbot)

    def fails(*_):
        raise FairleadError("it failed", "try again")

    monkeypatch.setattr("fairlead.app.handlers.changes.compare_known", fails)
    loaded.commands["copy-changes"].trigger()
    clipboard(loaded, qtbot)
    assert "it failed" in loaded.messages.lines[-1]


@pytest.mark.parametrize("size", [(800, 480), (1280, 800), (1920, 1080)])
def test_at_least_a_whole_line_can_be_read_at_any_size(loaded, qtbot, size):
    wait(loaded, qtbot)
    loaded.resize(*size)
    run_events()
    text = loaded.change_text
    assert text.viewport().height() >= text.fontMetrics().lineSpacing()
    assert text.viewport().width() >= 300
