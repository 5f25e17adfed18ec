"""One step of the what-if slider, from the moved value to the painted plots and table.

In processor time of all threads: the machine that runs this may be busy with other things. Steps
in which the table had its turn, which is not every one, are in the 95th percentile.
"""

from __future__ import annotations

import time

import numpy as np
from bench_drag import PlotPair, filled, put_away
from mouse import run_events
from PySide6.QtCore import QSettings
from PySide6.QtWidgets import QApplication
from rows import Row, print_rows, scratch

from fairlead.app.files.settings import Settings
from fairlead.app.shell.window import MainWindow

STEPS = 100
BUDGET_MS = 33.0


def shift_steps_ms(window: PlotPair | MainWindow) -> list[float]:
    """Milliseconds of each step, to and fro by 2 %, as a hand moves a slider."""
    keys = [entry.key for entry in window.document.bench.entries]
    window.edits.begin_gesture()
    times = []
    for step in range(STEPS):
        percent = round(2 * np.sin(step / 15), 2)
        begin = time.process_time()
        window.edits.drag_shift(keys, percent)
        run_events()
        times.append(1e3 * (time.process_time() - begin))
    window.edits.cancel_gesture()
    return times[3:]


def until_idle() -> None:
    """Let intervals and checks end that the window begins after loading."""
    for _ in range(40):
        begin = time.process_time()
        run_events()
        time.sleep(0.5)
        if time.process_time() - begin < 0.02:
            return


def measure() -> list[Row]:
    """20 sweeps x 1,601 points: both plots alone, and the whole window with its table."""
    application = QApplication.instance() or QApplication([])
    assert application is not None
    rows = []
    with scratch() as folder:
        store = QSettings(f"{folder}/settings.ini", QSettings.Format.IniFormat)
        for name, make in (
            ("both plots", PlotPair),
            ("whole window", lambda: MainWindow(Settings(store))),
        ):
            window = filled(make(), 20, 1601)
            until_idle()
            times = shift_steps_ms(window)
            p95 = float(np.percentile(times, 95))
            note = f"median {np.median(times):.1f} ms"
            rows.append(
                Row(f"what-if step, {name}, p95", p95, "ms", "< 33 ms", p95 < BUDGET_MS, note)
            )
            put_away(window)
    return rows


if __name__ == "__main__":
    print_rows(measure())
