"""How well figures are known: shown after the last change, and the analyzer stated once."""

from __future__ import annotations

import numpy as np
import pytest
from circuits import SeriesCircuit, complex_noise
from PySide6.QtCore import Qt
from window import cell, key_of, load, run_events, select, type_into

from fairlead.app.handlers.background import AFTER_MS
from fairlead.core.uncertainty.error_model import PRESETS, UNKNOWN, ErrorModel

pytest_plugins = ["window_fixtures"]
GRID_HZ = np.linspace(46e6, 58e6, 201)


def write_noisy(path, f0_hz, seed):
    gamma = SeriesCircuit(f0_hz, 60, 8).reflection(GRID_HZ) + complex_noise(201, 0.003, seed)
    rows = [f"{f:.0f} {g.real:.6f} {g.imag:.6f}" for f, g in zip(GRID_HZ, gamma, strict=True)]
    path.write_text("# Hz S RI R 50\n" + "\n".join(rows) + "\n", "ascii")
    return str(path)


@pytest.fixture
def noisy(window, qtbot, tmp_path):
    load(
        window,
        qtbot,
        [
            write_noisy(tmp_path / f"{n}.s1p", hz, i)
            for i, (n, hz) in enumerate([("dry", 51e6), ("again", 51.001e6)])
        ],
    )
    return window


def wait(window, qtbot):
    qtbot.waitUntil(lambda: not window.background.is_busy, timeout=20_000)
    run_events()


def panel_of(window):
    window.commands["accuracy"].trigger()
    run_events()
    return window.handlers.accuracy.panel


def test_intervals_come_after_the_last_change_and_go_with_the_next(noisy, qtbot):
    wait(noisy, qtbot)
    assert " ± " in cell(noisy, "dry", "best_match")
    assert cell(noisy, "again", "shift") == "unresolved"
    known = noisy.document.knowledge
    noisy.edits.set_limit(1.8)
    assert noisy.background.is_busy
    assert " ± " not in cell(noisy, "dry", "best_match")
    wait(noisy, qtbot)
    assert " ± " in cell(noisy, "dry", "best_match")
    assert noisy.document.knowledge is not known


def test_a_change_while_it_is_worked_out_makes_it_begin_anew(noisy, qtbot):
    """Nothing of an earlier band is ever shown."""
    for limit in (1.5, 1.6, 1.7):
        noisy.edits.set_limit(limit)
        qtbot.wait(AFTER_MS // 2)
        assert " ± " not in cell(noisy, "dry", "best_match")
    wait(noisy, qtbot)
    assert " ± " in cell(noisy, "dry", "best_match")


def test_without_sweeps_there_is_nothing_to_work_out(noisy, qtbot):
    wait(noisy, qtbot)
    select(noisy, "dry", "again")
    noisy.commands["remove"].trigger()
    assert not noisy.background.is_busy


def test_the_analyzer_is_stated_for_all_in_one_step(noisy, qtbot):
    wait(noisy, qtbot)
    before = cell(noisy, "dry", "best_match")
    panel = panel_of(noisy)
    assert panel.model() == UNKNOWN
    assert "noise only" in panel.result_text.text()
    panel.calibration_box.setCurrentIndex(2)
    assert panel.model() == PRESETS[2].model
    assert PRESETS[2].source in panel.result_text.text()
    qtbot.mouseClick(panel.ok_button, Qt.MouseButton.LeftButton)
    run_events()
    assert noisy.handlers.accuracy.panel is None
    (one,) = noisy.document.bench.instruments
    assert one.calibration == PRESETS[2].label
    # What was known without it is no longer all that is to be said.
    assert " ± " not in cell(noisy, "dry", "best_match")
    wait(noisy, qtbot)
    assert cell(noisy, "dry", "best_match") != before
    noisy.commands["undo"].trigger()
    assert noisy.document.bench.instruments == ()
    wait(noisy, qtbot)
    assert cell(noisy, "dry", "best_match") == before


def test_own_numbers_for_a_selected_sweep(noisy, qtbot):
    select(noisy, "again")
    panel = panel_of(noisy)
    panel.chosen_box.setChecked(True)
    type_into(qtbot, panel.fields["source_match_db"], "30")
    assert "Without the directivity" in panel.result_text.text()
    type_into(qtbot, panel.fields["directivity_db"], "36,5")
    assert "tracking" in panel.result_text.text()
    qtbot.mouseClick(panel.ok_button, Qt.MouseButton.LeftButton)
    run_events()
    bench = noisy.document.bench
    (one,) = bench.instruments
    assert (one.directivity_db, one.source_match_db, one.tracking_db) == (36.5, 30.0, None)
    keys = [entry.instrument_key for entry in bench.entries]
    assert keys == [None, one.key]
    panel = panel_of(noisy)
    assert panel.model() == ErrorModel(36.5, 30.0)
    panel.reject()


def test_what_cannot_be_is_refused_and_stays_to_be_mended(noisy, qtbot):
    panel = panel_of(noisy)
    type_into(qtbot, panel.fields["directivity_db"], "-3")
    qtbot.mouseClick(panel.ok_button, Qt.MouseButton.LeftButton)
    assert panel.isVisible()
    assert "-3 dB is not possible" in panel.result_text.text()
    panel.reject()
    run_events()
    assert noisy.document.bench.instruments == ()
    assert key_of(noisy, "dry") is not None
