"""One step of an edge drag, from the mouse move to the painted picture."""

from __future__ import annotations

import os
import sys
import time
from pathlib import Path
from typing import TYPE_CHECKING
from unittest.mock import patch

import numpy as np
from rows import Row, print_rows, resonant_reflection, scratch

os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")
sys.path.insert(0, str(Path(__file__).parents[1] / "helpers"))

from mouse import Mouse, run_events
from PySide6.QtCore import QPointF, QSettings
from PySide6.QtWidgets import QApplication, QSplitter

from fairlead.app.document.document import Document
from fairlead.app.document.edits import Edits
from fairlead.app.document.view_state import ViewState
from fairlead.app.files.settings import Settings
from fairlead.app.panels.unsaved_question import UnsavedQuestion
from fairlead.app.plots.frequency_plot import FrequencyPlot
from fairlead.app.plots.smith_plot import SmithPlot
from fairlead.app.shell.window import MainWindow
from fairlead.core.bands import Band
from fairlead.core.reading.reading import Reading
from fairlead.core.sweep import Sweep

if TYPE_CHECKING:
    from collections.abc import Callable

    from PySide6.QtWidgets import QWidget

STEPS = 150
BAND = Band(50e6, 54e6)
SMALL, LARGE = (1, 101), (20, 10_001)


class PlotPair(QSplitter):
    """Both plots side by side, wired to a document, and nothing else."""

    def __init__(self) -> None:
        super().__init__()
        self.document, self.view_state = Document(), ViewState()
        self.edits = Edits(self.document)
        self.frequency_plot = FrequencyPlot(self.document, self.view_state)
        self.smith_plot = SmithPlot(self.document, self.view_state)
        for plot in (self.frequency_plot, self.smith_plot):
            self.addWidget(plot)
        self.frequency_plot.gesture_began.connect(self.edits.begin_gesture)
        self.frequency_plot.edge_dragged.connect(self.edits.drag_edge)
        self.frequency_plot.gesture_ended.connect(self.edits.end_gesture)


def filled(window: PlotPair | MainWindow, count: int, points: int) -> PlotPair | MainWindow:
    """The window with noisy resonant sweeps, each a bit different, shown as it usually stands."""
    window.edits.add(
        [
            Reading(Sweep(*resonant_reflection(points, seed)), f"sweep {seed}", "")
            for seed in range(count)
        ]
    )
    window.edits.set_band(BAND)
    window.resize(1280, 800)
    window.show()
    for _ in range(5):
        run_events(4)
        time.sleep(0.06)
    return window


def put_away(window: QWidget) -> None:
    """Close a window and let it go; nobody is there to answer whether to save."""
    with patch.object(UnsavedQuestion, "ask", return_value="discard"):
        window.close()
    window.deleteLater()
    run_events()


def drag_steps_ms(swr: FrequencyPlot) -> list[float]:
    """Milliseconds of each step of a drag of the low edge, painting included."""
    mouse = Mouse(swr.viewport())
    start = swr.position_of(BAND.low_hz, 0.3)
    mouse.move(start)
    mouse.press()
    times = []
    for step in range(STEPS):
        # To and fro by up to 4 pixels, as a hand moves.
        at = start + QPointF(60 * np.sin(step / 15), 0)
        begin = time.perf_counter()
        mouse.move(at)
        times.append(1e3 * (time.perf_counter() - begin))
    mouse.release()
    # The first moves only begin the gesture.
    return times[2:]


def compare(make: Callable[[], PlotPair | MainWindow]) -> tuple[float, float, float]:
    """Median of the small and of the large case, and the latter's 95th percentile, in ms."""
    middle = []
    for count, points in (SMALL, LARGE):
        window = filled(make(), count, points)
        times = drag_steps_ms(window.frequency_plot)
        middle.append(float(np.median(times)))
        put_away(window)
    return middle[0], middle[1], float(np.percentile(times, 95))


def measure() -> list[Row]:
    """20 sweeps x 10,001 points against 1 sweep of 101: both plots, then with the table."""
    application = QApplication.instance() or QApplication([])
    assert application is not None
    with scratch() as folder:
        store = QSettings(f"{folder}/settings.ini", QSettings.Format.IniFormat)
        rows = []
        for name, budget_ms, make in (
            ("plots alone", 9.0, PlotPair),
            ("whole window", 16.0, lambda: MainWindow(Settings(store))),
        ):
            small, large, p95 = compare(make)
            ratio = large / small
            note = f"medians {large:.1f} and {small:.1f} ms"
            budget = f"< {budget_ms:.0f} ms"
            rows += [
                Row(f"edge drag, {name}, p95", p95, "ms", budget, p95 < budget_ms),
                Row(f"edge drag, {name}, large : small", ratio, "x", "<= 2", ratio <= 2, note),
            ]
    return rows


if __name__ == "__main__":
    print_rows(measure())
