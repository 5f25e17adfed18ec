"""Band edges on the SWR plot: dragged, keyed, cancelled, undone."""

from __future__ import annotations

import pytest
from mouse import press_key, release_key, run_events, tap_key
from plots import BAND
from PySide6.QtCore import QPointF, Qt

from fairlead.core.bands import Band

pytest_plugins = ["plot_fixtures"]

SHIFT = Qt.KeyboardModifier.ShiftModifier
CTRL = Qt.KeyboardModifier.ControlModifier


def right(pixels):
    return QPointF(pixels, 0)


@pytest.mark.parametrize(("edge", "way"), [("low", -60), ("low", 40), ("high", 70), ("high", -35)])
def test_dragging_an_edge_moves_the_band_as_the_mouse_goes(filled, edge, way):
    before = filled.bench
    start = filled.edge_at(edge)
    mouse, hz_a_pixel = filled.swr_mouse, filled.hz_a_pixel()
    mouse.move(start)
    mouse.press()
    for part in (0.25, 0.5, 1.0):
        mouse.move(start + right(part * way))
        moved_hz = filled.bench.band.edge_hz(edge) - before.band.edge_hz(edge)
        assert moved_hz == pytest.approx(part * way * hz_a_pixel, abs=hz_a_pixel)
    other = "high" if edge == "low" else "low"
    assert filled.bench.band.edge_hz(other) == before.band.edge_hz(other)
    assert filled.undo_steps == 0
    mouse.release()
    assert filled.undo_steps == 1
    filled.edits.undo()
    assert filled.bench is before
    filled.edits.redo()
    assert filled.bench.band.edge_hz(edge) != before.band.edge_hz(edge)


def test_an_edge_can_be_taken_some_pixels_beside_its_line_and_does_not_jump(filled):
    start = filled.edge_at("low") + right(-5)
    filled.swr_mouse.drag([start, start + right(-1)])
    moved_hz = BAND.low_hz - filled.bench.band.low_hz
    assert 0 < moved_hz <= 2 * filled.hz_a_pixel()


def test_an_edge_can_be_taken_by_its_tag(filled):
    # The tag stands left of the low edge, at the top.
    start = QPointF(filled.edge_at("low").x() - 25, filled.swr._origin().y() + 10)
    filled.swr_mouse.drag([start, start + right(-30)])
    assert filled.bench.band.low_hz < BAND.low_hz
    assert filled.bench.band.high_hz == BAND.high_hz


@pytest.mark.parametrize("low_hz", [144e6, 144_012_347.0])
def test_dragging_there_and_back_leaves_no_step(filled, low_hz):
    filled.edits.set_band(Band(low_hz, 146_000_013.0))
    filled.forget_history()
    before = filled.bench
    for edge in ("low", "high"):
        start = filled.edge_at(edge)
        filled.swr_mouse.drag([start, start + right(50), start + right(20), start])
        assert filled.bench is before
    start = filled.bar_at()
    filled.swr_mouse.drag([start, start + right(-50), start])
    assert filled.bench is before
    assert filled.undo_steps == 0


def test_a_click_on_an_edge_changes_nothing(filled):
    before = filled.bench
    filled.swr_mouse.click(filled.edge_at("low") + right(3))
    assert filled.bench is before
    assert filled.undo_steps == 0


def test_escape_during_a_drag_puts_the_band_back_and_ends_the_drag(filled):
    before = filled.bench
    start = filled.edge_at("low")
    mouse = filled.swr_mouse
    mouse.drag([start, start + right(-80)], let_go=False)
    assert filled.bench.band != before.band
    tap_key(filled.swr, Qt.Key.Key_Escape)
    assert filled.bench is before
    mouse.move(start + right(-120))
    mouse.release()
    assert filled.bench is before
    assert filled.undo_steps == 0


def test_the_line_follows_the_document_back(filled):
    start = filled.edge_at("low")
    filled.swr_mouse.drag([start, start + right(-80)])
    filled.edits.undo()
    run_events()
    # The line is where it was: it can be taken there again.
    filled.swr_mouse.drag([start, start + right(-40)])
    assert filled.bench.band.low_hz < BAND.low_hz
    assert filled.undo_steps == 1


def test_an_edge_cannot_pass_the_other(filled):
    start = filled.edge_at("low")
    filled.swr_mouse.drag([start, start + right(50), start + right(400)])
    band = filled.bench.band
    assert band.high_hz == BAND.high_hz
    # The least width of a band: 100 Hz.
    assert band.low_hz == BAND.high_hz - 100


def test_edges_on_one_spot_are_drawn_apart_each_to_its_own_side(filled):
    start = filled.edge_at("low")
    filled.swr_mouse.drag([start, start + right(400)])
    spot = filled.edge_at("high")
    filled.swr_mouse.drag([spot + right(3), spot + right(60)])
    assert filled.bench.band.high_hz > BAND.high_hz
    filled.edits.undo()
    run_events()
    filled.swr_mouse.drag([spot + right(-3), spot + right(-60)])
    assert filled.bench.band.low_hz < BAND.high_hz - 1e5


def test_dragging_the_bar_moves_the_whole_band(filled):
    before = filled.bench
    start = filled.bar_at()
    filled.swr_mouse.drag([start, start + right(30), start + right(75)])
    band = filled.bench.band
    assert band.width_hz == before.band.width_hz
    moved_hz = band.low_hz - before.band.low_hz
    assert moved_hz == pytest.approx(75 * filled.hz_a_pixel(), abs=filled.hz_a_pixel())
    assert filled.undo_steps == 1
    filled.edits.undo()
    assert filled.bench is before


def test_a_dragged_edge_has_no_digits_that_a_pixel_cannot_tell_apart(filled):
    start = filled.edge_at("low")
    filled.swr_mouse.drag([start, start + right(-37)])
    # Some 14.7 kHz a pixel: whole 10 kHz.
    assert 10e3 < filled.hz_a_pixel() < 20e3
    assert filled.bench.band.low_hz % 10e3 == 0


def test_keys_move_the_edge_that_was_clicked(filled):
    before = filled.bench
    filled.swr_mouse.click(filled.edge_at("high"))
    tap_key(filled.swr, Qt.Key.Key_Right)
    step_hz = filled.bench.band.high_hz - before.band.high_hz
    # The largest of 1, 2, 5, ... below a 500th of 10.4 MHz.
    assert step_hz == 20e3
    tap_key(filled.swr, Qt.Key.Key_Left, SHIFT)
    assert filled.bench.band.high_hz == before.band.high_hz + 20e3 - 200e3
    tap_key(filled.swr, Qt.Key.Key_Left, CTRL)
    assert filled.bench.band.high_hz == before.band.high_hz + 20e3 - 200e3 - 2e3
    assert filled.bench.band.low_hz == before.band.low_hz
    assert filled.undo_steps == 3


def test_a_held_key_is_one_step(filled):
    before = filled.bench
    filled.swr_mouse.click(filled.edge_at("low"))
    press_key(filled.swr, Qt.Key.Key_Left)
    for _ in range(4):
        release_key(filled.swr, Qt.Key.Key_Left, is_repeat=True)
        press_key(filled.swr, Qt.Key.Key_Left, is_repeat=True)
    assert filled.bench.band.low_hz == before.band.low_hz - 5 * 20e3
    assert filled.undo_steps == 0
    release_key(filled.swr, Qt.Key.Key_Left)
    assert filled.undo_steps == 1
    filled.edits.undo()
    assert filled.bench is before


def test_escape_takes_a_held_key_back_though_it_still_repeats(filled):
    before = filled.bench
    filled.swr_mouse.click(filled.edge_at("low"))
    press_key(filled.swr, Qt.Key.Key_Left)
    press_key(filled.swr, Qt.Key.Key_Left, is_repeat=True)
    tap_key(filled.swr, Qt.Key.Key_Escape)
    assert filled.bench is before
    press_key(filled.swr, Qt.Key.Key_Left, is_repeat=True)
    release_key(filled.swr, Qt.Key.Key_Left)
    assert filled.bench is before
    assert filled.undo_steps == 0
    tap_key(filled.swr, Qt.Key.Key_Left)
    assert filled.bench.band.low_hz == before.band.low_hz - 20e3


def test_right_then_left_leaves_two_steps_that_cancel_out(filled):
    before = filled.bench
    filled.swr_mouse.click(filled.edge_at("low"))
    tap_key(filled.swr, Qt.Key.Key_Right)
    tap_key(filled.swr, Qt.Key.Key_Left)
    assert filled.bench.band.low_hz == before.band.low_hz


def test_tab_goes_through_the_handles_and_then_leaves(filled):
    filled.smith.setFocus()
    filled.swr.setFocus(Qt.FocusReason.TabFocusReason)
    run_events()
    moved = []
    for _ in range(3):
        before = filled.bench
        tap_key(filled.swr, Qt.Key.Key_Up)
        after = filled.bench
        moved.append(
            (
                after.band.low_hz > before.band.low_hz,
                after.band.high_hz > before.band.high_hz,
                after.limit_swr > before.limit_swr,
            )
        )
        tap_key(filled.swr, Qt.Key.Key_Tab)
    assert moved == [(True, False, False), (False, True, False), (False, False, True)]
    # The curves are the last stop.
    assert filled.swr.hasFocus()
    tap_key(filled.swr, Qt.Key.Key_Tab)
    assert not filled.swr.hasFocus()
    tap_key(filled.smith, Qt.Key.Key_Backtab, SHIFT)
    assert filled.swr.hasFocus()
    tap_key(filled.swr, Qt.Key.Key_Backtab, SHIFT)
    before = filled.bench
    tap_key(filled.swr, Qt.Key.Key_Down)
    assert filled.bench.limit_swr < before.limit_swr


def test_losing_the_keyboard_ends_a_held_key_as_one_step(filled):
    filled.swr_mouse.click(filled.edge_at("low"))
    press_key(filled.swr, Qt.Key.Key_Left)
    filled.smith.setFocus()
    run_events()
    assert filled.undo_steps == 1
    assert not filled.edits.is_in_gesture


def test_arrow_keys_without_a_chosen_handle_do_nothing(filled):
    before = filled.bench
    filled.swr_mouse.click(filled.on_swr(148e6, 3.2))
    tap_key(filled.swr, Qt.Key.Key_Left)
    assert filled.bench is before


def test_the_cursor_tells_what_can_be_taken(filled):
    shapes = {}
    for name, place in (
        ("low", filled.edge_at("low") + right(4)),
        ("high", filled.edge_at("high") - right(4)),
        ("limit", filled.limit_at() + QPointF(0, 4)),
        ("bar", filled.bar_at()),
        ("ground", filled.on_swr(148e6, 3.2)),
    ):
        filled.swr_mouse.move(place)
        shapes[name] = filled.swr.viewport().cursor().shape()
    shape = Qt.CursorShape
    assert shapes == {
        "low": shape.SplitHCursor,
        "high": shape.SplitHCursor,
        "limit": shape.SplitVCursor,
        "bar": shape.SizeHorCursor,
        "ground": shape.ArrowCursor,
    }


def test_an_unwired_plot_changes_nothing_itself(filled):
    filled.swr.gesture_began.disconnect()
    filled.swr.edge_dragged.disconnect()
    filled.swr.gesture_ended.disconnect()
    before = filled.bench
    start = filled.edge_at("low")
    filled.swr_mouse.drag([start, start + right(-60)])
    assert filled.bench is before


def test_assistive_technology_is_told_what_the_keys_move_and_where_it_stands(filled):
    filled.swr_mouse.click(filled.edge_at("low"))
    assert filled.swr.accessibleDescription().startswith("Low band edge, 144.000 MHz.")
    tap_key(filled.swr, Qt.Key.Key_Right)
    assert filled.swr.accessibleDescription().startswith("Low band edge, 144.020 MHz.")
