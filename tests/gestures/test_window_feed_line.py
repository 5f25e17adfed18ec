"""The feed line in the window: set, seen at once, cancelled, kept, undone; all at one end."""

from __future__ import annotations

import numpy as np
import pytest
from circuits import SeriesCircuit
from PySide6.QtCore import Qt
from window import cell, choose, key_of, load, run_events, select, steps, type_into

from fairlead.core.feed_line import seen_through
from fairlead.core.line_types import line_of_type

pytest_plugins = ["window_fixtures"]

GRID_HZ = np.linspace(46e6, 58e6, 201)
AT_FEED = SeriesCircuit(51e6, 62.0, 8.0).reflection(GRID_HZ)
RG_58 = line_of_type("RG-58")


def write(path, frequency_hz, gamma):
    rows = np.column_stack((frequency_hz, np.real(gamma), np.imag(gamma))).tolist()
    lines = ["# HZ S RI R 50", *(" ".join(map(repr, row)) for row in rows)]
    path.write_text("\n".join(lines) + "\n", encoding="utf-8")
    return str(path)


@pytest.fixture
def lined(window, qtbot, tmp_path):
    """A window with a sweep of the feed point, one at the radio, and two of the line alone."""
    line_hz = np.linspace(2e6, 60e6, 301)

    def through(frequency_hz, gamma):
        return seen_through(RG_58, 12.0, frequency_hz, np.asarray(gamma, dtype=complex), 50.0)

    files = [
        write(tmp_path / "feed.s1p", GRID_HZ, AT_FEED),
        write(tmp_path / "radio.s1p", GRID_HZ, through(GRID_HZ, AT_FEED)),
        write(tmp_path / "far-open.s1p", line_hz, through(line_hz, np.ones(301))),
        write(tmp_path / "far-short.s1p", line_hz, through(line_hz, -np.ones(301))),
    ]
    load(window, qtbot, files)
    return window


@pytest.fixture
def panel(lined):
    select(lined, "radio")
    lined.commands["feed-line"].trigger()
    run_events()
    found = lined.handlers.feed_line.panel
    assert found.isVisible()
    return found


def entry(window, label):
    return window.document.bench.entry(key_of(window, label))


def off(window):
    return np.abs(entry(window, "radio").sweep.reflection - AT_FEED).max()


def test_a_line_removed_is_seen_at_once_and_is_one_undo_step(lined, qtbot, panel):
    made = steps(lined)
    choose(qtbot, panel.taken_box, "At the radio's end of a feed line")
    choose(qtbot, panel.line_box, "RG-58")
    assert "is not a length" in panel.problem
    assert not panel.ok_button.isEnabled()
    type_into(qtbot, panel.length_field, "12 m")
    run_events()
    assert panel.problem == ""
    assert off(lined) < 1e-9
    assert "dB of loss one way" in panel.result_text.text()
    assert "Old or wet cable" in panel.result_text.text()
    assert steps(lined) == made
    qtbot.mouseClick(panel.ok_button, Qt.MouseButton.LeftButton)
    run_events()
    assert steps(lined) == made + 1
    assert entry(lined, "radio").caption == "radio (12 m RG-58 removed)"
    assert entry(lined, "radio").seen_at == "feed"
    lined.commands["undo"].trigger()
    assert entry(lined, "radio").plane is None
    assert entry(lined, "radio").steps == ()


def test_cancel_leaves_the_bench_as_it_was(lined, qtbot, panel):
    before, made = lined.document.bench, steps(lined)
    choose(qtbot, panel.taken_box, "At the radio's end of a feed line")
    choose(qtbot, panel.line_box, "RG-213")
    type_into(qtbot, panel.length_field, "30 ft")
    run_events()
    assert lined.document.bench is not before
    qtbot.keyClick(panel, Qt.Key.Key_Escape)
    run_events()
    assert lined.document.bench is before
    assert steps(lined) == made


def test_a_measured_line_from_sweeps_on_the_bench(lined, qtbot, panel):
    choose(qtbot, panel.taken_box, "At the radio's end of a feed line")
    choose(qtbot, panel.line_box, "Measured: swept open and shorted")
    assert "no sweep of the line" in panel.problem
    choose(qtbot, panel.open_box, "far-open")
    choose(qtbot, panel.short_box, "far-short")
    assert panel.problem == ""
    assert off(lined) < 1e-6
    choose(qtbot, panel.open_box, "far-short")
    assert "check which sweep is which" in panel.problem
    choose(qtbot, panel.open_box, "–")
    assert off(lined) < 1e-6
    type_into(qtbot, panel.length_field, "12 m")
    type_into(qtbot, panel.name_field, "club cable")
    qtbot.mouseClick(panel.keep_button, Qt.MouseButton.LeftButton)
    assert [line.name for line in lined.settings.own_lines] == ["club cable"]
    assert lined.settings.own_lines[0].velocity_factor == pytest.approx(0.66, rel=1e-4)
    panel.accept()
    run_events()
    assert entry(lined, "radio").caption == "radio (12 m club cable removed)"
    # Opened again it shows what was set.
    lined.commands["feed-line"].trigger()
    again = lined.handlers.feed_line.panel
    assert again.line_box.currentText() == "club cable"
    assert again.length_field.text() == "12 m"
    assert again.taken_at == "radio"
    again.reject()


def test_too_long_a_line_says_that_it_is(qtbot, panel):
    choose(qtbot, panel.taken_box, "At the radio's end of a feed line")
    choose(qtbot, panel.line_box, "RG-58")
    type_into(qtbot, panel.length_field, "80 m")
    run_events()
    assert "|G| > 1 at" in panel.result_text.text()
    panel.reject()


def test_all_at_the_radio_and_all_at_the_feed_point(lined, qtbot, panel):
    choose(qtbot, panel.taken_box, "At the radio's end of a feed line")
    choose(qtbot, panel.line_box, "RG-58")
    type_into(qtbot, panel.length_field, "12 m")
    panel.accept()
    run_events()
    select(lined, "feed")
    lined.commands["feed-line"].trigger()
    other = lined.handlers.feed_line.panel
    choose(qtbot, other.taken_box, "At the feed point of the antenna")
    other.accept()
    run_events()
    assert entry(lined, "feed").caption == "feed (at the feed point)"
    assert cell(lined, "radio", "shift") not in ("–", "")
    lined.commands["see-at-radio"].trigger()
    run_events()
    assert entry(lined, "radio").seen_at == "radio"
    assert "No line is known that leads to the radio" in lined.messages.lines[0]
    # Its own line leads to the feed point, where the reference is: the change is converted.
    assert cell(lined, "radio", "shift") not in ("–", "")
    lined.commands["see-at-feed"].trigger()
    run_events()
    assert off(lined) < 1e-9


def test_a_transformer_is_typed_in_the_details(lined, qtbot):
    select(lined, "radio")
    lined.commands["step-transformer"].trigger()
    run_events()
    (row,) = lined.detail.steps.rows
    type_into(qtbot, row.field, "49, 0.5 dB")
    qtbot.keyClick(row.field, Qt.Key.Key_Return)
    run_events()
    found = entry(lined, "radio")
    assert found.sweep.z0_ohm == 2450
    assert found.caption == "radio (49:1 transformer removed (0.5 dB))"
    assert row.field.text() == "49, 0.5 dB"


def test_broken_kept_lines_are_left_out(lined):
    lined.settings._store.setValue("work/lines", '[{"name": "x", "z0_ohm": -1}, 3, {"oops": 1}]')
    assert lined.settings.own_lines == []
    lined.settings._store.setValue("work/lines", "{")
    assert lined.settings.own_lines == []
