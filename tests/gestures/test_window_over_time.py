"""Over time in the window: what is chosen, said, copied and saved as a picture."""

from __future__ import annotations

import numpy as np
import pytest
from circuits import SeriesCircuit
from PySide6.QtCore import Qt
from PySide6.QtGui import QColor, QGuiApplication
from window import choose, load, run_events, select

from fairlead.app.look.palette import DARK
from fairlead.app.panels.file_chooser import FileChooser
from fairlead.core.document.entry import Circumstances

pytest_plugins = ["window_fixtures"]

GRID_HZ = np.linspace(46e6, 56e6, 101)


@pytest.fixture
def loaded(window, qtbot, tmp_path):
    """Four visits half a year apart, 30 kHz lower each time, with a temperature."""
    paths = []
    for number, date in enumerate(("2024-05-01", "2024-11-01", "2025-05-01", "2025-11-01")):
        gamma = SeriesCircuit(51e6 - 30e3 * number + 800 * (-1) ** number, 42.0, 9.0)
        lines = [f"! Measured: {date}", "# HZ S RI R 50"]
        for f, g in zip(GRID_HZ.tolist(), gamma.reflection(GRID_HZ).tolist(), strict=True):
            lines.append(f"{f!r} {g.real!r} {g.imag!r}")
        path = tmp_path / f"visit-{number}.s1p"
        path.write_text("\n".join(lines) + "\n")
        paths.append(str(path))
    load(window, qtbot, paths)
    for entry, warm in zip(window.document.bench.entries, (9, 12, 8, 13), strict=True):
        noted = Circumstances(entry.circumstances.taken_at, weather=f"{warm} °C")
        window.edits.set_circumstances(entry.key, noted)
    run_events()
    return window


def opened(window):
    window.commands["over-time"].trigger()
    run_events()
    panel = window.handlers.over_time.panel
    assert panel.isVisible()
    return panel


def holds(image, colour):
    wanted = QColor(colour)
    pixels = (
        image.pixelColor(x, y) for x in range(image.width()) for y in range(0, image.height(), 2)
    )
    return any(
        abs(one.red() - wanted.red()) + abs(one.green() - wanted.green()) < 12
        and abs(one.blue() - wanted.blue()) < 12
        for one in pixels
    )


def test_a_trend_is_shown_in_words_and_as_a_plot(loaded, qtbot):
    before = loaded.document.undo_stack.count()
    panel = opened(loaded)
    assert panel.result_text.toPlainText().startswith("Best match falls: −6")
    image = panel.plot.grab().toImage()
    assert holds(image, loaded.view_state.theme.curves[0])
    assert panel.plot.accessibleDescription().startswith("Best match falls")
    choose(qtbot, panel.figure_box, "Q")
    assert "Q: no trend shows" in panel.result_text.toPlainText()
    panel.resize(900, 760)
    run_events()
    panel.plot.grab()
    assert panel.plot.image.width() == panel.plot.width()
    # It may be asked again, and nothing on the bench has changed.
    loaded.commands["over-time"].trigger()
    assert loaded.handlers.over_time.panel is panel
    qtbot.keyClick(panel, Qt.Key.Key_Escape)
    run_events()
    assert loaded.handlers.over_time.panel is None
    assert loaded.document.undo_stack.count() == before


def test_temperature_and_condition(loaded, qtbot):
    for key in (1, 2, 3):
        loaded.edits.set_condition(key, "dry")
    panel = opened(loaded)
    choose(qtbot, panel.beside_box, "Temperature (°C)")
    assert "With the temperature held" in panel.result_text.toPlainText()
    assert "Conditions differ (dry, not stated)" in panel.result_text.toPlainText()
    choose(qtbot, panel.condition_box, "dry")
    assert "from 3 sweeps" in panel.result_text.toPlainText()
    assert panel.beside_box.currentText() == "Temperature (°C)"
    choose(qtbot, panel.condition_box, "not stated")
    assert not panel.beside_box.isEnabled()
    assert "a trend needs this figure on at least two dates" in panel.result_text.toPlainText()


def test_the_selected_sweeps_are_looked_at_and_copied(loaded, qtbot):
    select(loaded, "visit-0", "visit-1", "visit-2")
    panel = opened(loaded)
    assert "from 3 sweeps" in panel.result_text.toPlainText()
    qtbot.mouseClick(panel.copy_button, Qt.MouseButton.LeftButton)
    assert "\nBest match (MHz)  " in QGuiApplication.clipboard().text()
    qtbot.mouseClick(panel.markdown_button, Qt.MouseButton.LeftButton)
    assert "| Trend | n | A year |" in QGuiApplication.clipboard().text()


def test_the_picture_is_saved(loaded, qtbot, tmp_path, monkeypatch):
    path = str(tmp_path / "trend.svg")
    loaded.view_state.set_theme(DARK)
    panel = opened(loaded)
    assert holds(panel.plot.grab().toImage(), DARK.curves[0])
    answers = ["", path, str(tmp_path / "trend.doc")]
    monkeypatch.setattr(FileChooser, "picture_to_write", lambda *_: answers.pop(0))
    for _ in range(3):
        qtbot.mouseClick(panel.save_button, Qt.MouseButton.LeftButton)
    text = (tmp_path / "trend.svg").read_text()
    assert "Best match (MHz) over time" in text
    assert "Best match falls" in text


def test_without_dates_it_says_how_to_note_them(loaded):
    for key in (1, 2, 3, 4):
        loaded.edits.set_circumstances(key, Circumstances())
    panel = opened(loaded)
    text = panel.result_text.toPlainText()
    assert text.startswith("No trend: no sweep states its date")
    assert "4 left out" in text
    assert not panel.save_button.isEnabled()
    panel.plot.grab()
