"""The end of the session is no crash: edits are kept, and nothing is offered that holds none."""

from __future__ import annotations

import os
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest
from window import write_sweep

from fairlead.app.files.recovery_file import read_bench

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
