"""A file opened elsewhere is offered in the running window, which can say no."""

from __future__ import annotations

import pytest
from mouse import Mouse
from PySide6.QtCore import QPointF, QProcess
from PySide6.QtWidgets import QToolButton
from window import labels, run_events, write_sweep

pytest_plugins = ["window_fixtures"]


@pytest.fixture
def offered(loaded, tmp_path):
    """A sweep offered to a window with three."""
    path = write_sweep(tmp_path / "other.s1p")
    loaded.handlers.files.offer([path])
    run_events()
    return path


def press(window, text):
    (button,) = [
        button
        for button in window.messages.findChildren(QToolButton)
        if button.isVisible() and button.text() == text
    ]
    Mouse(button).click(QPointF(button.rect().center()))


@pytest.mark.usefixtures("offered")
def test_nothing_is_opened_before_it_is_said(loaded):
    assert labels(loaded) == ["dry", "wet", "iced"]
    assert loaded.messages.lines[-1] == "other.s1p: open in this window?"


@pytest.mark.usefixtures("offered")
def test_open_here_adds_it(loaded, qtbot):
    with qtbot.waitSignal(loaded.loader.ended, timeout=20_000):
        press(loaded, "Open here")
    run_events()
    assert labels(loaded) == ["dry", "wet", "iced", "other"]


def test_own_window_starts_the_program_again(loaded, offered, monkeypatch):
    started = []
    monkeypatch.setattr(QProcess, "startDetached", staticmethod(lambda *call: started.append(call)))
    press(loaded, "Own window")
    ((_, arguments),) = started
    assert arguments == ["-m", "fairlead.app", "--new-window", offered]
    assert labels(loaded) == ["dry", "wet", "iced"]
