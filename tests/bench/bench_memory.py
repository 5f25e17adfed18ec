"""Memory of a window with 1,000 sweeps over that of an empty one."""

from __future__ import annotations

import os
import subprocess
import sys

from rows import ROOT, Row, print_rows, scratch

WINDOW = """
import gc, os, sys
sys.path.insert(0, "tests/bench")
from PySide6.QtWidgets import QApplication
app = QApplication(sys.argv)
from rows import resonant_reflection
from PySide6.QtCore import QSettings
from fairlead.app.files.settings import Settings
from fairlead.app.shell.window import MainWindow
from fairlead.core.reading.reading import Reading
from fairlead.core.sweep import Sweep
def resident_mb():
    for _ in range(20):
        app.processEvents()
    gc.collect()
    with open("/proc/self/statm") as stream:
        return int(stream.read().split()[1]) * os.sysconf("SC_PAGE_SIZE") / 1e6
window = MainWindow(Settings(QSettings(sys.argv[1], QSettings.Format.IniFormat)))
window.resize(1280, 800)
window.show()
# One sweep first: what every plot needs once is not memory of the sweeps.
window.edits.add([Reading(Sweep(*resonant_reflection(1001, 0)), "first", "")])
empty = resident_mb()
window.edits.add(
    [Reading(Sweep(*resonant_reflection(1001, i)), f"sweep {i}", "") for i in range(1, 1001)]
)
print(resident_mb() - empty, flush=True)
os._exit(0)  # Nobody is there to answer whether to save.
"""


def measure() -> list[Row]:
    """Megabytes that 1,000 sweeps x 1,001 points add (Linux only)."""
    with scratch() as home:
        done = subprocess.run(
            [sys.executable, "-c", WINDOW, f"{home}/settings.ini"],
            check=True,
            cwd=ROOT,
            stdout=subprocess.PIPE,
            text=True,
            env={**os.environ, "QT_QPA_PLATFORM": "offscreen", "XDG_DATA_HOME": home},
        )
    grown = float(done.stdout.split()[-1])
    arrays = 1000 * 1001 * 24 / 1e6
    note = f"the arrays alone are {arrays:.0f} MB"
    return [Row("memory, 1,000 sweeps", grown, "MB", "< 150 MB", grown < 150, note)]


if __name__ == "__main__":
    print_rows(measure())
