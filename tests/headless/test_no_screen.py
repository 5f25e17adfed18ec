"""Without a working screen the window is refused in one line; Qt would abort the process."""

from __future__ import annotations

import socket
import sys

import pytest

from fairlead.app import screen
from fairlead.app.screen import why_no_screen

pytestmark = pytest.mark.skipif(sys.platform != "linux", reason="elsewhere there is a screen")

VARIABLES = ("DISPLAY", "WAYLAND_DISPLAY", "QT_QPA_PLATFORM", "XDG_RUNTIME_DIR")


@pytest.fixture
def surroundings(monkeypatch):
    """Sets variables of the environment; the others of a screen are gone."""
    for name in VARIABLES:
        monkeypatch.delenv(name, raising=False)

    def set_all(**variables):
        for name, value in variables.items():
            monkeypatch.setenv(name, value)

    return set_all


@pytest.fixture
def complete(monkeypatch):
    """No library is missing."""
    monkeypatch.setattr(screen, "_missing_of_plugin", lambda _: None)


@pytest.mark.parametrize("platform", ["offscreen", "vnc:size=800x600", "minimal"])
def test_platforms_without_a_display_need_none(surroundings, platform):
    surroundings(QT_QPA_PLATFORM=platform)
    assert why_no_screen() == ""


def test_nothing_is_set(surroundings):
    surroundings()
    assert why_no_screen() == "there is no screen for a window"


def test_xcb_without_a_display(surroundings):
    surroundings(QT_QPA_PLATFORM="xcb")
    assert why_no_screen() == "there is no screen for a window"


@pytest.mark.usefixtures("complete")
def test_a_dead_x11_display(surroundings):
    surroundings(DISPLAY=":4711")
    if not screen._x11_answers():
        assert why_no_screen() == "the display :4711 does not answer"


@pytest.mark.usefixtures("complete")
def test_a_machine_on_which_nobody_can_ask(surroundings, monkeypatch):
    def no_library(_):
        raise OSError("libxcb.so.1: cannot open shared object file")

    monkeypatch.setattr(screen.ctypes, "CDLL", no_library)
    surroundings(DISPLAY=":4711")
    assert why_no_screen() == ""


@pytest.mark.usefixtures("complete")
def test_wayland_answers_at_its_socket(surroundings, tmp_path, monkeypatch):
    surroundings(WAYLAND_DISPLAY="w", XDG_RUNTIME_DIR=str(tmp_path))
    assert why_no_screen() == "the display w does not answer"
    monkeypatch.chdir(tmp_path)  # the name of a socket is short
    with socket.socket(socket.AF_UNIX) as listening:
        listening.bind("w")
        assert why_no_screen() == "the display w does not answer"
        listening.listen()
        assert why_no_screen() == ""
        # One of two that works is enough.
        surroundings(DISPLAY=":4711")
        assert why_no_screen() == ""


def test_a_missing_library_of_the_plugin_is_named(surroundings, monkeypatch):
    def lacks(_):
        raise OSError("libxcb-cursor.so.0: cannot open shared object file: No such file")

    monkeypatch.setattr(screen.ctypes, "CDLL", lacks)
    surroundings(DISPLAY=":4711")
    assert why_no_screen() == "the system library libxcb-cursor.so.0 is missing"


def test_without_the_plugin_nobody_can_tell(monkeypatch):
    monkeypatch.setattr(screen.importlib.util, "find_spec", lambda _: None)
    assert screen._missing_of_plugin("libqxcb.so") is None


def test_the_command_says_it_in_one_line_with_the_packages(fairlead_process):
    """As a process: Qt's abort would be status 134."""
    done = fairlead_process("a.s1p", DISPLAY=":4711")
    assert done.status == 1
    (line,) = done.errors
    assert "display :4711 does not answer" in line or "is missing" in line
    assert "apt-get install" in line or "figures, picture" in line
