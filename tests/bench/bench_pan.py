"""One step of panning and one of zooming, from the event to the painted picture."""

from __future__ import annotations

import time
from typing import TYPE_CHECKING

import numpy as np
from bench_drag import PlotPair, filled, put_away
from mouse import Mouse
from PySide6.QtCore import QPointF
from PySide6.QtWidgets import QApplication
from rows import Row, print_rows

if TYPE_CHECKING:
    from fairlead.app.plots.plot_frame import PlotFrame

STEPS = 100
BUDGET_MS = 33.0


def pan_steps_ms(plot: PlotFrame) -> list[float]:
    """Milliseconds of each step of a drag on empty ground."""
    mouse = Mouse(plot.viewport())
    start = QPointF(plot.viewport().width() * 0.6, plot.viewport().height() * 0.8)
    mouse.move(start)
    mouse.press()
    times = []
    for step in range(STEPS):
        way = QPointF(80 * np.sin(step / 12), 60 * np.sin(step / 9))
        begin = time.perf_counter()
        mouse.move(start + way)
        times.append(1e3 * (time.perf_counter() - begin))
    mouse.release()
    return times[3:]


def zoom_steps_ms(plot: PlotFrame) -> list[float]:
    """Milliseconds of each notch of the wheel, in and out again."""
    mouse = Mouse(plot.viewport())
    at = QPointF(plot.viewport().width() * 0.5, plot.viewport().height() * 0.5)
    times = []
    for step in range(STEPS):
        begin = time.perf_counter()
        mouse.wheel(at, 0.5 if step < STEPS / 2 else -0.5)
        times.append(1e3 * (time.perf_counter() - begin))
    return times[3:]


def measure() -> list[Row]:
    """20 sweeps x 1,601 points on each plot."""
    application = QApplication.instance() or QApplication([])
    assert application is not None
    window = filled(PlotPair(), 20, 1601)
    rows = []
    for name, plot in (("SWR plot", window.frequency_plot), ("Smith chart", window.smith_plot)):
        for what, steps in (("pan", pan_steps_ms), ("zoom", zoom_steps_ms)):
            times = steps(plot)
            p95 = float(np.percentile(times, 95))
            note = f"median {np.median(times):.1f} ms"
            is_ok = p95 < BUDGET_MS
            rows.append(Row(f"{what} step, {name}, p95", p95, "ms", "< 33 ms", is_ok, note))
    put_away(window)
    return rows


if __name__ == "__main__":
    print_rows(measure())
