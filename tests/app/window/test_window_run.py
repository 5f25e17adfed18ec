"""The program as it is started: in a process of its own."""

from __future__ import annotations

import os
import subprocess
import sys

from window import write_sweep

SCRIPT = """
import sys
from PySide6.QtCore import QTimer
from PySide6.QtWidgets import QApplication
from fairlead.app.shell import window
from fairlead.app.panels.unsaved_question import UnsavedQuestion
UnsavedQuestion.ask = classmethod(lambda *_: "discard")
looks = []
def look():
    shown = [w for w in QApplication.topLevelWidgets() if isinstance(w, window.MainWindow)]
    if shown and len(shown[0].document.bench.entries) == 2:
        timer.stop()
        print(shown[0].windowTitle(), QApplication.applicationName())
        shown[0].commands["quit"].trigger()
    looks.append(1)
    if len(looks) > 2000:
        sys.exit("the sweeps never came")
app = QApplication(sys.argv)
timer = QTimer()
timer.timeout.connect(look)
timer.start(10)
sys.exit(window.run(sys.argv[1:]))
"""


def test_run_opens_the_window_loads_and_ends_with_zero(tmp_path):
    paths = [write_sweep(tmp_path / f"{name}.s1p") for name in "ab"]
    done = subprocess.run(
        [sys.executable, "-W", "error", "-c", SCRIPT, *paths],
        env={
            **os.environ,
            "QT_QPA_PLATFORM": "offscreen",
            "XDG_CONFIG_HOME": str(tmp_path / "config"),
            "HOME": str(tmp_path),
        },
        capture_output=True,
        text=True,
        timeout=60,
        check=False,
    )
    errors = [line for line in done.stderr.splitlines() if "This plugin does not" not in line]
    assert errors == []
    assert done.returncode == 0
    assert done.stdout == "Unnamed bench[*] – Fairlead Fairlead\n"
