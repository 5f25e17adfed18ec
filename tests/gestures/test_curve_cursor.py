"""Reading the curves by keys, as with the mouse, and as assistive technology gets it."""

from __future__ import annotations

from types import SimpleNamespace

import numpy as np
import pytest
from mouse import tap_key
from plots import circuit_sweep, scalar_sweep
from PySide6.QtCore import Qt
from PySide6.QtGui import QAccessible

from fairlead.app.document.view_state import Hover

pytest_plugins = ["plot_fixtures"]
SHIFT = Qt.KeyboardModifier.ShiftModifier
KEY = Qt.Key


@pytest.fixture
def said(monkeypatch):
    """What is announced."""
    texts = []
    listener = SimpleNamespace(
        AnnouncementPoliteness=QAccessible.AnnouncementPoliteness,
        updateAccessibility=lambda event: texts.append(event.message()),
    )
    # Not on Qt's own class: putting its method back afterwards breaks it.
    monkeypatch.setattr("fairlead.app.plots.key_cursor.QAccessible", listener)
    return texts


@pytest.fixture
def curves(plots):
    """A plot of two sweeps and one without phase; the curves have the focus."""
    plots.add(circuit_sweep(145e6), circuit_sweep(143e6, points=101), scalar_sweep())
    plots.swr.setFocus()
    return plots


def at(plots):
    hover = plots.view_state.hover
    return None if hover is None else (hover.key, hover.index)


def test_the_first_key_finds_the_best_match_and_the_next_go_along(curves, said):
    first = curves.bench.entries[0]
    start = int(np.argmin(first.sweep.magnitude))
    tap_key(curves.swr, KEY.Key_Right)
    assert at(curves) == (first.key, start)
    tap_key(curves.swr, KEY.Key_Right)
    tap_key(curves.swr, KEY.Key_Right, SHIFT)
    assert at(curves) == (first.key, start + 11)
    tap_key(curves.swr, KEY.Key_Left)
    assert at(curves) == (first.key, start + 10)
    hz = first.sweep.frequency_hz[start + 10]
    rho = abs(first.sweep.reflection[start + 10])
    assert said[-1] == f"sweep 0, {hz / 1e6:.3f} MHz, SWR {(1 + rho) / (1 - rho):.2f}"
    assert curves.undo_steps == 1


def test_home_end_and_page_stay_within_what_is_shown(curves):
    first = curves.bench.entries[0]
    tap_key(curves.swr, KEY.Key_End)
    tap_key(curves.swr, KEY.Key_End)
    assert at(curves) == (first.key, 200)
    tap_key(curves.swr, KEY.Key_Right)
    assert at(curves) == (first.key, 200)
    tap_key(curves.swr, KEY.Key_PageDown)
    assert at(curves) == (first.key, 180)
    curves.edits.set_band(curves.bench.band.__class__(144e6, 146e6))
    curves.swr.zoom_to_band()
    tap_key(curves.swr, KEY.Key_Home)
    low_hz = first.sweep.frequency_hz[at(curves)[1]]
    assert 143.6e6 <= low_hz <= 143.8e6


def test_up_and_down_change_the_sweep_at_the_same_frequency(curves):
    keys = [entry.key for entry in curves.bench.entries]
    tap_key(curves.swr, KEY.Key_Home)
    tap_key(curves.swr, KEY.Key_Home)
    tap_key(curves.swr, KEY.Key_PageUp)
    tap_key(curves.swr, KEY.Key_Down)
    assert at(curves) == (keys[1], 10)
    tap_key(curves.swr, KEY.Key_Down)
    assert at(curves)[0] == keys[2]
    tap_key(curves.swr, KEY.Key_Down)
    assert at(curves) == (keys[0], 20)
    tap_key(curves.swr, KEY.Key_Up)
    assert at(curves)[0] == keys[2]


def test_the_chart_knows_only_sweeps_with_phase(curves, said):
    curves.smith.setFocus()
    tap_key(curves.smith, KEY.Key_Up)
    seen = set()
    for _ in range(4):
        tap_key(curves.smith, KEY.Key_Up)
        seen.add(at(curves)[0])
    assert seen == {entry.key for entry in curves.bench.entries[:2]}
    assert "MHz" in said[-1]
    assert "Ω" in said[-1]


def test_escape_takes_the_cursor_away_and_an_empty_plot_has_none(curves, said):
    tap_key(curves.swr, KEY.Key_Down)
    assert isinstance(curves.view_state.hover, Hover)
    tap_key(curves.swr, KEY.Key_Escape)
    assert curves.view_state.hover is None
    said.clear()
    for entry in curves.bench.entries:
        curves.edits.set_visible(frozenset({entry.key}), is_visible=False)
    tap_key(curves.swr, KEY.Key_Down)
    assert curves.view_state.hover is None
    assert said == []
