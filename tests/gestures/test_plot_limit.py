"""The limit line on the SWR plot."""

from __future__ import annotations

import pytest
from mouse import press_key, release_key, tap_key
from PySide6.QtCore import QPointF, Qt

pytest_plugins = ["plot_fixtures"]

SHIFT = Qt.KeyboardModifier.ShiftModifier
CTRL = Qt.KeyboardModifier.ControlModifier


def test_the_limit_can_be_dragged_and_undone(filled):
    before = filled.bench
    target = filled.on_swr(141e6, 3.0)
    filled.swr_mouse.drag([filled.limit_at(), filled.on_swr(141e6, 2.4), target])
    # A pixel is some 0.01 of SWR here.
    assert filled.bench.limit_swr == pytest.approx(3.0, abs=0.03)
    assert filled.bench.limit_swr == round(filled.bench.limit_swr, 2)
    assert filled.bench.band is before.band
    assert filled.undo_steps == 1
    assert filled.document.undo_stack.undoText() == "Move SWR limit"
    filled.edits.undo()
    assert filled.bench is before


def test_the_limit_stops_where_the_document_says(filled):
    filled.swr_mouse.drag([filled.limit_at(), filled.on_swr(141e6, 1.0) + QPointF(0, 300)])
    assert filled.bench.limit_swr == 1.05
    filled.swr_mouse.drag([filled.limit_at(), filled.limit_at() - QPointF(0, 5000)])
    assert filled.bench.limit_swr == 20


@pytest.mark.parametrize("limit_swr", [2.0, 2.037])
def test_a_limit_dragged_there_and_back_leaves_no_step(filled, limit_swr):
    filled.edits.set_limit(limit_swr)
    filled.forget_history()
    before = filled.bench
    start = filled.limit_at()
    filled.swr_mouse.drag([start, start - QPointF(0, 40), start])
    assert filled.bench is before
    assert filled.undo_steps == 0


def test_escape_puts_the_limit_back(filled):
    before = filled.bench
    start = filled.limit_at()
    filled.swr_mouse.drag([start, start - QPointF(0, 60)], let_go=False)
    assert filled.bench.limit_swr > 2.1
    tap_key(filled.swr, Qt.Key.Key_Escape)
    filled.swr_mouse.release()
    assert filled.bench is before


def test_keys_move_the_limit_in_three_sizes(filled):
    filled.swr_mouse.click(filled.limit_at())
    tap_key(filled.swr, Qt.Key.Key_Up)
    assert filled.bench.limit_swr == 2.05
    tap_key(filled.swr, Qt.Key.Key_Up, SHIFT)
    assert filled.bench.limit_swr == 2.55
    tap_key(filled.swr, Qt.Key.Key_Down, CTRL)
    assert filled.bench.limit_swr == 2.54
    assert filled.undo_steps == 3
    press_key(filled.swr, Qt.Key.Key_Down)
    press_key(filled.swr, Qt.Key.Key_Down, is_repeat=True)
    release_key(filled.swr, Qt.Key.Key_Down)
    assert filled.bench.limit_swr == 2.44
    assert filled.undo_steps == 4


def test_edges_win_over_the_limit_where_they_cross(filled):
    crossing = filled.edge_at("low", filled.bench.limit_swr)
    filled.swr_mouse.drag([crossing, crossing + QPointF(-40, -40)])
    assert filled.bench.limit_swr == 2.0
    assert filled.bench.band.low_hz < 144e6
