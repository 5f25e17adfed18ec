"""The wheel, built and installed into a fresh environment, does the main job away from here."""

from __future__ import annotations

import json
import os
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[1]

# The window of the installed program: samples found in the wheel, loaded, painted, closed.
WINDOW = """
import sys, time
from PySide6.QtCore import QSettings
from PySide6.QtWidgets import QApplication
application = QApplication(["fairlead"])
from fairlead.app.look.resources import sample_files
from fairlead.app.files.settings import Settings
from fairlead.app.shell.window import MainWindow
files = [str(path) for path in sample_files()]
window = MainWindow(Settings(QSettings(sys.argv[1], QSettings.Format.IniFormat)))
window.show()
window.load(files)
until = time.monotonic() + 30
while len(window.document.bench.entries) < len(files) and time.monotonic() < until:
    application.processEvents()
assert not window.grab().isNull()
print(len(files), len(window.document.bench.entries))
"""


def python_with_pip():
    """An interpreter that has pip: ours, or the one that made our environment without it."""
    for python in (sys.executable, sys._base_executable, shutil.which("python3")):
        if python and subprocess.run([python, "-c", "import pip"], check=False).returncode == 0:
            return python
    raise AssertionError("no interpreter here has pip; README's commands need one that has")


@pytest.fixture(scope="module")
def installed(tmp_path_factory):
    """The folder of the programs of an environment that holds nothing but the wheel."""
    place = tmp_path_factory.mktemp("wheel")
    pip = [python_with_pip(), "-m", "pip"]
    finished([*pip, "wheel", "-q", "--no-deps", "--wheel-dir", place, ROOT])
    (wheel,) = place.glob("fairlead-*.whl")
    finished([sys.executable, "-m", "venv", "--without-pip", place / "env"])
    programs = place / "env" / ("Scripts" if os.name == "nt" else "bin")
    finished([*pip, "--python", programs / "python", "install", "-q", wheel])
    return programs


def finished(command, **options):
    done = subprocess.run(
        [str(part) for part in command], capture_output=True, text=True, check=False, **options
    )
    assert done.returncode == 0, done.stdout + done.stderr
    return done.stdout


def run(command, folder):
    environment = {**os.environ, "QT_QPA_PLATFORM": "offscreen", "PYTHONPATH": ""}
    return finished(command, cwd=folder, env=environment)


def test_the_installed_command_gives_figures_and_a_picture(installed, tmp_path):
    version = run([installed / "fairlead", "--version"], tmp_path)
    assert "0.1.0" in version
    sample = ROOT / "samples" / "ground-plane-dry.s1p"
    figures = json.loads(run([installed / "fairlead", "figures", sample, "--as", "json"], tmp_path))
    assert figures["sweeps"][0]["best_match_hz"] == pytest.approx(50.83e6, abs=50e3)
    run([installed / "fairlead", "picture", sample, "-o", "out.png"], tmp_path)
    assert (tmp_path / "out.png").read_bytes().startswith(b"\x89PNG")


def test_the_installed_window_finds_and_shows_its_samples(installed, tmp_path):
    told = run([installed / "python", "-c", WINDOW, tmp_path / "settings.ini"], tmp_path)
    assert told.split() == ["10", "10"]
