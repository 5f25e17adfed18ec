"""An error that nobody caught: a line with its details to copy, a log file, and work goes on."""

from __future__ import annotations

import stat
import sys
import threading

import pytest
from PySide6.QtCore import Qt, QTimer
from PySide6.QtGui import QGuiApplication
from window import run_events

from fairlead.app.handlers import unforeseen
from fairlead.app.handlers.unforeseen import UnforeseenErrors, log_file

pytest_plugins = ["window_fixtures"]


@pytest.fixture
def told(monkeypatch):
    """What went to standard error; pytest's own hook would fail the test."""
    found = []
    monkeypatch.setattr(sys, "excepthook", lambda *args: found.append(args[1]))
    monkeypatch.setattr(threading, "excepthook", threading.excepthook)
    return found


@pytest.fixture
def errors(window, tmp_path, told):  # noqa: ARG001 - its hook is the one before
    made = UnforeseenErrors(window.messages, str(tmp_path / "log" / "errors.log"), window)
    made.install()
    return made


def fail():
    raise ValueError("two\nlines")


def caught(call, *arguments):
    try:
        call(*arguments)
    except BaseException as error:  # noqa: BLE001 - as the interpreter does
        sys.excepthook(type(error), error, error.__traceback__)


@pytest.mark.usefixtures("errors")
def test_the_bar_offers_the_details_and_the_log_has_them(window, qtbot, tmp_path, told):
    caught(fail)
    run_events()
    assert [str(one) for one in told] == ["two\nlines"]
    path = tmp_path / "log" / "errors.log"
    (line,) = window.messages.lines
    assert line == (
        f"Something went wrong (ValueError: two lines). Please report it; written to {path}"
    )
    assert stat.S_IMODE(path.stat().st_mode) == 0o600
    (button,) = window.messages.offer_buttons
    assert button.text() == "Copy details"
    qtbot.mouseClick(button, Qt.MouseButton.LeftButton)
    copied = QGuiApplication.clipboard().text()
    assert "in fail" in copied
    assert copied.startswith("fairlead ")
    assert copied in path.read_text("utf-8")


@pytest.mark.usefixtures("errors")
def test_the_same_error_is_one_line_and_the_log_keeps_all(window, tmp_path, monkeypatch):
    monkeypatch.setattr(unforeseen, "_MOST_LOGGED", 2)
    for _ in range(3):
        caught(fail)
        run_events()
    assert len(window.messages.lines) == 1
    text = (tmp_path / "log" / "errors.log").read_text("utf-8")
    assert text.count("Traceback") == 2


@pytest.mark.usefixtures("errors")
def test_threads_are_heard_too(window, qtbot):
    thread = threading.Thread(target=fail)
    thread.start()
    thread.join()
    qtbot.waitUntil(lambda: bool(window.messages.lines))
    assert "ValueError" in window.messages.lines[0]


@pytest.mark.usefixtures("errors")
def test_an_interrupt_is_no_error(window):
    caught(lambda: (_ for _ in ()).throw(KeyboardInterrupt))
    run_events()
    assert window.messages.lines == []


def test_without_a_log_the_line_stands_alone(window, told, tmp_path):
    for path in ("", str(tmp_path)):
        errors = UnforeseenErrors(window.messages, path, window)
        errors.take(ValueError, ValueError("x"), None)
        run_events()
        assert window.messages.lines[0].endswith("Please report it")
    assert len(told) == 2


def test_the_log_has_its_place_among_our_data():
    assert log_file().endswith("errors.log")


@pytest.mark.usefixtures("errors")
def test_the_window_goes_on(window, qtbot):
    done = []
    QTimer.singleShot(0, lambda: caught(fail))
    QTimer.singleShot(10, lambda: done.append(1))
    qtbot.waitUntil(lambda: done == [1])
    assert window.isVisible()
