"""Start to the first painted window with 6 sweeps, against a bare plot window."""

from __future__ import annotations

from pathlib import Path

from rows import Row, median_seconds_told, print_rows, python, scratch, write_touchstone

BARE = """
import os, sys, time
from PySide6.QtCore import QTimer
from PySide6.QtWidgets import QApplication
import pyqtgraph as pg
app = QApplication(sys.argv)
window = pg.PlotWidget()
window.resize(1280, 800)
window.show()
window.plot([1, 2, 3])
def painted():
    window.repaint()
    print(time.time() - float(os.environ["FAIRLEAD_BENCH_START"]), flush=True)
    os._exit(0)
QTimer.singleShot(0, lambda: QTimer.singleShot(0, painted))
app.exec()
"""
OURS = """
import os, sys, time
from PySide6.QtCore import QTimer
from PySide6.QtWidgets import QApplication
from fairlead.app.__main__ import main
app = QApplication(sys.argv)
def look():
    shown = [w for w in app.topLevelWidgets() if hasattr(w, "document")]
    if shown and len(shown[0].document.bench.entries) == 6:
        shown[0].repaint()
        print(time.time() - float(os.environ["FAIRLEAD_BENCH_START"]), flush=True)
        os._exit(0)
timer = QTimer()
timer.timeout.connect(look)
timer.start(1)
sys.exit(main(sys.argv[1:]))
"""


def measure() -> list[Row]:
    """Ratio of the times from the start of the process to the painted window with its curves."""
    with scratch() as folder:
        paths = [str(Path(folder) / f"sweep {i}.s1p") for i in range(6)]
        for i, path in enumerate(paths):
            write_touchstone(Path(path), 1001, i)
        ours = median_seconds_told(python(OURS, *paths))
        bare = median_seconds_told(python(BARE))
    ratio = ours / bare
    note = f"{ours:.2f} s against {bare:.2f} s"
    return [Row("start, 6 sweeps x 1,001 points", ratio, "x", "<= 1.5 x", ratio <= 1.5, note)]


if __name__ == "__main__":
    print_rows(measure())
