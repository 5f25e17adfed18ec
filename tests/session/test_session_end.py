"""The end of the session is no crash: edits are kept, and nothing is offered that holds none."""

from __future__ import annotations

import os
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest
from PySide6.QtCore import QObject, Signal
from window import key_of, run_events, write_sweep

from fairlead.app.files.recovery_file import read_bench
from fairlead.app.shell.session_end import LogOut

pytest_plugins = ["window_fixtures"]

pytestmark = pytest.mark.skipif(os.name != "posix", reason="signals of POSIX")

PROGRAM = """
import sys
from PySide6.QtCore import QStandardPaths, QTimer
from fairlead.app.shell import window as shell
QStandardPaths.setTestModeEnabled(True)
shell._RECOVERY_AFTER_MS = 0
real = shell.MainWindow.__init__
def made(self, settings):
    real(self, settings)
    self.loader.ended.connect(lambda: edit(self))
def edit(window):
    if sys.argv[1] == "edit":
        window.edits.rename(window.document.bench.entries[0].key, "the edited one")
    if sys.argv[1] == "dialog":
        QTimer.singleShot(0, window.commands["export-picture"].trigger)
    print("ready", flush=True)
shell.MainWindow.__init__ = made
sys.exit(shell.run(sys.argv[2:]))
"""


def ended_by(number, what, tmp_path):
    """The window with a sweep, edited or not, ended by a signal: the files it leaves."""
    home = tmp_path / "home"
    home.mkdir()
    own = {"HOME": str(home), "XDG_DATA_HOME": str(home / "data"), "QT_QPA_PLATFORM": "offscreen"}
    own |= {"XDG_CONFIG_HOME": str(home / "config")}
    process = subprocess.Popen(
        [sys.executable, "-c", PROGRAM, what, write_sweep(tmp_path / "a.s1p")],
        env=os.environ | own | {"PYTHONPATH": os.pathsep.join(sys.path)},
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
    )
    assert process.stdout.readline() == "ready\n", process.stderr.read()
    time.sleep(0.3)
    process.send_signal(number)
    _, errors = process.communicate(timeout=30)
    assert process.returncode == 0
    assert "Traceback" not in errors
    return sorted(path for path in home.rglob("*") if "recovery" in path.parts and path.is_file())


@pytest.mark.parametrize("number", [signal.SIGTERM, signal.SIGHUP, signal.SIGINT])
def test_edits_are_kept_and_offered(tmp_path, number):
    (kept,) = ended_by(number, "edit", tmp_path)
    assert kept.suffix == ".recovery"  # without a lock: any program may take it
    (entry,) = read_bench(Path(kept)).entries
    assert entry.label == "the edited one"


@pytest.mark.parametrize("what", ["look", "dialog"])
def test_sweeps_that_were_only_looked_at_are_not_offered(tmp_path, what):
    assert ended_by(signal.SIGTERM, what, tmp_path) == []


class Session(QObject):
    """What a session manager makes the application say; no test can send the real thing."""

    commitDataRequest = Signal()  # noqa: N815 - Qt's name
    quit_wanted = Signal()
    aboutToQuit = Signal()  # noqa: N815 - Qt's name


@pytest.fixture
def kept(loaded, tmp_path):
    """The folder of unsaved work, with the window's lock and nothing else in it."""
    folder = tmp_path / "recovery"
    loaded.handlers.recovery.start(folder)
    return lambda: sorted(folder.glob("*.recovery"))


def test_a_log_out_saves_at_once_and_closes_nothing(loaded, kept, questions):
    session = Session()
    log_out = LogOut(session, loaded)
    loaded.edits.rename(key_of(loaded, "dry"), "the edited one")
    assert kept() == []  # it waits for a pause
    session.commitDataRequest.emit()
    (file,) = kept()
    assert {entry.label for entry in read_bench(file).entries} == {"the edited one", "wet", "iced"}
    assert loaded.isVisible()
    assert loaded.document.undo_stack.canUndo()
    # The log-out was cancelled; work goes on, and is saved when it is asked for again.
    loaded.edits.rename(key_of(loaded, "wet"), "soaked")
    session.commitDataRequest.emit()
    assert {entry.label for entry in read_bench(kept()[0]).entries} >= {"soaked"}
    session.quit_wanted.emit()
    assert not loaded.isVisible()
    assert questions == []
    assert len(kept()) == 1
    assert log_out.parent() is session


def test_work_after_a_cancelled_log_out_is_asked_about(loaded, kept, questions):
    session = Session()
    LogOut(session, loaded)
    loaded.edits.rename(key_of(loaded, "dry"), "the edited one")
    session.commitDataRequest.emit()
    loaded.edits.rename(key_of(loaded, "wet"), "soaked")
    session.quit_wanted.emit()
    assert loaded.isVisible()
    loaded.close()
    assert [purpose for _, purpose in questions] == ["closing"]
    run_events()
    assert kept() == []


def test_a_log_out_leaves_nothing_of_sweeps_that_were_only_looked_at(loaded, kept):
    session = Session()
    LogOut(session, loaded)
    loaded.edits.rename(key_of(loaded, "dry"), "edited")
    session.commitDataRequest.emit()
    assert len(kept()) == 1
    loaded.document.undo_stack.undo()
    session.commitDataRequest.emit()
    assert kept() == []
    session.aboutToQuit.emit()
    assert not loaded.isVisible()
    assert kept() == []
