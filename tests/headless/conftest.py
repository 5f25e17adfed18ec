"""The command as a process of its own, and files for it."""

from __future__ import annotations

import os
import subprocess
import sys
from types import SimpleNamespace

import numpy as np
import pytest
from circuits import SeriesCircuit

GRID_HZ = np.linspace(46e6, 58e6, 241)


@pytest.fixture
def write(tmp_path):
    """Writes a series circuit as Touchstone; the file's name is returned."""

    def write(name, f0_hz=51e6, r_ohm=62.0, q=8.0, frequency_hz=GRID_HZ, option="# HZ S RI R 50"):
        gamma = SeriesCircuit(f0_hz, r_ohm, q).reflection(frequency_hz)
        rows = zip(frequency_hz, gamma.real, gamma.imag, strict=True)
        path = tmp_path / name
        path.parent.mkdir(parents=True, exist_ok=True)
        lines = [option, *(f"{f!r} {re!r} {im!r}" for f, re, im in map(_floats, rows))]
        path.write_text("\n".join(lines) + "\n")
        return name

    return write


def _floats(row):
    return tuple(float(value) for value in row)


@pytest.fixture
def fairlead(tmp_path):
    """Runs the command in the folder of the files; without a screen and without our modules."""

    def run(*arguments, code=None, **environment):
        start = ["-c", code] if code else ["-m", "fairlead.app"]
        own = {
            key: value
            for key, value in os.environ.items()
            if key not in ("DISPLAY", "WAYLAND_DISPLAY", "QT_QPA_PLATFORM", "PYTHONUTF8")
        }
        done = subprocess.run(
            [sys.executable, *start, *arguments],
            cwd=tmp_path,
            env=own | {"PYTHONPATH": os.pathsep.join(sys.path)} | environment,
            capture_output=True,
            timeout=60,
            check=False,
        )
        return SimpleNamespace(
            status=done.returncode,
            out=done.stdout.decode("utf-8"),
            errors=done.stderr.decode("utf-8").splitlines(),
        )

    return run
