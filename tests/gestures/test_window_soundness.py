"""A sweep that is not what it seems is marked quietly, and says why at a click or a key."""

from __future__ import annotations

import numpy as np
import pytest
from mouse import Mouse
from PySide6.QtCore import QPointF, Qt
from PySide6.QtWidgets import QPushButton
from suspects import WIDE_HZ, cable
from window import SHIFT, key_of, load, run_events, select, write_sweep

from fairlead.app.panels.concern_text import concerns_page
from fairlead.app.panels.sweep_list_model import FINDINGS_ROLE
from fairlead.core.bands import Band
from fairlead.core.soundness.checks import ABOUTS
from fairlead.core.soundness.finding import Finding

pytest_plugins = ["window_fixtures"]


@pytest.fixture
def judged(window, qtbot, tmp_path):
    """A good antenna and an unconnected cable, after the checks have run."""
    good = write_sweep(tmp_path / "good.s1p", f0_hz=435e6, q=30, span_hz=(400e6, 470e6), points=201)
    gamma = cable(WIDE_HZ, 25, 8.0 * np.sqrt(WIDE_HZ / 435e6))
    rows = "".join(
        f"{hz:.0f} {g.real:.7f} {g.imag:.7f}\n" for hz, g in zip(WIDE_HZ, gamma, strict=True)
    )
    odd = tmp_path / "odd.s1p"
    odd.write_text("# Hz S RI R 50\n" + rows, "ascii")
    load(window, qtbot, [good, str(odd)])
    settle(window, qtbot)
    return window


def settle(window, qtbot):
    qtbot.waitUntil(lambda: window.sweep_model.concerns.is_up_to_date, timeout=5000)
    run_events()


def said(window, label):
    index = window.sweep_model.index(window.sweep_model.row_of(key_of(window, label)), 0)
    return [one.code for one in index.data(FINDINGS_ROLE)]


def mark_centre(window, label):
    index = window.sweep_model.index(window.sweep_model.row_of(key_of(window, label)), 0)
    row = window.sweep_list.visualRect(index)
    return QPointF(window.sweep_list._delegate.mark_rect(row).center())


def inked(window, label):
    """Share of the mark's place that is not background."""
    index = window.sweep_model.index(window.sweep_model.row_of(key_of(window, label)), 0)
    place = window.sweep_list._delegate.mark_rect(window.sweep_list.visualRect(index))
    image = window.sweep_list.viewport().grab(place).toImage()
    base = image.pixelColor(0, image.height() - 1)
    points = [(x, y) for x in range(image.width()) for y in range(image.height())]
    return sum(image.pixelColor(x, y) != base for x, y in points) / len(points)


def test_only_the_odd_one_is_marked_and_the_tip_says_what_was_found(judged):
    assert said(judged, "good") == []
    assert said(judged, "odd") == ["swr-ceiling", "line-in-sweep"]
    assert inked(judged, "odd") > 0.1
    index = judged.sweep_model.index(1, 0)
    assert "RG-58" in index.data(Qt.ItemDataRole.ToolTipRole)
    assert "1 suspect, 1 notices" in index.data(Qt.ItemDataRole.AccessibleTextRole)


def test_a_click_on_the_mark_opens_the_explanation(judged):
    Mouse(judged.sweep_list.viewport()).click(mark_centre(judged, "good"))
    assert judged.handlers.help.shown is None
    Mouse(judged.sweep_list.viewport()).click(mark_centre(judged, "odd"))
    shown = judged.handlers.help.shown
    assert shown.isVisible()
    text = shown.page.toPlainText()
    for words in ("An SWR that cannot rise", "Why it matters", "When this is reported", "Source"):
        assert words in text
    assert "Disconnect the antenna and sweep again" in text


def test_the_command_the_key_and_the_button_open_it_too(judged, qtbot):
    select(judged, "odd")
    run_events()
    assert "RG-58" in " ".join(
        label.text()
        for label in judged.detail._facts.findChildren(type(judged.detail._facts))
        if hasattr(label, "text")
    )
    button = judged.detail._facts.findChild(QPushButton, "why")
    qtbot.mouseClick(button, Qt.MouseButton.LeftButton)
    assert judged.handlers.help.shown.isVisible()
    judged.handlers.help.shown.close()
    judged.sweep_list.setFocus()
    qtbot.keyClick(judged.sweep_list, Qt.Key.Key_F1, SHIFT)
    run_events()
    assert judged.handlers.help.shown.isVisible()
    judged.handlers.help.shown.close()
    select(judged, "good")
    judged.commands["help-why"].trigger()
    assert "Nothing is marked" in judged.handlers.help.shown.page.toPlainText()
    select(judged)
    assert not judged.commands["help-why"].isEnabled()
    judged.handlers.help.shown.close()
    judged.handlers.help.show_why_selected()
    assert not judged.handlers.help.shown.isVisible()


def test_the_marks_follow_the_band_after_a_pause_and_undo(judged, qtbot):
    judged.edits.set_band(Band(460e6, 480e6))
    assert not judged.sweep_model.concerns.is_up_to_date
    settle(judged, qtbot)
    assert said(judged, "good") == ["band-not-covered"]
    judged.edits.undo()
    settle(judged, qtbot)
    assert said(judged, "good") == []


def test_a_copy_is_marked_and_a_removed_sweep_is_forgotten(judged, qtbot, tmp_path):
    load(judged, qtbot, [write_sweep(tmp_path / "copy.s1p", 435e6, 60.0, 30, 201, (400e6, 470e6))])
    settle(judged, qtbot)
    assert said(judged, "copy") == ["same-content"]
    key = key_of(judged, "copy")
    judged.edits.remove([key])
    settle(judged, qtbot)
    assert judged.sweep_model.concerns.of(key) == ()


def test_the_page_escapes_what_comes_from_files():
    page = concerns_page("<b>x", [Finding("from-a-file", "a < b", "", "", severity="note")])
    assert "&lt;b&gt;x" in page
    assert "a &lt; b" in page
    assert "Noticed when it was read" in page
    assert all(one.title in concerns_page("x", []) for one in ABOUTS)
