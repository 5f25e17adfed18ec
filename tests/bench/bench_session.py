"""Saving a bench, and opening it against the Touchstone files that it came from."""

from __future__ import annotations

import threading
import time
from pathlib import Path

from rows import Row, print_rows, scratch, write_touchstone

from fairlead.app.files.recovery_file import RecoveryWriter
from fairlead.core.bench_file import load_bench, save_bench
from fairlead.core.document.bench import Bench
from fairlead.core.reading import open_sweeps

_STALL_MS = 50.0


def measure() -> list[Row]:
    """Saving in seconds, opening as a ratio, and how long another thread had to wait meanwhile."""
    with scratch() as folder:
        files = [Path(folder) / f"sweep {i}.s1p" for i in range(20)]
        for i, file in enumerate(files):
            write_touchstone(file, 10_001, i)
        path = Path(folder) / "comparison.fairlead"
        bench = Bench().with_readings(reading for file in files for reading in open_sweeps(file))
        save_bench(bench, path)
        assert load_bench(path) == bench
        saving, reading, opening = [], [], []
        # In turns: a machine that is busy for a moment is busy for all of them.
        for _ in range(7):
            saving.append(_timed(lambda: save_bench(bench, path)))
            reading.append(_timed(lambda: [open_sweeps(file) for file in files]))
            opening.append(_timed(lambda: load_bench(path)))
        keeper = RecoveryWriter(Path(folder) / "a.recovery")
        stalls = {
            "saving": _longest_wait_ms(lambda: save_bench(bench, path)),
            "opening": _longest_wait_ms(lambda: load_bench(path)),
            "first keeping for recovery": _longest_wait_ms(lambda: keeper.write(bench, None)),
            "keeping a later step": _longest_wait_ms(
                lambda: keeper.write(bench.with_label(1, "x"), None)
            ),
        }
        keeping = [_timed(lambda: keeper.write(bench, None)) for _ in range(5)]
    ratio = min(opening) / min(reading)
    note = f"{min(opening) * 1e3:.0f} ms against {min(reading) * 1e3:.0f} ms"
    return [
        Row("saving a bench, 20 x 10,001 points", min(saving), "s", "< 0.5 s", min(saving) < 0.5),
        Row("opening it", ratio, "x", "<= 1 x Touchstone", ratio <= 1, note),
        Row(
            "keeping a step for recovery",
            min(keeping) / min(saving),
            "x",
            "<= 1 x saving",
            min(keeping) <= min(saving),
            f"{min(keeping) * 1e3:.0f} ms",
        ),
        *(
            Row(f"longest wait of a window while {what}", wait, "ms", "< 50 ms", wait < _STALL_MS)
            for what, wait in stalls.items()
        ),
    ]


def _timed(work) -> float:
    start = time.perf_counter()
    work()
    return time.perf_counter() - start


def _longest_wait_ms(work) -> float:
    """Longest pause of a thread that wakes every 2 ms, as a window would, while work goes on."""
    worker = threading.Thread(target=work)
    longest = 0.0
    worker.start()
    while worker.is_alive():
        start = time.perf_counter()
        time.sleep(0.002)
        longest = max(longest, time.perf_counter() - start - 0.002)
    return longest * 1e3


if __name__ == "__main__":
    print_rows(measure())
