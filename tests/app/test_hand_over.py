"""Files handed over to a running window: privately, within bounds, and only if it says so."""

from __future__ import annotations

import json
import os
import socket
import subprocess
import sys
import threading

import pytest
from PySide6.QtCore import QCoreApplication

from fairlead.app.files import hand_over
from fairlead.app.shell.waiting_line import WaitingLine

pytestmark = pytest.mark.skipif(not hasattr(socket, "AF_UNIX"), reason="no such sockets here")


@pytest.fixture
def place(tmp_path_factory, monkeypatch):
    """A short private folder in place of the user's own."""
    folder = tmp_path_factory.mktemp("r", numbered=True)
    for screen in ("DISPLAY", "WAYLAND_DISPLAY"):
        monkeypatch.delenv(screen, raising=False)
    monkeypatch.setenv("XDG_RUNTIME_DIR", str(folder))
    return folder / "fairlead"


@pytest.fixture
def line(qapp, place):  # noqa: ARG001 - both must be there
    """A window's ear, and what it hears."""
    ear = WaitingLine()
    ear.heard = []
    ear.offered.connect(ear.heard.append)
    ear.listen()
    yield ear
    ear.close()


def while_listening(call):
    """Run a call of another program while this one handles its events; what the call gave."""
    found = []
    other = threading.Thread(target=lambda: found.append(call()))
    other.start()
    while other.is_alive():
        QCoreApplication.processEvents()
    other.join()
    return found[0]


def say(message):
    with socket.socket(socket.AF_UNIX) as call:
        call.settimeout(5)
        call.connect(hand_over.socket_path())
        call.sendall(message)
        call.shutdown(socket.SHUT_WR)
        return call.recv(100)


def test_nobody_listens_so_a_window_opens(place):
    assert not hand_over.hand_over(["a.s1p"])
    assert place.stat().st_mode & 0o777 == 0o700


def test_files_are_handed_over_with_whole_paths(line, tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    assert while_listening(lambda: hand_over.hand_over(["a.s1p", "/b\udcff.s1p"]))
    assert line.heard == [[str(tmp_path / "a.s1p"), "/b\udcff.s1p"]]
    # Nothing to hand over: a second window is what was asked for.
    assert not while_listening(lambda: hand_over.hand_over([]))


def test_the_place_is_free_again_and_only_one_window_has_it(line):
    second = WaitingLine()
    second.listen()
    assert second._line is None
    second.close()
    line.close()
    line.close()
    assert not os.path.lexists(hand_over.socket_path())
    second.listen()
    assert second._line is not None
    second.close()


@pytest.mark.usefixtures("place")
def test_what_a_killed_window_left_is_cleared_away():
    dead = hand_over.listening_socket()
    dead.close()
    assert os.path.lexists(hand_over.socket_path())
    assert not hand_over.hand_over(["a.s1p"])
    alive = hand_over.listening_socket()
    assert alive is not None
    alive.close()


def test_a_folder_that_others_can_enter_is_not_used(place):
    hand_over.socket_path()
    place.chmod(0o750)
    assert hand_over.socket_path() is None
    assert hand_over.listening_socket() is None
    assert not hand_over.hand_over(["a.s1p"])


def test_a_link_in_place_of_the_folder_is_not_followed(place, tmp_path):
    (tmp_path / "theirs").mkdir(mode=0o700)
    place.symlink_to(tmp_path / "theirs")
    assert hand_over.socket_path() is None


@pytest.mark.parametrize(
    "message",
    [
        b"",
        b"GET / HTTP/1.1\n",
        b"[1]\n",
        json.dumps({"paths": []}).encode() + b"\n",
        json.dumps({"paths": ["not/whole.s1p"]}).encode() + b"\n",
        json.dumps({"paths": [1]}).encode() + b"\n",
        json.dumps({"paths": ["/a"] * 1001}).encode() + b"\n",
        b"[" * 100_000 + b"\n",
        b"no end of the line",
    ],
)
def test_what_is_no_offer_is_not_taken(line, message):
    assert while_listening(lambda: say(message)) == b""
    assert line.heard == []


def test_the_command_ends_at_once_when_a_window_takes_the_file(line, tmp_path):
    def start(*options):
        return subprocess.run(
            [sys.executable, "-m", "fairlead.app", *options, str(tmp_path / "a.s1p")],
            env={**os.environ, "QT_QPA_PLATFORM": "xcb", "DISPLAY": ""},
            capture_output=True,
            check=False,
            timeout=60,
        )

    assert while_listening(start).returncode == 0
    assert line.heard == [[str(tmp_path / "a.s1p")]]
    # Without a screen a window of its own cannot be opened, which shows that it was tried.
    assert while_listening(lambda: start("--new-window")).returncode == 1
    assert len(line.heard) == 1
