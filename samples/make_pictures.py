"""Make README's pictures again, from the samples: ``python samples/make_pictures.py``.

The window in light and dark, the advice, the steps of a rain test, a picture that is traced, the
exported picture, the kit's units, and a trend over years. Runs without a screen.
"""

from __future__ import annotations

import os
import sys
import tempfile
import time
from pathlib import Path

os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")

from PySide6.QtCore import QSettings
from PySide6.QtWidgets import QApplication

from fairlead.app.__main__ import main as fairlead
from fairlead.app.files.settings import Settings
from fairlead.app.look.palette import DARK, LIGHT
from fairlead.app.shell.window import MainWindow
from fairlead.core.band_tables import find_band
from fairlead.core.bands import Band

HERE = Path(__file__).parent
FOLDER = HERE / "pictures"
ROOF = ("dipole-reference", "ground-plane-dry", "ground-plane-wet", "ground-plane-iced")
CONDITIONS = {"ground-plane-wet": "soaked", "ground-plane-iced": "iced", "ground-plane-dry": "dry"}
SIZE = (1280, 800)
WALK_SIZE = (1024, 640)
PATIENCE_S = 60
# Crossings of the grid in the exported picture below, in pixels, with MHz and SWR.
CROSSINGS = (
    (116.5, 55.0, 47e6, 3.0),
    (180.0, 104.5, 48e6, 2.5),
    (434.0, 171.0, 52e6, 2.0),
    (561.0, 223.0, 54e6, 1.7),
    (116.5, 265.0, 47e6, 1.5),
    (561.0, 313.0, 54e6, 1.3),
    (434.0, 341.0, 52e6, 1.2),
    (243.5, 371.0, 49e6, 1.1),
    (307.0, 405.0, 50e6, 1.0),
)
FRAME = (62.0, 54.0, 596.0, 406.0)
ON_THE_CURVE = (225.5, 213.5)


def make_window_pictures() -> None:
    """Grab the window with the roof antennas, light and dark."""
    application = QApplication.instance() or QApplication([])
    application.setStyle("Fusion")
    with tempfile.TemporaryDirectory() as scratch:
        settings = Settings(QSettings(f"{scratch}/settings.ini", QSettings.Format.IniFormat))
        window = MainWindow(settings)
        window.resize(*SIZE)
        window.show()
        window.load([str(HERE / f"{name}.s1p") for name in ROOF])
        until = time.monotonic() + PATIENCE_S
        while len(window.document.bench.entries) < len(ROOF) and time.monotonic() < until:
            application.processEvents()
        window.edits.set_band(find_band("6m"))
        for entry in window.document.bench.entries:
            window.edits.set_condition(entry.key, CONDITIONS.get(entry.label, ""))
        # The sentences on what changed take a moment.
        learned: list[object] = []
        window.document.changes_learned.connect(learned.append)
        while not learned and time.monotonic() < until:
            application.processEvents()
        for theme in (LIGHT, DARK):
            window.view_state.set_theme(theme)
            settle = time.monotonic() + 1
            while time.monotonic() < settle:
                application.processEvents()
            window.grab().save(str(FOLDER / f"window-{theme.name}.png"))
        # Nobody is there to answer whether to save.
        window.document.mark_saved(window.document.bench, f"{scratch}/pictures.fairlead")
        window.close()


def make_advice_picture() -> None:
    """Grab the advice on the ground-plane dry, wet and iced."""
    application = QApplication.instance() or QApplication([])
    with tempfile.TemporaryDirectory() as scratch:
        settings = Settings(QSettings(f"{scratch}/settings.ini", QSettings.Format.IniFormat))
        window = MainWindow(settings)
        window.show()
        window.load([str(HERE / f"{name}.s1p") for name in ROOF[1:]])
        until = time.monotonic() + PATIENCE_S
        while len(window.document.bench.entries) < len(ROOF) - 1 and time.monotonic() < until:
            application.processEvents()
        window.edits.set_band(Band(50e6, 52e6))
        advice = window.handlers.advice
        advice.show()
        while advice.is_busy and time.monotonic() < until:
            application.processEvents()
        if advice.panel is None:
            sys.exit("the advice did not open")
        advice.panel.grab().save(str(FOLDER / "advice.png"))
        window.document.mark_saved(window.document.bench, f"{scratch}/pictures.fairlead")
        window.close()


def make_tracing_picture() -> None:
    """Grab the window that traces a curve: that of the dry ground-plane in an exported picture."""
    application = QApplication.instance() or QApplication([])
    with tempfile.TemporaryDirectory() as scratch:
        exported = f"{scratch}/exported picture.png"
        files = [str(HERE / f"{name}.s1p") for name in (ROOF[1], ROOF[3])]
        request = ["--band", "6m", "--dpi", "150", "--title", "Exported picture"]
        if fairlead(["picture", *files, *request, "-o", exported]):
            sys.exit("the picture to trace was not made")
        settings = Settings(QSettings(f"{scratch}/settings.ini", QSettings.Format.IniFormat))
        window = MainWindow(settings)
        window.show()
        window.load([exported])
        tracing, until = window.handlers.tracing, time.monotonic() + PATIENCE_S
        while tracing.is_busy and time.monotonic() < until:
            application.processEvents()
        panel = tracing.sessions[0].panel
        for index, (x, y, frequency_hz, value) in enumerate(CROSSINGS):
            panel.edits.click(x, y, is_free=False)
            panel.edits.type_known(index, frequency_hz=frequency_hz, value=value)
        panel.edits.set_scale("free")
        panel.choose_tool("area")
        panel.edits.add_rectangle(FRAME)
        panel.choose_tool("curve")
        panel.edits.click(*ON_THE_CURVE, is_free=True)
        panel.choose_tool("curve")
        panel.asked.emit()
        while tracing.is_busy and time.monotonic() < until:
            application.processEvents()
        panel.grab().save(str(FOLDER / "tracing.png"))
        # Nobody is there to answer whether to discard the marks.
        panel.note_accepted()
        window.close()


def make_walk_pictures() -> None:
    """Grab the steps of README's rain test: dry, soaked, what came and went."""
    application = QApplication.instance() or QApplication([])
    application.setStyle("Fusion")
    with tempfile.TemporaryDirectory() as scratch:
        settings = Settings(QSettings(f"{scratch}/settings.ini", QSettings.Format.IniFormat))
        window = MainWindow(settings)
        window.resize(*WALK_SIZE)
        window.show()

        def settle(seconds: float) -> None:
            until = time.monotonic() + seconds
            while time.monotonic() < until:
                application.processEvents()

        def add(name: str, condition: str) -> None:
            count = len(window.document.bench.entries)
            window.load([str(HERE / f"{name}.s1p")])
            until = time.monotonic() + PATIENCE_S
            while len(window.document.bench.entries) == count and time.monotonic() < until:
                application.processEvents()
            key = window.document.bench.entries[-1].key
            window.edits.set_condition(key, condition)
            window.view_state.set_selection(frozenset({key}))

        add("ground-plane-dry", "dry")
        window.edits.set_band(find_band("6m"))
        settle(3)
        window.grab().save(str(FOLDER / "walk-dry.png"))
        add("ground-plane-wet", "soaked")
        settle(8)
        window.grab().save(str(FOLDER / "walk-soaked.png"))
        add("ground-plane-dry-again", "dry again")
        window.commands["repeats"].trigger()
        settle(6)
        panel = window.handlers.repeats.panel
        if panel is None:
            sys.exit("what came and went did not open")
        panel.grab().save(str(FOLDER / "walk-repeats.png"))
        panel.close()
        window.document.mark_saved(window.document.bench, f"{scratch}/pictures.fairlead")
        window.close()


def make_printed_picture() -> None:
    """Run the command that README shows, and its grey sister."""
    roof = sorted(str(path) for path in HERE.glob("ground-plane-*.s1p"))
    files = [str(HERE / "dipole-reference.s1p"), *roof]
    common = ["--band", "6m", "--title", "Roof ground-plane against the reference dipole"]
    for name, extra in (("comparison.png", []), ("comparison-grey.png", ["--grey"])):
        out = ["-o", str(FOLDER / name), "--dpi", "200"]
        if fairlead(["picture", *files, *common, *out, *extra]) != 0:
            sys.exit(f"{name} was not made")


def make_kit_picture() -> None:
    """The kit's units with their range and mean, as README's command makes it."""
    units = sorted(str(path) for path in HERE.glob("kit-unit-*"))
    out = ["-o", str(FOLDER / "kit.png"), "--dpi", "200", "--height-mm", "105"]
    title = ["--title", "Five units of one kit: how will the next one differ?"]
    if fairlead(["picture", *units, "--band", "6m", "--group", "Kit=kit-unit-*", *title, *out]):
        sys.exit("kit.png was not made")


def make_years_picture() -> None:
    """The roof antenna over five years."""
    out = ["-o", str(FOLDER / "years.png"), "--title", "The roof ground-plane over five years"]
    if fairlead(["trend", str(HERE / "years"), "--band", "6m", *out]):
        sys.exit("years.png was not made")


if __name__ == "__main__":
    FOLDER.mkdir(exist_ok=True)
    make_window_pictures()
    make_advice_picture()
    make_walk_pictures()
    make_tracing_picture()
    make_printed_picture()
    make_kit_picture()
    make_years_picture()
    print(f"made in {FOLDER}")
