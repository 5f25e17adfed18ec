"""Before, during, after in the window: chosen by itself, by hand, in words and copied."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
from circuits import SeriesCircuit, complex_noise
from PySide6.QtCore import Qt
from PySide6.QtGui import QGuiApplication
from window import load, run_events, select, steps, type_into, write_sweep

from fairlead.app.panels.file_chooser import FileChooser

pytest_plugins = ["window_fixtures"]

GRID_HZ = np.linspace(46e6, 56e6, 201)
SWEEPS = (
    ("dry", 51e6, "10:00"),
    ("soaked", 50.6e6, "10:30"),
    ("dry-again", 50.96e6, "12:00"),
)


@pytest.fixture
def panel(window, qtbot, tmp_path):
    """The panel over three sweeps with times."""
    paths = []
    for seed, (name, f0_hz, time) in enumerate(SWEEPS):
        gamma = SeriesCircuit(f0_hz, 42.0, 9.0).reflection(GRID_HZ)
        gamma = gamma + complex_noise(GRID_HZ.size, 0.002, seed)
        lines = [f"! Measured: 2026-05-14 {time}", "# HZ S RI R 50"]
        for f, g in zip(GRID_HZ.tolist(), gamma.tolist(), strict=True):
            lines.append(f"{f!r} {g.real!r} {g.imag!r}")
        path = tmp_path / f"{name}.s1p"
        path.write_text("\n".join(lines) + "\n")
        paths.append(str(path))
    load(window, qtbot, paths)
    window.commands["repeats"].trigger()
    run_events()
    panel = window.handlers.repeats.panel
    assert panel.isVisible()
    return panel


def chosen(panel):
    return [box.currentText() for box in panel.boxes]


def press(qtbot, box, key):
    """A key in a list, as one who has tabbed there."""
    box.setFocus()
    qtbot.keyClick(box, key)
    run_events()


def test_it_opens_with_roles_times_and_words(window, panel):
    assert chosen(panel) == ["dry", "soaked", "dry-again"]
    assert panel.minutes_field.placeholderText() == "by the dates of the sweeps: 0, 30, 120"
    text = panel.result_text.toPlainText()
    assert text.startswith(
        "soaked, compared with a baseline between dry and dry-again at that time"
    )
    assert "Drift from dry to dry-again in 120 minutes" in text
    assert not panel.caution.isVisible()
    assert panel.labels[0].text() == "&Before (dry)"
    # Nothing on the bench changes, and the panel opens once.
    assert steps(window) == 1
    window.commands["repeats"].trigger()
    assert window.handlers.repeats.panel is panel


def test_copied_as_text_and_as_markdown(qtbot, panel):
    qtbot.mouseClick(panel.copy_button, Qt.MouseButton.LeftButton)
    shown = panel.result_text.toPlainText().replace("\n\n", "\n")
    assert QGuiApplication.clipboard().text() == shown + "\n"
    qtbot.mouseClick(panel.markdown_button, Qt.MouseButton.LeftButton)
    assert (
        QGuiApplication.clipboard().text().startswith("- soaked, compared with a baseline between")
    )


def test_the_cable_has_its_caution_and_its_verdict(qtbot, panel):
    press(qtbot, panel.kind_box, Qt.Key.Key_Down)
    assert panel.caution.isVisible()
    assert "never while transmitting" in panel.caution.text()
    assert panel.result_text.toPlainText().startswith("The cable is part of the antenna")
    assert panel.labels[1].text() == "&During (held)"
    press(qtbot, panel.kind_box, Qt.Key.Key_Down)
    assert "remove its line" in panel.result_text.toPlainText()
    qtbot.mouseClick(panel.copy_button, Qt.MouseButton.LeftButton)
    assert "Nothing can be compared" in QGuiApplication.clipboard().text()


def test_other_choices_and_typed_minutes(qtbot, panel):
    type_into(qtbot, panel.minutes_field, "0, 60, 120")
    run_events()
    before = panel.result_text.toPlainText()
    assert "at that time" in before
    type_into(qtbot, panel.minutes_field, "0, soon, 120")
    run_events()
    assert "not a number" in panel.result_text.toPlainText()
    assert not panel.copy_button.isEnabled()
    panel.minutes_field.clear()
    press(qtbot, panel.boxes[1], Qt.Key.Key_Up)
    assert "choose a different sweep" in panel.result_text.toPlainText()
    press(qtbot, panel.boxes[1], Qt.Key.Key_Down)
    press(qtbot, panel.boxes[2], Qt.Key.Key_Home)
    assert chosen(panel)[2] == "– none –"
    assert "Without a sweep afterwards" in panel.result_text.toPlainText()
    assert not panel.minutes_field.isEnabled()


def test_escape_closes_it_and_it_opens_again_for_the_selected_sweep(qtbot, window, panel):
    qtbot.keyClick(panel, Qt.Key.Key_Escape)
    run_events()
    assert window.handlers.repeats.panel is None
    select(window, "soaked")
    window.commands["repeats"].trigger()
    run_events()
    assert chosen(window.handlers.repeats.panel) == ["dry", "soaked", "dry-again"]


def test_one_sweep_is_not_enough(window, qtbot, tmp_path):
    load(window, qtbot, [write_sweep(tmp_path / "dry.s1p")])
    window.commands["repeats"].trigger()
    run_events()
    assert window.handlers.repeats.panel is None
    assert "At least two sweeps are needed" in window.messages.lines[-1]


def test_the_words_stand_in_a_picture(window, panel, qtbot, tmp_path, monkeypatch):
    path = tmp_path / "three.svg"
    answers = ["", str(path), str(tmp_path / "three.doc")]
    monkeypatch.setattr(FileChooser, "picture_to_write", lambda *_: answers.pop(0))
    for _ in range(3):
        qtbot.mouseClick(panel.save_button, Qt.MouseButton.LeftButton)
    assert "Drift from dry to dry-again in 120 minutes" in path.read_text()
    assert window.settings.folder == str(tmp_path)


def test_the_drying_curve_is_drawn_where_there_is_one(window, qtbot):
    samples = Path(__file__).parents[2] / "samples"
    names = ["ground-plane-dry.s1p", "ground-plane-wet.s1p", "ground-plane-dry-again.s1p"]
    load(window, qtbot, [*(str(samples / name) for name in names), str(samples / "drying")])
    window.commands["repeats"].trigger()
    run_events()
    panel = window.handlers.repeats.panel
    for box, name in zip(panel.boxes, names, strict=True):
        box.setCurrentIndex(box.findText(name.removesuffix(".s1p")))
    run_events()
    assert "Drying curve of 8 sweeps" in panel.result_text.toPlainText()
    assert panel.plot.isVisible()
    panel.plot.grab()
    assert panel.plot.image.width() == panel.plot.width()
    assert panel.plot.accessibleDescription().startswith("8 sweeps, half time ")
    press(qtbot, panel.kind_box, Qt.Key.Key_Down)
    assert not panel.plot.isVisible()
