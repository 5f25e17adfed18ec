"""One line of the table of budgets."""

from __future__ import annotations

import os
import subprocess
import sys
import tempfile
import time
from dataclasses import dataclass
from pathlib import Path
from statistics import median

import numpy as np

ROOT = Path(__file__).parents[2]


@dataclass(frozen=True)
class Row:
    """A measured figure against its budget."""

    name: str
    value: float
    unit: str
    budget: str
    is_ok: bool
    note: str = ""


def print_rows(rows: list[Row]) -> None:
    """Print the table."""
    width = max(len(row.name) for row in rows)
    for row in rows:
        verdict = "ok" if row.is_ok else "OVER"
        print(
            f"{row.name:<{width}}  {row.value:8.2f} {row.unit:<3}  budget {row.budget:<16}"
            f"{verdict:<5} {row.note}"
        )


def resonant_reflection(count: int, seed: int, f0_hz: float = 51e6) -> tuple[np.ndarray, ...]:
    """Frequencies and reflection of a noisy resonant circuit, 40 to 62 MHz."""
    rng = np.random.default_rng(seed)
    frequency_hz = np.linspace(40e6, 62e6, count)
    f0_hz *= 1 + 0.002 * (seed % 9)
    z_ohm = 55 + 55j * 9 * (frequency_hz / f0_hz - f0_hz / frequency_hz)
    noise = rng.normal(0, 0.0005, (2, count))
    return frequency_hz, (z_ohm - 50) / (z_ohm + 50) + noise[0] + 1j * noise[1]


def write_touchstone(path: Path, count: int, seed: int) -> None:
    """A plain Touchstone file."""
    frequency_hz, gamma = resonant_reflection(count, seed)
    lines = [f"{f:.0f} {g.real:.6f} {g.imag:.6f}" for f, g in zip(frequency_hz, gamma, strict=True)]
    path.write_text("# Hz S RI R 50\n" + "\n".join(lines) + "\n", "ascii")


def median_seconds(command: list[str], runs: int = 5) -> float:
    """Median wall time of a whole process, after one warm-up, offscreen."""
    env = {**os.environ, "QT_QPA_PLATFORM": "offscreen"}
    # Compiled modules are part of a start as users know it, on both sides.
    env.pop("PYTHONDONTWRITEBYTECODE", None)
    times = []
    for _ in range(runs + 1):
        # A home of its own for each run: no settings and no unsaved work of the one before.
        with scratch() as home:
            env |= {"XDG_CONFIG_HOME": home, "XDG_DATA_HOME": home, "XDG_STATE_HOME": home}
            start = time.perf_counter()
            subprocess.run(command, check=True, env=env, cwd=ROOT, stdout=subprocess.DEVNULL)
            times.append(time.perf_counter() - start)
    return median(times[1:])


def median_seconds_told(command: list[str], runs: int = 5) -> float:
    """Median of what a process says of itself: seconds from before its start to its last line.

    The command gets the time of its start in FAIRLEAD_BENCH_START and prints the difference.
    """
    env = {**os.environ, "QT_QPA_PLATFORM": "offscreen"}
    env.pop("PYTHONDONTWRITEBYTECODE", None)
    times = []
    for _ in range(runs + 1):
        with scratch() as home:
            env |= {"XDG_CONFIG_HOME": home, "XDG_DATA_HOME": home, "XDG_STATE_HOME": home}
            env["FAIRLEAD_BENCH_START"] = repr(time.time())
            done = subprocess.run(
                command, check=True, env=env, cwd=ROOT, stdout=subprocess.PIPE, text=True
            )
            times.append(float(done.stdout.split()[-1]))
    return median(times[1:])


def python(source: str, *arguments: str) -> list[str]:
    """The command that runs a piece of Python."""
    return [sys.executable, "-c", source, *arguments]


def scratch() -> tempfile.TemporaryDirectory[str]:
    """A folder that goes away."""
    return tempfile.TemporaryDirectory(prefix="fairlead-bench-")
