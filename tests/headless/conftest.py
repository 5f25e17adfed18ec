"""The command, here and as a process of its own, and files for it."""

from __future__ import annotations

import atexit
import gc
import io
import os
import subprocess
import sys
from types import SimpleNamespace

import numpy as np
import pytest
from circuits import SeriesCircuit

from fairlead.app.__main__ import main

GRID_HZ = np.linspace(46e6, 58e6, 241)
SCREENS = ("DISPLAY", "WAYLAND_DISPLAY", "QT_QPA_PLATFORM")


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
def fairlead(qapp, tmp_path, monkeypatch):  # noqa: ARG001 - Qt's application is there if any is
    """Runs the command here, in the folder of the files: a process would take half a second.

    Where the process itself is what is tested, the fixture is ``fairlead_process``.
    """

    def run(*arguments):
        streams = [io.TextIOWrapper(io.BytesIO(), write_through=True) for _ in range(2)]
        with monkeypatch.context() as patch:
            patch.chdir(tmp_path)
            for name in SCREENS:
                patch.delenv(name, raising=False)
            patch.setattr(sys, "stdout", streams[0])
            patch.setattr(sys, "stderr", streams[1])
            try:
                status = main([os.fspath(argument) for argument in arguments])
            except SystemExit as end:
                status = end.code
            finally:
                # The command pauses the collector for the rest of its process.
                gc.enable()
                atexit.unregister(gc.freeze)
        return _done(status, *(stream.buffer.getvalue() for stream in streams))

    return run


@pytest.fixture
def fairlead_process(tmp_path):
    """Runs the command as a process in the folder of the files; without a screen or our modules."""

    def run(*arguments, code=None, **environment):
        start = ["-c", code] if code else ["-m", "fairlead.app"]
        own = {
            key: value for key, value in os.environ.items() if key not in (*SCREENS, "PYTHONUTF8")
        }
        done = subprocess.run(
            [sys.executable, *start, *arguments],
            cwd=tmp_path,
            env=own | {"PYTHONPATH": os.pathsep.join(sys.path)} | environment,
            capture_output=True,
            timeout=60,
            check=False,
        )
        return _done(done.returncode, done.stdout, done.stderr)

    return run


def _done(status, out, errors):
    return SimpleNamespace(
        status=status, out=out.decode("utf-8"), errors=errors.decode("utf-8").splitlines()
    )
