"""The worked example: from the first page to its last step, and back."""

from __future__ import annotations

from mouse import Mouse
from PySide6.QtCore import QPointF, Qt
from window import run_events, steps

from fairlead.app.handlers import story
from fairlead.app.panels.story_text import STORY

pytest_plugins = ["window_fixtures"]


def shown(window):
    return {entry.label for entry in window.document.bench.visible}


def test_the_first_page_tells_it_step_by_step(window, qtbot):
    button = window.empty_page.story_button
    Mouse(button).click(QPointF(button.rect().center()))
    run_events()
    told = window.handlers.story.shown
    assert told.isVisible()
    assert told.heading.text() == "1 of 4: Dry"
    assert window.document.path is None
    assert shown(window) == {"ground-plane-dry", "dipole-reference"}
    for number, step in enumerate(STORY[1:], start=2):
        qtbot.keyClick(told.next_button, Qt.Key.Key_Space)
        assert told.heading.text() == f"{number} of 4: {step.title}"
        assert shown(window) == set(step.labels)
    assert window.document.bench.groups[0].is_visible
    assert not told.next_button.isEnabled()
    qtbot.mouseClick(told.back_button, Qt.MouseButton.LeftButton)
    assert shown(window) == set(STORY[2].labels)
    assert not window.document.bench.groups[0].is_visible
    texts = [window.document.undo_stack.text(i) for i in range(steps(window))]
    assert texts[-2:] == ["Show step 4, units", "Show step 3, iced"]
    window.commands["undo"].trigger()
    assert shown(window) == set(STORY[3].labels)
    # On another bench it hides nothing.
    window.handlers.bench.new()
    qtbot.mouseClick(told.back_button, Qt.MouseButton.LeftButton)
    assert window.document.bench.entries == ()
    told.reject()


def test_own_work_is_asked_about_first(loaded, questions):
    questions.answer = "cancel"
    loaded.commands["story"].trigger()
    assert questions[-1][1] == "opening the worked example"
    assert len(loaded.document.bench.entries) == 3
    assert loaded.handlers.story.shown is None


def test_a_demo_that_is_not_installed_is_said(loaded, monkeypatch, tmp_path):
    monkeypatch.setattr(story, "demo_bench", lambda: tmp_path / "club.fairlead")
    loaded.commands["story"].trigger()
    assert "club.fairlead" in loaded.messages.lines[-1]
    assert len(loaded.document.bench.entries) == 3
