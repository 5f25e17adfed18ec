"""One step of an edge drag, from the mouse move to the painted picture."""

from __future__ import annotations

import os
import sys
import time
from pathlib import Path
from typing import TYPE_CHECKING

import numpy as np
from rows import Row, print_rows, resonant_reflection

os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")
sys.path.insert(0, str(Path(__file__).parents[1]))

from helpers.mouse import Mouse, run_events
from PySide6.QtCore import QPointF
from PySide6.QtWidgets import QApplication, QSplitter

from app.document import Document
from app.edits import Edits
from app.plots.smith_plot import SmithPlot
from app.plots.swr_plot import SwrPlot
from app.view_state import ViewState
from core.bands import Band
from core.reading.reading import Reading
from core.sweep import Sweep

if TYPE_CHECKING:
    from PySide6.QtWidgets import QWidget

STEPS = 150
BAND = Band(50e6, 54e6)


def readings(count: int, points: int) -> list[Reading]:
    """Noisy resonant sweeps, each a bit different."""
    return [
        Reading(Sweep(*resonant_reflection(points, seed)), f"sweep {seed}", "")
        for seed in range(count)
    ]


def plots(count: int, points: int) -> tuple[QWidget, SwrPlot, SmithPlot]:
    """Both plots side by side in a window, wired to a document."""
    document, view_state, edits = Document(), ViewState(), None
    edits = Edits(document)
    window = QSplitter()
    swr, smith = SwrPlot(document, view_state), SmithPlot(document, view_state)
    for plot in (swr, smith):
        window.addWidget(plot)
    swr.gesture_began.connect(edits.begin_gesture)
    swr.edge_dragged.connect(edits.drag_edge)
    swr.gesture_ended.connect(edits.end_gesture)
    edits.add(readings(count, points))
    edits.set_band(BAND)
    show(window)
    window.setSizes([720, 560])
    settle()
    # The document must live as long as the plots.
    window.setProperty("kept", [document, view_state, edits])
    return window, swr, smith


def show(window: QWidget) -> None:
    """Show a window as it usually stands."""
    window.resize(1280, 800)
    window.show()
    settle()


def settle() -> None:
    """Wait until nothing moves any more."""
    for _ in range(5):
        run_events(4)
        time.sleep(0.06)


def drag_steps_ms(swr: SwrPlot) -> list[float]:
    """Milliseconds of each step of a drag of the low edge, painting included."""
    mouse = Mouse(swr.viewport())
    start = swr.position_of(BAND.low_hz, 0.3)
    mouse.move(start)
    mouse.press()
    times = []
    for step in range(STEPS):
        # To and fro by 2 to 5 pixels, as a hand moves.
        at = start + QPointF(60 * np.sin(step / 15), 0)
        begin = time.perf_counter()
        mouse.move(at)
        times.append(1e3 * (time.perf_counter() - begin))
    mouse.release()
    return times[5:]


def measure() -> list[Row]:
    """20 sweeps x 10,001 points against 1 sweep of 101."""
    application = QApplication.instance() or QApplication([])
    assert application is not None
    p95, middle = {}, {}
    for count, points in ((1, 101), (20, 10_001)):
        window, swr, _ = plots(count, points)
        times = drag_steps_ms(swr)
        p95[count], middle[count] = float(np.percentile(times, 95)), float(np.median(times))
        window.close()
        window.deleteLater()
        run_events()
    ratio = middle[20] / middle[1]
    note = f"median {middle[20]:.1f} ms"
    return [
        Row("edge drag, plots alone, p95", p95[20], "ms", "< 9 ms", p95[20] < 9, note),
        Row("edge drag, plots alone, 20 x 10,001 : 1 x 101", ratio, "x", "<= 2", ratio <= 2),
    ]


if __name__ == "__main__":
    print_rows(measure())
