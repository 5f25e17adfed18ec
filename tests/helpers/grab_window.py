"""Grabs the real window with the samples into PNGs: `python tests/helpers/grab_window.py FOLDER`.

Writes light and dark at 1280 x 800 and 1920 x 1080, empty, with four and with eleven sweeps, and
the panels that open from the menus. Runs without a screen.
"""

from __future__ import annotations

import os
import sys
import tempfile
import time
from pathlib import Path
from typing import TYPE_CHECKING

os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")

from PySide6.QtCore import QPoint, QSettings
from PySide6.QtWidgets import QApplication

from fairlead.app.document.view_state import Hover
from fairlead.app.files.settings import Settings
from fairlead.app.look.palette import DARK, LIGHT
from fairlead.app.look.resources import sample_files
from fairlead.app.panels.message_bar import Message, Offer
from fairlead.app.panels.recovery_bar import RecoveryOffer
from fairlead.app.panels.unsaved_question import UnsavedQuestion
from fairlead.app.shell.window import MainWindow
from fairlead.core.band_tables import find_band

if TYPE_CHECKING:
    from PySide6.QtWidgets import QWidget

    from fairlead.app.look.palette import Theme

SIZES = ((1280, 800), (1920, 1080))
ROOF = ("dipole-reference", "ground-plane-dry", "ground-plane-wet", "ground-plane-iced")


def main(folder: Path) -> None:
    """Write all pictures into a folder."""
    folder.mkdir(parents=True, exist_ok=True)
    application = QApplication.instance() or QApplication([])
    application.setStyle("Fusion")
    everything = [str(path) for path in sample_files()]
    roof = [path for name in ROOF for path in everything if Path(path).stem == name]
    with tempfile.TemporaryDirectory() as scratch:
        for names, what in (([], "empty"), (roof, "four"), (everything, "eleven")):
            store = QSettings(f"{scratch}/{what}.ini", QSettings.Format.IniFormat)
            window = MainWindow(Settings(store))
            window.show()
            if names:
                _load(window, names)
            for theme in (LIGHT, DARK):
                window.view_state.set_theme(theme)
                for width, height in SIZES:
                    window.resize(width, height)
                    _settle()
                    _save(window, folder / f"window-{what}-{theme.name}-{width}.png")
            if what == "four":
                _grab_panels(window, folder)
            # Nobody is there to be asked.
            window.document.mark_saved(window.document.bench, f"{scratch}/{what}.fairlead")
            window.close()
            window.deleteLater()
            _settle()


def _load(window: MainWindow, names: list[str]) -> None:
    window.load(names)
    _wait_for(lambda: len(window.document.bench.entries) == len(names))
    window.edits.set_band(find_band("6 m"))
    keys = {entry.label: entry.key for entry in window.document.bench.entries}
    window.edits.set_condition(keys["ground-plane-wet"], "after heavy rain")
    if "kit-unit-4" in keys:
        window.edits.set_visible([keys["kit-unit-4"]], is_visible=False)
    window.view_state.set_selection(frozenset({keys["ground-plane-wet"]}))
    _settle()
    window.view_state.set_hover(Hover(keys["ground-plane-wet"], 100))


def _grab_panels(window: MainWindow, folder: Path) -> None:
    for theme in (LIGHT, DARK):
        window.view_state.set_theme(theme)
        window.resize(*SIZES[0])
        _grab_session(window, folder, theme)
        _grab_messages(window, folder, theme)
        _grab_picture_panel(window, folder, theme)
        _grab_inputs(window, folder, theme)
        _grab_help(window, folder, theme)


def _grab_session(window: MainWindow, folder: Path, theme: Theme) -> None:
    """The recovery bar, a save that failed, the question on closing, and the file menu."""
    of = "/home/someone/antennas/roof.fairlead"
    window.recovery_bar.show_offers(
        [
            RecoveryOffer("1", f"14 May 2026 18:30, 3 sweeps: dry, wet, iced, of {of}"),
            RecoveryOffer("2", "12 May 2026 09:05, 12 sweeps: unit 1, unit 2, unit 3 and 9 more"),
            RecoveryOffer("3", "11 May 2026 21:40, 1 sweep: dipole"),
            RecoveryOffer("4", "10 May 2026 21:40, 1 sweep: dipole"),
        ]
    )
    offers = (
        Offer("Save elsewhere ...", "Choose another name or folder", lambda: None),
        Offer("Replace it", "Overwrite what the other program saved", lambda: None),
    )
    line = f"{of} could not be saved: the drive is full; free some space, or save it elsewhere"
    window.messages.say_all([Message("error", line, offers)])
    _settle()
    _save(window, folder / f"session-{theme.name}.png")
    window.recovery_bar.show_offers([])
    window.messages.clear()
    question = UnsavedQuestion.make(window, "roof.fairlead", "closing")
    question.show()
    _settle()
    _save(question, folder / f"question-{theme.name}.png")
    question.hide()
    question.deleteLater()
    window.settings.recent = [of, "/home/someone/antennas/kit units.fairlead"]
    menu = window.menuBar().actions()[0].menu()
    menu.popup(window.mapToGlobal(QPoint(0, 0)))
    _settle()
    _save(menu, folder / f"menu-file-{theme.name}.png")
    menu.hide()
    recent = window.recent_menu.parent()
    recent.popup(window.mapToGlobal(QPoint(0, 0)))
    _settle()
    _save(recent, folder / f"menu-recent-{theme.name}.png")
    recent.hide()


def _grab_messages(window: MainWindow, folder: Path, theme: Theme) -> None:
    window.messages.say("warning", ['"unit 2" has the same numbers as "unit 1"; remove one'])
    window.messages.say(
        "error", [f"unit {i}.s1p:12: 3 numbers in this row; give 1 frequency" for i in range(3)]
    )
    _settle()
    _save(window, folder / f"messages-{theme.name}.png")
    window.messages.more_button.click()
    _settle()
    _save(window, folder / f"messages-open-{theme.name}.png")
    window.messages.clear()


def _grab_picture_panel(window: MainWindow, folder: Path, theme: Theme) -> None:
    window.commands["export-picture"].trigger()
    _settle()
    panel = window.handlers.pictures.panel
    if panel is not None:
        _save(panel, folder / f"picture-panel-{theme.name}.png")
        panel.reject()


def _grab_inputs(window: MainWindow, folder: Path, theme: Theme) -> None:
    """Columns of a table that does not tell them, readings being typed, a watched folder."""
    with tempfile.TemporaryDirectory() as scratch:
        table = Path(scratch) / "meter.csv"
        rows = ((50, 2.4, 71), (50.5, 1.6, 64), (51, 1.2, 52), (51.5, 1.7, 60))
        lines = [f"{mhz},{swr},{extra}\n" for mhz, swr, extra in rows]
        table.write_text("position,first,second\n" + "".join(lines), encoding="utf-8")
        window.load([str(table)])
        _wait_for(lambda: window.messages.offer_buttons)
        window.messages.offer_buttons[0].click()
        _settle()
        columns = window.handlers.imports.panel
        if columns is not None:
            for column, text in enumerate(("Frequency", "SWR")):
                columns.role_boxes[column].setCurrentText(text)
            columns.frequency_unit.setCurrentText("MHz")
            _settle()
            _save(columns, folder / f"choose-columns-{theme.name}.png")
            columns.reject()
        window.messages.clear()
    window.commands["type-readings"].trigger()
    _settle()
    typed = window.handlers.typed.panel
    if typed is not None:
        typed.grid.put(0, 0, [("50", "1.6"), ("50,5", "1,4"), ("51", "0.8"), ("52", "1.9")])
        _settle()
        _save(typed, folder / f"type-readings-{theme.name}.png")
        typed.reject()
    window.watch_line.begin("/home/someone/antennas/today")
    _settle()
    _save(window, folder / f"watching-{theme.name}.png")
    window.watch_line.end()


def _grab_help(window: MainWindow, folder: Path, theme: Theme) -> None:
    for name in ("help-keys", "help-figures", "help-cautions", "about"):
        window.commands[name].trigger()
        _settle()
        shown = window.handlers.help.shown
        if shown is not None:
            _save(shown, folder / f"{name}-{theme.name}.png")
            shown.close()


def _settle() -> None:
    """Let timers of plots and panels run out."""
    end_s = time.monotonic() + 0.35
    while time.monotonic() < end_s:
        QApplication.processEvents()
        time.sleep(0.005)


def _wait_for(is_done: object, seconds: float = 20.0) -> None:
    end_s = time.monotonic() + seconds
    while not is_done():  # type: ignore[operator]
        if time.monotonic() > end_s:
            raise TimeoutError("the samples did not load")
        QApplication.processEvents()
        time.sleep(0.005)


def _save(widget: QWidget, path: Path) -> None:
    if not widget.grab().save(str(path)):
        raise OSError(path)


if __name__ == "__main__":
    main(Path(sys.argv[1]))
