"""Source archive, wheel of it, fresh environment: what is installed does the main job."""

from __future__ import annotations

import json
import os
import shutil
import subprocess
import sys
import tarfile
import tomllib
import zipfile
from pathlib import Path

import numpy as np
import pytest
from packaging.requirements import Requirement

pytestmark = [pytest.mark.slow, pytest.mark.xdist_group("wheel")]

ROOT = Path(__file__).parents[1]
LENT = Path(np.__file__).parents[1]
# What a checkout may hold beside its own files.
MADE = (".png", ".svg", ".pdf", ".csv", ".json", ".s1p", ".fairlead")
LEFTOVERS = (
    *(".git", ".venv", "__pycache__", "*.egg-info", "build", "dist", "typed", "htmlcov"),
    *(".mypy_cache", ".ruff_cache", ".pytest_cache", ".hypothesis", ".coverage*"),
)
BUILD = """
import sys
sys.path.insert(0, ".ci")
import build_backend
build_backend.build_{kind}(sys.argv[1])
"""

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
lent = {
    name.partition(".")[0] for name, module in list(sys.modules.items())
    if (getattr(module, "__file__", None) or "").startswith(sys.argv[2])
}
print(len(files), len(window.document.bench.entries), *sorted(lent))
"""


def python_with_pip():
    """An interpreter that has pip: ours, or the one that made our environment without it."""
    for python in (sys.executable, sys._base_executable, shutil.which("python3")):
        if python and subprocess.run([python, "-c", "import pip"], check=False).returncode == 0:
            return python
    raise AssertionError("no interpreter here has pip; README's commands need one that has")


def environment(folder):
    """Make an environment without anything; the folder of its programs."""
    finished([sys.executable, "-m", "venv", "--without-pip", folder])
    return folder / ("Scripts" if os.name == "nt" else "bin")


def left_out(folder, names):
    """What is not of the checkout: what tools leave, and what README's commands make at the top."""
    found = shutil.ignore_patterns(*LEFTOVERS)(folder, names)
    return found | {name for name in names if Path(folder) == ROOT and name.endswith(MADE)}


@pytest.fixture(scope="module")
def built(tmp_path_factory):
    """Build the source archive of a copy of the checkout, and the wheel of the archive.

    In a copy: a build writes into its folder. A module that was built once and is gone from the
    sources since lies in the way.
    """
    place = tmp_path_factory.mktemp("built")
    checkout, archives = place / "checkout", place / "archives"
    shutil.copytree(ROOT, checkout, ignore=left_out)
    programs = environment(place / "builder")
    finished([*pip_of(programs), "install", "-q", "setuptools>=77"])
    python = programs / "python"
    finished([python, "-c", BUILD.format(kind="sdist"), archives], cwd=checkout)
    (archive,) = archives.glob("fairlead-*.tar.gz")
    with tarfile.open(archive) as inside:
        inside.extractall(place, filter="data")
    unpacked = place / archive.name.removesuffix(".tar.gz")
    stale = unpacked / "build" / "lib" / "fairlead" / "core" / "gone.py"
    stale.parent.mkdir(parents=True)
    stale.write_text("raise AssertionError", "ascii")
    finished([python, "-c", BUILD.format(kind="wheel"), archives], cwd=unpacked)
    (wheel,) = archives.glob("fairlead-*.whl")
    return checkout, unpacked, wheel


@pytest.fixture(scope="module")
def installed(built, tmp_path_factory):
    """The folder of the programs of an environment that holds the wheel.

    The libraries are lent by our own environment: they are 300 MB, and README's commands install
    them anyway. The window's test sees to it that no undeclared one is used.
    """
    programs = environment(tmp_path_factory.mktemp("installed") / "env")
    finished([*pip_of(programs), "install", "-q", "--no-deps", built[2]])
    where = "import sysconfig; print(sysconfig.get_path('purelib'))"
    packages = Path(finished([programs / "python", "-c", where]).strip())
    (packages / "lent.pth").write_text(f"{LENT}\n", "utf-8")
    return programs


def pip_of(programs):
    """The command that installs into an environment."""
    return [python_with_pip(), "-m", "pip", "--python", programs / "python"]


def finished(command, **options):
    done = subprocess.run(
        [str(part) for part in command], capture_output=True, text=True, check=False, **options
    )
    assert done.returncode == 0, done.stdout + done.stderr
    return done.stdout


def run(command, folder):
    environment = {**os.environ, "QT_QPA_PLATFORM": "offscreen", "PYTHONPATH": ""}
    return finished(command, cwd=folder, env=environment)


def files_of(folder):
    return {path.relative_to(folder).as_posix() for path in folder.rglob("*") if path.is_file()}


def test_the_source_archive_holds_what_a_checkout_holds(built):
    checkout, unpacked, _ = built
    made = {name for name in files_of(checkout) if ".egg-info" in name}
    assert files_of(checkout) - made - files_of(unpacked) == set()


def test_the_wheel_holds_the_sources_and_their_data_and_nothing_else(built):
    checkout, _, wheel = built
    inside = {name for name in zipfile.ZipFile(wheel).namelist() if ".dist-info/" not in name}
    code = {
        f"fairlead/{path.relative_to(checkout).as_posix()}"
        for room in ("app", "core")
        for path in (checkout / room).rglob("*")
        if path.is_file()
    }
    data = {name for name in inside if name.startswith("fairlead/app/data/")}
    assert inside - data == code
    icons = {f"fairlead/app/data/icons/{icon.name}" for icon in (checkout / "icons").glob("*.svg")}
    assert icons <= data
    assert "fairlead/app/data/samples/kit-unit-5.ts" in data
    assert {name.rpartition(".")[2] for name in data - icons} == {
        "fairlead",
        "md",
        "py",
        "s1p",
        "s2p",
        "ts",
    }


def test_nothing_of_ours_has_a_name_of_its_own_beside_the_package(installed):
    told = finished(
        [installed / "python", "-I", "-c", "import fairlead.core as it; print(it.__path__[0])"]
    )
    package = Path(told.strip()).parent
    assert package.name == "fairlead"
    assert not (package.parent / "core").exists()
    assert not (package.parent / "app").exists()


def test_the_installed_command_gives_figures_and_a_picture(installed, tmp_path):
    version = run([installed / "fairlead", "--version"], tmp_path)
    assert "0.1.0" in version
    sample = ROOT / "samples" / "ground-plane-dry.s1p"
    figures = json.loads(run([installed / "fairlead", "figures", sample, "--as", "json"], tmp_path))
    assert figures["sweeps"][0]["best_match_hz"] == pytest.approx(50.83e6, abs=50e3)
    run([installed / "fairlead", "picture", sample, "-o", "out.png"], tmp_path)
    assert (tmp_path / "out.png").read_bytes().startswith(b"\x89PNG")


def test_the_installed_window_shows_its_samples_with_no_more_than_the_declared_libraries(
    installed, tmp_path
):
    settings = tmp_path / "settings.ini"
    told = run([installed / "python", "-c", WINDOW, settings, LENT], tmp_path).split()
    assert told[:2] == ["11", "11"]
    declared = tomllib.loads((ROOT / "pyproject.toml").read_text("utf-8"))["project"]
    names = {Requirement(text).name.partition("-")[0] for text in declared["dependencies"]}
    theirs = {"shiboken6", "colorama"}  # what PySide6 and pyqtgraph declare themselves
    assert set(told[2:]) - theirs == names
