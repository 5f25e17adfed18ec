"""Band, limit and reference impedance: chosen, typed, stepped by keys, dragged; one step each."""

from __future__ import annotations

import numpy as np
import pytest
from circuits import SeriesCircuit
from mouse import Mouse, release_key
from PySide6.QtCore import QPointF, Qt
from PySide6.QtWidgets import QLineEdit
from window import (
    ALT,
    CTRL,
    SHIFT,
    cell,
    choose_opened,
    load,
    run_events,
    steps,
    type_into,
    write_sweep,
)

from fairlead.app.document.key_steps import edge_step_hz
from fairlead.core.band_tables import NATIONAL_RULES, find_band
from fairlead.core.bands import Band

pytest_plugins = ["window_fixtures"]

DRY = SeriesCircuit(51e6, 60.0, 8.0)
"""The circuit of "dry.s1p", in closed form."""


def swr_text(frequency_hz):
    return f"{DRY.swr(frequency_hz):.2f}"


def enter(qtbot, line, text):
    type_into(qtbot, line, text)
    qtbot.keyClick(line, Qt.Key.Key_Return)
    run_events()


# Typed


@pytest.mark.parametrize("text", ["50.1", "50,1 MHz", "50100 kHz", " 50.1M ", "50100000"])
def test_a_typed_edge_moves_the_edge_and_the_table_follows(loaded, qtbot, text):
    panel = loaded.band_panel
    enter(qtbot, panel.low_field, text)
    band = loaded.document.bench.band
    assert (band.low_hz, band.high_hz) == (50.1e6, 58e6)
    assert cell(loaded, "dry", "low_edge") == swr_text(50.1e6)
    assert panel.low_field.text() == "50.1 MHz"
    assert panel.band_box.currentText() == "Own edges"
    assert steps(loaded) == 2
    assert loaded.document.undo_stack.undoText() == "Move band edge"
    loaded.edits.undo()
    assert panel.low_field.text() == "46 MHz"
    assert panel.band_box.currentText() == "Whole span"


def test_both_edges_can_be_typed_at_once(loaded, qtbot):
    enter(qtbot, loaded.band_panel.high_field, "50:52 MHz")
    assert loaded.document.bench.band == Band(50e6, 52e6)
    assert cell(loaded, "dry", "high_edge") == swr_text(52e6)
    assert steps(loaded) == 2


def test_a_new_band_is_taken_as_a_pair_whichever_edge_is_typed_first(loaded, qtbot):
    panel = loaded.band_panel
    before = steps(loaded)
    enter(qtbot, panel.low_field, "144")
    assert loaded.document.bench.band == Band(46e6, 58e6)
    assert panel.low_field.text() == "144"
    assert loaded.messages.lines[0] == "Now the upper edge of the new band, above 144 MHz"
    assert panel.high_field.hasFocus()
    # An upper edge below it is refused, and the first one still waits.
    enter(qtbot, panel.high_field, "143")
    assert "143 MHz is not above 144 MHz" in loaded.messages.lines[0]
    enter(qtbot, panel.high_field, "146")
    assert loaded.document.bench.band == Band(144e6, 146e6)
    assert panel.low_field.text() == "144 MHz"
    assert steps(loaded) == before + 1
    enter(qtbot, panel.high_field, "52")
    assert panel.low_field.hasFocus()
    enter(qtbot, panel.low_field, "50")
    assert loaded.document.bench.band == Band(50e6, 52e6)
    loaded.edits.undo()
    loaded.edits.undo()
    assert panel.low_field.text() == "46 MHz"


def test_escape_takes_the_first_edge_of_a_pair_back(loaded, qtbot):
    panel = loaded.band_panel
    enter(qtbot, panel.low_field, "144")
    panel.low_field.setFocus()
    qtbot.keyClick(panel.low_field, Qt.Key.Key_Escape)
    assert panel.low_field.text() == "46 MHz"
    enter(qtbot, panel.high_field, "57")
    assert loaded.document.bench.band == Band(46e6, 57e6)


@pytest.mark.parametrize(
    ("text", "part"),
    [
        ("fifty", "is not a frequency"),
        ("50 furlongs", "is not a unit"),
        ("0", "positive"),
        ("52:50", "not below"),
    ],
)
def test_what_cannot_be_an_edge_stays_to_be_mended(loaded, qtbot, text, part):
    before, field = loaded.document.bench, loaded.band_panel.low_field
    enter(qtbot, field, text)
    assert loaded.document.bench is before
    assert field.text() == text
    assert field.property("refused") == "true"
    (line,) = loaded.messages.lines
    assert part in line
    # Enter again and leaving the field say nothing twice; Escape puts the value back.
    qtbot.keyClick(field, Qt.Key.Key_Return)
    loaded.sweep_list.setFocus()
    run_events()
    assert len(loaded.messages.lines) == 1
    field.setFocus()
    qtbot.keyClick(field, Qt.Key.Key_Escape)
    assert field.text() == "46 MHz"
    assert field.property("refused") == "false"


def test_leaving_a_field_takes_what_was_typed(loaded, qtbot):
    type_into(qtbot, loaded.band_panel.limit_field, "1,5")
    loaded.sweep_list.setFocus()
    run_events()
    assert loaded.document.bench.limit_swr == 1.5
    assert loaded.document.undo_stack.undoText() == "Change SWR limit"


def test_the_same_value_written_differently_is_no_step(loaded, qtbot):
    enter(qtbot, loaded.band_panel.low_field, "46000 kHz")
    assert steps(loaded) == 1
    assert loaded.band_panel.low_field.text() == "46 MHz"


@pytest.mark.parametrize("text", ["1.5", "1.5:1", "1,5"])
def test_a_typed_limit_changes_width_and_heading(loaded, qtbot, text):
    before = cell(loaded, "dry", "width")
    enter(qtbot, loaded.band_panel.limit_field, text)
    low_hz, high_hz = DRY.edges_hz(1.5)
    assert cell(loaded, "dry", "width") == f"{(high_hz - low_hz) / 1e3:.0f}" != before
    headings = [
        loaded.figures_model.headerData(i, Qt.Orientation.Horizontal)
        for i in range(loaded.figures_model.columnCount())
    ]
    assert "SWR below 1.5\nMHz" in headings
    assert "SWR limit 1.5" in loaded.figures_title.full_text


@pytest.mark.parametrize("text", ["1", "21", "0.5", "x", "nan"])
def test_a_limit_out_of_range_is_refused(loaded, qtbot, text):
    enter(qtbot, loaded.band_panel.limit_field, text)
    assert loaded.document.bench.limit_swr == 2.0
    assert len(loaded.messages.lines) == 1


@pytest.mark.parametrize("text", ["75", "75 Ω", "75 ohm", "75,0"])
def test_a_typed_reference_impedance_restates_every_swr(loaded, qtbot, text):
    enter(qtbot, loaded.band_panel.z0_field, text)
    assert loaded.document.bench.z0_ohm == 75
    # A series circuit at its resonance is its resistance: 75 / 60.
    assert cell(loaded, "dry", "best_swr") == f"{75 / 60:.2f}"
    assert loaded.band_panel.z0_field.text() == "75 Ω"
    assert steps(loaded) == 2


@pytest.mark.parametrize("text", ["0", "-50", "inf", ""])
def test_no_reference_impedance(loaded, qtbot, text):
    enter(qtbot, loaded.band_panel.z0_field, text or " ")
    assert loaded.document.bench.z0_ohm == 50
    assert len(loaded.messages.lines) == 1


# Chosen


def test_a_band_chosen_from_the_table(loaded, qtbot):
    choose_opened(qtbot, loaded.band_panel.band_box, "6 m")
    assert loaded.document.bench.band == find_band("6 m", 1)
    assert loaded.band_panel.band_box.currentText() == "6 m"
    assert loaded.band_panel.high_field.text() == "52 MHz"
    assert cell(loaded, "dry", "high_edge") == swr_text(52e6)
    assert loaded.figures_title.full_text.startswith("6 m, Region 1: 50 – 52 MHz")
    assert steps(loaded) == 2


def test_another_region_takes_its_edges_of_the_same_band(loaded, qtbot):
    panel = loaded.band_panel
    choose_opened(qtbot, panel.band_box, "6 m")
    choose_opened(qtbot, panel.region_box, "Region 2")
    assert loaded.document.bench.band == find_band("6 m", 2)
    assert cell(loaded, "dry", "high_edge") == swr_text(54e6)
    assert loaded.settings.region == 2
    assert panel.band_box.findText("33 cm") > 0
    loaded.edits.undo()
    assert panel.region_box.currentText() == "Region 1"
    assert panel.band_box.currentText() == "6 m"
    assert panel.band_box.findText("33 cm") == -1


def test_another_region_without_a_band_leaves_the_edges(loaded, qtbot):
    before = loaded.document.bench
    choose_opened(qtbot, loaded.band_panel.region_box, "Region 3")
    assert loaded.document.bench is before
    assert loaded.band_panel.band_box.currentText() == "Whole span"


def test_own_edges_in_the_list_lead_to_the_field(loaded, qtbot):
    choose_opened(qtbot, loaded.band_panel.band_box, "Own edges")
    assert loaded.focusWidget() is loaded.band_panel.low_field
    assert loaded.band_panel.band_box.currentText() == "Whole span"
    assert steps(loaded) == 1


def test_the_rules_of_the_country_come_first_and_can_be_read(loaded):
    panel = loaded.band_panel
    texts = [label.text() for label in panel.findChildren(type(loaded.figures_title).__mro__[1])]
    assert any(NATIONAL_RULES in text for text in texts)
    assert "the rules of your country" in panel.band_box.toolTip()


def test_a_band_from_the_menu_and_back_to_the_whole_span(loaded, qtbot):
    loaded.commands["band-2-6 m"].trigger()
    assert loaded.document.bench.band == find_band("6 m", 2)
    qtbot.keyClick(loaded, Qt.Key.Key_B, CTRL | SHIFT)
    assert not loaded.document.bench.has_own_band
    assert loaded.band_panel.band_box.currentText() == "Whole span"
    assert steps(loaded) == 3


def test_ctrl_l_leads_to_the_lower_edge(loaded, qtbot):
    qtbot.keyClick(loaded, Qt.Key.Key_L, CTRL)
    field = loaded.band_panel.low_field
    assert field.hasFocus()
    assert field.selectedText() == "46 MHz"


# Keys


def test_a_held_key_moves_the_edge_and_leaves_one_step(loaded, qtbot):
    loaded.edits.set_band(Band(50.003e6, 52e6))
    for _ in range(5):
        qtbot.keyPress(loaded, Qt.Key.Key_Right, ALT)
    assert loaded.document.bench.band.low_hz == 50.05e6
    assert cell(loaded, "dry", "low_edge") == swr_text(50.05e6)
    assert steps(loaded) == 2
    assert loaded.commands["undo"].isEnabled()
    qtbot.keyRelease(loaded, Qt.Key.Key_Right, ALT)
    assert steps(loaded) == 3
    assert loaded.document.undo_stack.undoText() == "Move band edge"
    qtbot.keyClick(loaded, Qt.Key.Key_Z, CTRL)
    assert loaded.document.bench.band == Band(50.003e6, 52e6)


def test_a_repeated_release_does_not_end_the_step(loaded):
    loaded.edits.set_band(Band(50e6, 52e6))
    loaded.key_steps.move_edge("low", 1)
    release_key(loaded, Qt.Key.Key_Right, ALT, is_repeat=True)
    loaded.key_steps.move_edge("low", 1)
    assert steps(loaded) == 2
    release_key(loaded, Qt.Key.Key_Right, ALT)
    assert steps(loaded) == 3
    assert loaded.document.bench.band.low_hz == 50.02e6


def test_each_key_moves_its_own_edge(loaded, qtbot):
    loaded.edits.set_band(Band(50e6, 52e6))
    for key, modifiers in (
        (Qt.Key.Key_Left, ALT),
        (Qt.Key.Key_Right, ALT | SHIFT),
        (Qt.Key.Key_Up, ALT | SHIFT),
    ):
        qtbot.keyClick(loaded, key, modifiers)
    bench = loaded.document.bench
    assert (bench.band.low_hz, bench.band.high_hz) == (49.99e6, 52.02e6)
    assert bench.limit_swr == pytest.approx(2.1)
    assert steps(loaded) == 5
    qtbot.keyClick(loaded, Qt.Key.Key_Left, ALT | SHIFT)
    qtbot.keyClick(loaded, Qt.Key.Key_Down, ALT | SHIFT)
    assert loaded.document.bench.limit_swr == pytest.approx(2.0)


def test_steps_chosen_by_mouse_end_by_themselves_and_keep_both_edges(loaded, qtbot):
    loaded.edits.set_band(Band(50e6, 52e6))
    loaded.commands["low-up"].trigger()
    loaded.commands["high-up"].trigger()
    assert loaded.document.bench.band == Band(50.01e6, 52.01e6)
    qtbot.waitUntil(lambda: not loaded.edits.is_in_gesture)
    assert steps(loaded) == 4


def test_undo_while_the_key_is_held_takes_the_move_back(loaded, qtbot):
    loaded.edits.set_band(Band(50e6, 52e6))
    qtbot.keyPress(loaded, Qt.Key.Key_Right, ALT)
    loaded.commands["undo"].trigger()
    assert loaded.document.bench.band == Band(50e6, 52e6)
    assert steps(loaded) == 2


def test_alt_arrows_in_a_field_still_move_the_edge_and_plain_arrows_the_cursor(loaded, qtbot):
    loaded.edits.set_band(Band(50e6, 52e6))
    field = loaded.band_panel.low_field
    field.setFocus()
    qtbot.keyClick(field, Qt.Key.Key_End)
    qtbot.keyClick(field, Qt.Key.Key_Left)
    assert field.cursorPosition() == len(field.text()) - 1
    assert loaded.document.bench.band.low_hz == 50e6
    qtbot.keyClick(field, Qt.Key.Key_Right, ALT)
    assert loaded.document.bench.band.low_hz == 50.01e6
    assert field.text() == "50.01 MHz"


@pytest.mark.parametrize(
    ("width_hz", "step_hz"),
    [(2e6, 10e3), (350e3, 2e3), (12e6, 100e3), (15e3, 100), (100, 1), (1e9, 5e6)],
)
def test_the_step_is_a_round_number_near_a_200th_of_the_band(width_hz, step_hz):
    assert edge_step_hz(Band(1e9, 1e9 + width_hz)) == step_hz


# Dragged


def test_dragging_an_edge_in_the_plot_moves_table_fields_and_one_step(loaded, qtbot):
    loaded.edits.set_band(Band(49e6, 53e6))
    run_events()
    plot = loaded.frequency_plot
    start = plot.position_of(49e6, 0.3)
    mouse = Mouse(plot.viewport())
    mouse.move(start)
    mouse.press()
    for i in range(1, 6):
        mouse.move(start + QPointF(8.0 * i, 0))
    assert steps(loaded) == 2
    moved_hz = loaded.document.bench.band.low_hz
    assert moved_hz > 49.5e6
    assert cell(loaded, "dry", "low_edge") == swr_text(moved_hz)
    assert loaded.band_panel.low_field.text() == f"{moved_hz / 1e6:.6f}".rstrip("0") + " MHz"
    mouse.release()
    assert steps(loaded) == 3
    qtbot.keyClick(loaded, Qt.Key.Key_Z, CTRL)
    assert loaded.document.bench.band == Band(49e6, 53e6)
    assert cell(loaded, "dry", "low_edge") == swr_text(49e6)


def test_hovering_a_curve_fills_the_readout(loaded):
    plot = loaded.frequency_plot
    assert loaded.readout.text() == "Point at a curve to read it"
    entry = loaded.document.bench.entries[0]
    index = 50  # 52 MHz
    frequency_hz = float(entry.sweep.frequency_hz[index])
    gamma = abs(entry.sweep.reflection[index])
    Mouse(plot.viewport()).move(plot.position_of(frequency_hz, gamma))
    z_ohm = DRY.impedance_ohm(52e6)
    assert loaded.readout.text().split("  ") == [
        "dry",
        "52.000 MHz",
        f"SWR {DRY.swr(52e6):.2f}",
        f"Return loss {-20 * np.log10(abs(DRY.reflection(52e6))):.1f} dB",
        f"R {z_ohm.real:.1f} Ω",
        f"X +{z_ohm.imag:.1f} Ω",
        f"Phase +{np.degrees(np.angle(DRY.reflection(52e6))):.1f}°",
        f"|Z| {abs(z_ohm):.1f} Ω",
    ]
    Mouse(plot.viewport()).leave()
    assert loaded.readout.text() == "Point at a curve to read it"


def test_no_field_takes_a_drop(loaded):
    assert not any(line.acceptDrops() for line in loaded.findChildren(QLineEdit))


def test_a_band_that_would_be_a_sliver_is_shown_with_its_surroundings(window, qtbot, tmp_path):
    load(window, qtbot, [write_sweep(tmp_path / "wide.s1p", span_hz=(10e6, 200e6), points=801)])
    window.commands["type-edges"].trigger()
    plot = window.frequency_plot
    panel = window.band_panel
    row = next(i for i in range(panel.band_box.count()) if panel.band_box.itemText(i) == "6 m")
    panel.band_box.setCurrentIndex(row)
    panel.band_box.activated.emit(row)
    run_events()
    low, high = plot.position_of(50e6, 0.3).x(), plot.position_of(52e6, 0.3).x()
    assert 0.5 * plot.viewport().width() < high - low < plot.viewport().width()
    # The whole view is one key away, and stays when another band is chosen by hand.
    qtbot.keyClick(window, Qt.Key.Key_0, CTRL)
    run_events()
    wide = plot.position_of(52e6, 0.3).x() - plot.position_of(50e6, 0.3).x()
    assert wide < 30
    plot.zoom_in()
    run_events()
    zoomed = plot.position_of(52e6, 0.3)
    panel.band_wanted.emit(find_band("2 m"))
    run_events()
    assert plot.position_of(52e6, 0.3) == zoomed
