"""One step of the what-if slider, from the moved value to the painted plots; then the table's turn.

In processor time of the thread that shows the window: the machine may be busy with other things,
and so are the threads that work out intervals whenever the hand rests. The table follows ten times
a second at most, in a turn of its own, which is the second row.
"""

from __future__ import annotations

import time

import numpy as np
from bench_drag import PlotPair, filled, put_away
from mouse import run_events
from PySide6.QtCore import QSettings
from PySide6.QtWidgets import QApplication
from rows import Row, print_rows, scratch

from fairlead.app.document.keyed_model import KeyedModel
from fairlead.app.files.settings import Settings
from fairlead.app.shell.window import MainWindow

STEPS = 100
BUDGET_MS = 33.0


def shift_steps_ms(window: PlotPair | MainWindow) -> tuple[list[float], list[float]]:
    """Milliseconds of each step, to and fro by 2 %, as a hand moves a slider; and of the tables."""
    keys = [entry.key for entry in window.document.bench.entries]
    tables = window.findChildren(KeyedModel)
    window.edits.begin_gesture()
    moves, turns = [], []
    for step in range(STEPS):
        percent = round(2 * np.sin(step / 15), 2)
        begin = time.thread_time()
        window.edits.drag_shift(keys, percent)
        for table in tables:
            table._late.stop()
        run_events()
        moved = time.thread_time()
        for table in tables:
            table._catch_up()
        run_events()
        moves.append(1e3 * (moved - begin))
        turns.append(1e3 * (time.thread_time() - moved))
    window.edits.cancel_gesture()
    return moves[3:], turns[3:]


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
            moves, turns = shift_steps_ms(window)
            rows.append(_row(f"what-if step, {name}, p95", moves))
            if isinstance(window, MainWindow):
                rows.append(_row("the table's turn after it, p95", turns))
            put_away(window)
    return rows


def _row(name: str, times: list[float]) -> Row:
    p95 = float(np.percentile(times, 95))
    return Row(name, p95, "ms", "< 33 ms", p95 < BUDGET_MS, f"median {np.median(times):.1f} ms")


if __name__ == "__main__":
    print_rows(measure())
