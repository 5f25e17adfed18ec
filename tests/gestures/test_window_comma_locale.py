"""Numbers typed where the comma is the decimal sign mean the same with a point and a comma."""

from __future__ import annotations

import pytest
from PySide6.QtCore import QLocale, Qt
from PySide6.QtWidgets import QApplication
from window import run_events, select, type_into

pytest_plugins = ["window_fixtures"]


@pytest.fixture(autouse=True)
def _comma_locale():
    before = QLocale()
    QLocale.setDefault(QLocale("de_DE"))
    yield
    QLocale.setDefault(before)


def type_and_enter(qtbot, field, text):
    type_into(qtbot, field, text)
    qtbot.keyClick(field, Qt.Key.Key_Return)
    run_events()


@pytest.mark.parametrize("sign", [".", ","])
def test_band_limit_and_impedance(loaded, qtbot, sign):
    panel = loaded.band_panel
    type_and_enter(qtbot, panel.low_field, f"50{sign}25")
    type_and_enter(qtbot, panel.high_field, f"51{sign}75")
    type_and_enter(qtbot, panel.limit_field, f"1{sign}7")
    type_and_enter(qtbot, panel.z0_field, f"62{sign}5")
    bench = loaded.document.bench
    assert (bench.band.low_hz, bench.band.high_hz) == (50.25e6, 51.75e6)
    assert (bench.limit_swr, bench.z0_ohm) == (1.7, 62.5)
    assert panel.limit_field.text() == "1.7"


@pytest.mark.parametrize("sign", [".", ","])
def test_length_of_a_feed_line(loaded, qtbot, sign):
    select(loaded, loaded.document.bench.entries[0].label)
    loaded.commands["feed-line"].trigger()
    run_events()
    panel = loaded.handlers.feed_line.panel
    type_into(qtbot, panel.length_field, f"12{sign}5 m")
    type_into(qtbot, panel.length_tolerance, f"1{sign}5")
    run_events()
    assert panel.length_tolerance.value() == 1.5
    _, length_m = panel._line()
    assert length_m == 12.5
    panel.reject()


@pytest.mark.parametrize("sign", [".", ","])
def test_accuracy_of_the_analyzer(loaded, qtbot, sign):
    loaded.commands["accuracy"].trigger()
    run_events()
    panel = loaded.handlers.accuracy.panel
    for name, text in zip(panel.fields, (f"40{sign}5", "34", f"0{sign}1"), strict=True):
        type_into(qtbot, panel.fields[name], text)
    panel.accept()
    run_events()
    (analyzer,) = loaded.document.bench.instruments
    assert (analyzer.directivity_db, analyzer.tracking_db) == (40.5, 0.1)


@pytest.mark.parametrize("sign", [".", ","])
def test_readings(window, qtbot, sign):
    window.commands["type-readings"].trigger()
    panel = window.handlers.typed.panel
    qtbot.waitUntil(panel.isVisible)
    run_events()
    for text in (f"50{sign}5", f"1{sign}7", f"51{sign}5", f"1{sign}2"):
        for letter in text:
            target = QApplication.focusWidget() or panel.grid
            qtbot.keyClick(target if panel.isAncestorOf(target) else panel.grid, letter)
        qtbot.keyClick(QApplication.focusWidget() or panel.grid, Qt.Key.Key_Return)
        run_events()
    qtbot.waitUntil(panel.accept_button.isEnabled)
    panel.accept_button.click()
    run_events()
    (entry,) = window.document.bench.entries
    assert entry.sweep.frequency_hz.tolist() == [50.5e6, 51.5e6]
    # |G| = (SWR - 1) / (SWR + 1), a definition.
    assert entry.sweep.magnitude.tolist() == pytest.approx([0.7 / 2.7, 0.2 / 2.2])
