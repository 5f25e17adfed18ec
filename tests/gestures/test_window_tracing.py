"""A curve of a picture becomes a sweep: opened, marked, undone, accepted, mended, kept."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import painted
import pytest
from mouse import Mouse, press_key, release_key, tap_key
from PySide6.QtCore import QMimeData, QPointF, Qt, QTimer
from PySide6.QtGui import QColor, QGuiApplication, QPainter
from PySide6.QtWidgets import QApplication, QPushButton
from window import (
    CTRL,
    NO_MODIFIER,
    SHIFT,
    cell,
    drop,
    drop_data,
    key_of,
    labels,
    load,
    run_events,
    select,
    steps,
    type_into,
)

from fairlead.app.drawing.marks import SHADINGS
from fairlead.app.panels.file_chooser import FileChooser
from fairlead.app.panels.sweep_list_model import SECOND_LINE_ROLE
from fairlead.app.panels.unsaved_question import MarksQuestion
from fairlead.core.reflection import swr

pytest_plugins = ["window_fixtures"]
BEST_HZ = 51.6e6
CROSSINGS = ((50e6, 1.0), (53e6, 1.0), (50e6, 4.0), (52e6, 2.0))


def ready(window, qtbot):
    tracing = window.handlers.tracing
    qtbot.waitUntil(lambda: not tracing.is_busy, timeout=30_000)
    run_events()


@pytest.fixture
def tracing(window):
    """The handler, closed at the end."""
    yield window.handlers.tracing
    window.handlers.tracing.close()


@pytest.fixture
def panel(window, qtbot, tmp_path, tracing):
    file = tmp_path / "review.png"
    assert painted.painted(BEST_HZ).save(str(file))
    window.load([str(file)])
    ready(window, qtbot)
    return tracing.sessions[-1].panel


def at(panel, x, y):
    return panel.view.spot_of(x, y)


def click(panel, place, modifiers=NO_MODIFIER):
    mouse = Mouse(panel.view)
    mouse.move(at(panel, place.x(), place.y()))
    mouse.press()
    mouse.release(modifiers=modifiers)


def mark_axes(panel, qtbot, crossings=CROSSINGS, rows=()):
    """Click crossings and type their numbers; ``rows`` are their SWR where the numbers are not."""
    heights = rows or [ratio for _, ratio in crossings]
    for (hz, ratio), height in zip(crossings, heights, strict=True):
        click(panel, QPointF(painted.x_of(hz) + 2, painted.y_of(height) - 2))
        assert panel.editor.isVisible()
        assert panel.editor.frequency.hasFocus()
        type_into(qtbot, panel.editor.frequency, f"{hz / 1e6:g}")
        tap_key(panel.editor.frequency, Qt.Key.Key_Return)
        assert panel.editor.value.hasFocus()
        type_into(qtbot, panel.editor.value, f"{ratio:g}")
        tap_key(panel.editor.value, Qt.Key.Key_Return)
        assert not panel.editor.isVisible()


def choose(panel, qtbot, tool):
    qtbot.mouseClick(panel.tool_buttons[tool], Qt.MouseButton.LeftButton)


def trace(window, panel, qtbot, *frequencies_hz):
    mark_axes(panel, qtbot)
    choose(panel, qtbot, "curve")
    for hz in frequencies_hz or (51e6,):
        click(panel, painted.place_on(hz))
    ready(window, qtbot)


def accept(window, panel, qtbot):
    qtbot.mouseClick(panel.accept_button, Qt.MouseButton.LeftButton)
    ready(window, qtbot)


def test_a_picture_becomes_a_sweep_within_its_own_uncertainty(window, panel, qtbot):
    assert panel.windowTitle() == "Trace a picture: review.png"
    trace(window, panel, qtbot)
    assert panel.status.text().startswith("Axes fit within 0.")
    accept(window, panel, qtbot)
    assert steps(window) == 1
    assert window.document.undo_stack.undoText() == 'Trace "review.png"'
    assert labels(window) == ["review"]
    (entry,) = window.document.bench.entries
    assert entry.caption == "review (traced from a picture)"
    row = window.sweep_model.index(0, 0)
    assert row.data(SECOND_LINE_ROLE) == "traced from a picture"
    select(window, "review")
    run_events()
    assert window.detail.findChild(QPushButton, "tracing").text() == "Open the tracing"
    qtbot.waitUntil(lambda: len(window.frequency_plot._shading_text._lines) == 1, timeout=20_000)
    assert window.frequency_plot._shading_text._lines == (SHADINGS["picture"],)
    sweep = entry.sweep
    ratio, true = swr(sweep.magnitude), painted.ratio_of(sweep.frequency_hz, BEST_HZ)
    is_low = true < 3
    # dSWR = 2 / (1 - |G|)^2 d|G|: the band of two standard uncertainties that the plot shows.
    sigma = 2 / (1 - sweep.magnitude) ** 2 * sweep.traced.sigma
    assert (np.abs(ratio - true) < 2 * sigma)[is_low].mean() > 0.9
    assert (np.abs(ratio - true) / true)[is_low].max() < 0.01
    best_hz = sweep.frequency_hz[sweep.magnitude.argmin()]
    # Half a pixel is 5 kHz; the dip itself is flat for several columns.
    assert best_hz == pytest.approx(BEST_HZ, abs=20e3)
    assert cell(window, "review", "resonance") == "–"
    window.commands["undo"].trigger()
    assert not window.document.bench.entries
    assert not window.document.bench.pictures
    window.commands["redo"].trigger()
    assert labels(window) == ["review"]
    # A picture of the same key on another bench is another picture.
    window.commands["new"].trigger()
    assert labels(window) == []
    accept(window, panel, qtbot)
    assert labels(window) == ["review"]


def test_clicks_snap_to_the_grid_unless_alt_is_held(panel):
    near = QPointF(painted.x_of(51e6) + 2, painted.y_of(2.0) - 2)
    click(panel, near)
    click(panel, near + QPointF(60, -40), Qt.KeyboardModifier.AltModifier)
    snapped, free = panel.draft.known
    assert (snapped.x, snapped.y) == pytest.approx((painted.x_of(51e6), painted.y_of(2.0)), abs=0.6)
    assert (free.x, free.y) == pytest.approx((near.x() + 60, near.y() - 40), abs=0.01)
    assert snapped.sigma_px < free.sigma_px
    panel.snap_box.setChecked(False)
    click(panel, near + QPointF(100, 30))
    assert panel.draft.known[2].x == pytest.approx(near.x() + 100, abs=0.01)


def test_keys_alone_mark_move_and_remove(panel):
    view = panel.view
    view.setFocus()
    middle = view.cursor_place
    tap_key(view, Qt.Key.Key_Right, SHIFT)
    tap_key(view, Qt.Key.Key_Down)
    assert view.cursor_place - middle == QPointF(5, 0.2)
    tap_key(view, Qt.Key.Key_Return, Qt.KeyboardModifier.AltModifier)
    assert panel.draft.known[0].x == pytest.approx(middle.x() + 5)
    tap_key(panel.editor.frequency, Qt.Key.Key_Escape)
    assert view.hasFocus()
    before = panel.edits.history.steps
    for _ in range(3):
        press_key(view, Qt.Key.Key_Left, is_repeat=True)
    release_key(view, Qt.Key.Key_Left)
    assert panel.draft.known[0].x == pytest.approx(middle.x() + 4.4)
    assert panel.edits.history.steps == before + 1
    assert "known point 1" in view.accessibleDescription()
    tap_key(view, Qt.Key.Key_Delete)
    assert panel.draft.known == ()
    tap_key(panel, Qt.Key.Key_Escape)
    assert panel.isVisible()
    tap_key(view, Qt.Key.Key_6)
    assert panel.tool_buttons["area"].isChecked()
    tap_key(view, Qt.Key.Key_Return)
    for _ in range(8):
        tap_key(view, Qt.Key.Key_Right, SHIFT)
        tap_key(view, Qt.Key.Key_Down, SHIFT)
    tap_key(view, Qt.Key.Key_Return)
    x0, y0, x1, y1 = panel.draft.region
    assert (x1 - x0, y1 - y0) == pytest.approx((40, 40))
    tap_key(view, Qt.Key.Key_N)
    assert view.accessibleDescription().startswith("upper left corner of the search area")
    tap_key(view, Qt.Key.Key_P)
    tap_key(view, Qt.Key.Key_Backspace)
    assert panel.draft.region is None


def test_each_step_in_the_window_is_undone_and_redone_by_keys(panel, qtbot):
    mark_axes(panel, qtbot, CROSSINGS[:1])
    marked = panel.draft
    qtbot.keyClick(panel, Qt.Key.Key_Z, CTRL)
    assert panel.draft.known[0].value is None
    qtbot.keyClick(panel, Qt.Key.Key_Z, CTRL)
    qtbot.keyClick(panel, Qt.Key.Key_Z, CTRL)
    assert panel.draft.known == ()
    assert not panel.undo_button.isEnabled()
    for _ in range(3):
        qtbot.mouseClick(panel.redo_button, Qt.MouseButton.LeftButton)
    assert panel.draft == marked


def test_what_is_typed_wrong_stays_with_its_reason(panel, qtbot):
    click(panel, QPointF(100, 100))
    type_into(qtbot, panel.editor.frequency, "soon")
    tap_key(panel.editor.frequency, Qt.Key.Key_Return)
    assert panel.editor.frequency.hasFocus()
    assert "not a frequency" in panel.editor.frequency.toolTip()
    type_into(qtbot, panel.editor.value, "0.5")
    tap_key(panel.editor.value, Qt.Key.Key_Return)
    click(panel, QPointF(200, 100))
    type_into(qtbot, panel.editor.value, "3,5")
    tap_key(panel.editor.value, Qt.Key.Key_Return)
    assert panel.draft.known[1].value == 3.5
    assert "too few" in panel.status.text() or "does not exist" in panel.status.text()
    assert not panel.accept_button.isEnabled()


def test_corners_are_drawn_dragged_and_seen_straight(panel, qtbot):
    choose(panel, qtbot, "square")
    mouse = Mouse(panel.view)
    assert not panel.preview.isVisible()
    mouse.drag([at(panel, 80, 60), at(panel, 200, 100), at(panel, 300, 200)])
    assert np.array(panel.draft.corners) == pytest.approx(
        np.array([(80, 60), (300, 60), (300, 200), (80, 200)]), abs=0.01
    )
    assert panel.preview.isVisible()
    flat = panel.preview.grab().toImage()
    mouse.drag([at(panel, 300, 60), at(panel, 340, 30), at(panel, 348, 22)])
    # The frame's corner is at (350.5, 20.5).
    assert panel.draft.corners[1] == pytest.approx((350.5, 20.5), abs=0.7)
    assert panel.preview.grab().toImage() != flat
    qtbot.keyClick(panel, Qt.Key.Key_Z, CTRL)
    assert panel.draft.corners[1] == pytest.approx((300, 60), abs=0.01)
    tap_key(panel.view, Qt.Key.Key_N)
    tap_key(panel.view, Qt.Key.Key_Delete)
    assert panel.draft.corners is None
    assert not panel.preview.isVisible()


def test_a_span_is_left_out_and_points_are_added_by_hand(window, panel, qtbot):
    trace(window, panel, qtbot)
    whole = panel.view.grab().toImage()
    choose(panel, qtbot, "erase")
    Mouse(panel.view).drag([at(panel, 240, 100), at(panel, 260, 150), at(panel, 300, 255)])
    ready(window, qtbot)
    assert len(panel.draft.curves[0].erased) == 1
    assert panel.view.grab().toImage() != whole
    choose(panel, qtbot, "hand")
    for hz in (52.6e6, 52.7e6):
        click(panel, painted.place_on(hz))
    qtbot.mouseClick(panel.run_button, Qt.MouseButton.LeftButton)
    for hz in (52.8e6, 52.9e6):
        click(panel, painted.place_on(hz))
    assert [len(run) for run in panel.draft.curves[0].hand] == [2, 2]
    ready(window, qtbot)
    accept(window, panel, qtbot)
    (entry,) = window.document.bench.entries
    low_hz, high_hz = (50e6 + (x - 50.5) * 1e4 for x in (240, 300))
    hz = entry.sweep.frequency_hz
    assert not ((hz > low_hz + 1e4) & (hz < high_hz - 1e4)).any()
    assert entry.sweep.traced.lost_after
    choose(panel, qtbot, "erase")
    mouse = Mouse(panel.view)
    mouse.drag([at(panel, 300, 255), at(panel, 280, 250), at(panel, 270, 250)])
    assert panel.draft.curves[0].erased[0][2] == pytest.approx(270, abs=0.1)


def test_two_curves_are_two_sweeps_and_are_mended_together(window, qtbot, tmp_path, tracing):
    file = tmp_path / "two.png"
    painted.painted(BEST_HZ, 51.0e6).save(str(file))
    assert drop(window, QPointF(400, 300), files=[file])
    ready(window, qtbot)
    panel = tracing.sessions[-1].panel
    trace(window, panel, qtbot, 52.6e6)
    qtbot.mouseClick(panel.form.add_button, Qt.MouseButton.LeftButton)
    click(panel, painted.place_on(50.3e6, 51.0e6))
    panel.form.curves.item(1).setText("short")
    ready(window, qtbot)
    accept(window, panel, qtbot)
    assert labels(window) == ["two 1", "short"]
    assert len(window.document.bench.pictures) == 1
    window.edits.rename(key_of(window, "two 1"), "long")
    window.edits.set_condition(key_of(window, "long"), "dry")
    panel.close()
    run_events()
    select(window, "long")
    assert window.commands["edit-tracing"].isEnabled()
    window.commands["edit-tracing"].trigger()
    ready(window, qtbot)
    again = tracing.sessions[-1].panel
    assert [one.name for one in again.draft.curves] == ["long", "short"]
    assert again.accept_button.isEnabled()
    again.form.curves.setCurrentRow(1)
    qtbot.mouseClick(again.form.remove_button, Qt.MouseButton.LeftButton)
    ready(window, qtbot)
    accept(window, again, qtbot)
    assert labels(window) == ["long"]
    assert window.document.bench.entries[0].condition == "dry"
    assert window.document.undo_stack.undoText() == 'Mend the tracing of "two.png"'
    window.commands["undo"].trigger()
    assert labels(window) == ["long", "short"]


def choose_kind(panel, kind):
    panel.form.kind.setFocus()
    while panel.form.kind.currentData() != kind:
        tap_key(panel.form.kind, Qt.Key.Key_Down)


def scaled(best_hz, hz, low, high):
    """The number at the height of a painted curve on an axis from the lowest to the highest row."""
    return low + (high - low) * (painted.ratio_of(hz, best_hz) - 1) / (painted.HIGHEST_SWR - 1)


def as_impedance(r, x):
    z = r + 1j * x
    return (z - 50) / (z + 50)


@pytest.mark.parametrize(
    ("first", "second", "ends", "reflection"),
    [
        ("swr", "phase_deg", (1, 4, -90, 90), lambda s, p: (s - 1) / (s + 1) * np.exp(1j * p)),
        ("resistance_ohm", "reactance_ohm", (20, 140, -60, 90), as_impedance),
    ],
)
def test_two_curves_of_one_name_become_one_complex_sweep(
    window, qtbot, tmp_path, tracing, first, second, ends, reflection
):
    file = tmp_path / "both.png"
    painted.painted(BEST_HZ, 51.0e6).save(str(file))
    window.load([str(file)])
    ready(window, qtbot)
    panel = tracing.sessions[-1].panel
    choose_kind(panel, first)
    mark_axes(panel, qtbot, ((50e6, ends[0]), (53e6, ends[1])), rows=(1.0, 4.0))
    choose(panel, qtbot, "curve")
    click(panel, painted.place_on(52.6e6))
    qtbot.mouseClick(panel.form.add_button, Qt.MouseButton.LeftButton)
    choose_kind(panel, second)
    choose(panel, qtbot, "known")
    mark_axes(panel, qtbot, ((51e6, ends[2]), (52e6, ends[3])), rows=(1.0, 4.0))
    choose(panel, qtbot, "curve")
    click(panel, painted.place_on(50.3e6, 51.0e6))
    for row in (0, 1):
        panel.form.curves.item(row).setText("roof")
    ready(window, qtbot)
    accept(window, panel, qtbot)
    assert labels(window) == ["roof"]
    sweep = window.document.bench.entries[0].sweep
    hz = sweep.frequency_hz
    one, other = scaled(BEST_HZ, hz, *ends[:2]), scaled(51.0e6, hz, *ends[2:])
    true = reflection(one, np.radians(other) if second == "phase_deg" else other)
    is_shown = (painted.ratio_of(hz, BEST_HZ) < 3.9) & (painted.ratio_of(hz, 51.0e6) < 3.9)
    assert is_shown.sum() > 100
    assert np.abs(sweep.reflection - true)[is_shown].max() < 0.03


def test_closing_with_marks_offers_to_go_on(window, panel, qtbot, tracing):
    click(panel, QPointF(100, 100))
    tap_key(panel.editor.frequency, Qt.Key.Key_Escape)
    qtbot.mouseClick(panel.close_button, Qt.MouseButton.LeftButton)
    assert not panel.isVisible()
    assert window.messages.lines == ['the marks on "review.png" are not on the bench as a sweep']
    qtbot.mouseClick(window.messages.offer_buttons[0], Qt.MouseButton.LeftButton)
    assert panel.isVisible()
    qtbot.mouseClick(panel.undo_button, Qt.MouseButton.LeftButton)
    panel.close()
    run_events()
    assert tracing.sessions == []


def test_closing_the_main_window_asks_before_marks_are_lost(window, panel, qtbot, questions):
    click(panel, QPointF(100, 100))
    tap_key(panel.editor.frequency, Qt.Key.Key_Escape)
    panel.close()
    questions.answer = "cancel"
    window.close()
    assert window.isVisible()
    assert panel.isVisible()
    assert questions == [("review.png",)]
    qtbot.mouseClick(panel.undo_button, Qt.MouseButton.LeftButton)
    window.close()
    assert not window.isVisible()
    assert len(questions) == 1


@pytest.mark.parametrize(("key", "goes"), [(Qt.Key.Key_Return, False), (Qt.Key.Key_D, True)])
def test_the_question_about_marks_is_answered_by_keys(window, qtbot, monkeypatch, key, goes):
    monkeypatch.undo()
    said = []

    def press():
        box = QApplication.activeModalWidget()
        said.append(box.text())
        qtbot.keyClick(box, key, Qt.KeyboardModifier.AltModifier if goes else NO_MODIFIER)

    QTimer.singleShot(200, press)
    assert MarksQuestion.discards(window, ["a.png", "b.png"][: 1 + goes]) is goes
    where = "2 pictures" if goes else '"a.png"'
    assert said == [f"Discard the marks on {where} before closing?"]
    run_events()


def test_a_poor_curve_is_shown_with_its_reason_and_cannot_be_accepted(
    window, qtbot, tmp_path, tracing
):
    image = painted.painted(BEST_HZ)
    painter = QPainter(image)
    painter.fillRect(100, 0, 200, painted.HEIGHT, QColor("white"))
    painter.end()
    file = tmp_path / "poor.png"
    assert image.save(str(file))
    window.load([str(file)])
    ready(window, qtbot)
    panel = tracing.sessions[-1].panel
    trace(window, panel, qtbot, 50.2e6, 52.8e6)
    assert "Too poor for a sweep: 6" in panel.status.text()
    assert panel.draft.curves[0].clicks
    assert not panel.accept_button.isEnabled()
    choose(panel, qtbot, "hand")
    for hz in np.arange(50.3e6, 52.7e6, 0.1e6):
        click(panel, painted.place_on(hz))
    ready(window, qtbot)
    assert "oo poor" not in panel.status.text()
    assert panel.accept_button.isEnabled()


def test_what_cannot_be_opened_is_one_line(window, qtbot, tmp_path, tracing, monkeypatch):
    pdf, cut = tmp_path / "page.pdf", tmp_path / "cut.png"
    pdf.write_bytes(b"%PDF-1.4 page")
    painted.painted(BEST_HZ).save(str(cut))
    cut.write_bytes(cut.read_bytes()[:-300])
    window.load([str(pdf)])
    ready(window, qtbot)
    monkeypatch.setattr(FileChooser, "picture_to_trace", lambda *_: str(cut))
    window.commands["trace-picture"].trigger()
    ready(window, qtbot)
    QGuiApplication.clipboard().setText("no picture")
    window.commands["trace-copied"].trigger()
    run_events()
    assert tracing.sessions == []
    lines = window.messages.lines
    assert "no picture on the clipboard" in lines[0]
    assert "damaged or cut off" in lines[1]
    assert "PDF" in lines[2]


def test_a_picture_is_pasted_or_dropped_as_such(window, qtbot, tracing):
    image = painted.painted(BEST_HZ)
    QGuiApplication.clipboard().setImage(image)
    qtbot.keyClick(window, Qt.Key.Key_V, CTRL)
    ready(window, qtbot)
    assert len(tracing.sessions) == 1
    data = QMimeData()
    data.setImageData(image)
    assert drop_data(window, QPointF(400, 300), data)
    ready(window, qtbot)
    assert len(tracing.sessions) == 2
    assert tracing.sessions[1].panel.windowTitle() == "Trace a picture: copied picture"


def test_the_wheel_zooms_and_a_drag_pans(panel):
    view = panel.view
    spot = at(panel, 100, 100)
    before = view.zoom_scale
    Mouse(view).wheel(spot, 2)
    assert view.zoom_scale == pytest.approx(before * 1.25**2)
    assert at(panel, 100, 100) == spot
    Mouse(view).drag([QPointF(300, 300), QPointF(320, 310), QPointF(340, 320)])
    assert (at(panel, 100, 100) - spot) == QPointF(40, 20)
    assert panel.draft.known == ()
    tap_key(view, Qt.Key.Key_0)
    assert view.zoom_scale == pytest.approx(before)
    tap_key(view, Qt.Key.Key_Right, CTRL)
    tap_key(view, Qt.Key.Key_Plus)
    assert view.zoom_scale > before


def test_the_axes_and_the_tolerance_are_chosen_in_fields(window, panel, qtbot):
    trace(window, panel, qtbot)
    form = panel.form
    for box, wanted in ((form.kind, "return_loss_db"), (form.scale, "free")):
        box.setFocus()
        while box.currentData() != wanted:
            tap_key(box, Qt.Key.Key_Down)
    assert {one.kind for one in panel.draft.known} == {"return_loss_db"}
    assert panel.draft.curves[0].kind == "return_loss_db"
    assert panel.draft.scale("return_loss_db") == "free"
    qtbot.keyClick(panel, Qt.Key.Key_Z, CTRL)
    form.tolerance.setFocus()
    tap_key(form.tolerance, Qt.Key.Key_Right)
    assert panel.draft.curves[0].tolerance == pytest.approx(1.1)
    form.frequency_scale.setFocus()
    tap_key(form.frequency_scale, Qt.Key.Key_Down)
    assert panel.draft.frequency_scale == "log"
    form.known.setFocus()
    qtbot.mouseClick(
        form.known.viewport(),
        Qt.MouseButton.LeftButton,
        pos=form.known.visualItemRect(form.known.item(0)).center(),
    )
    assert panel.editor.isVisible()
    assert panel.editor.frequency.text() == "50"


def test_a_saved_bench_brings_the_tracing_back(window, panel, qtbot, tmp_path, monkeypatch):
    trace(window, panel, qtbot)
    accept(window, panel, qtbot)
    marked = panel.draft
    panel.close()
    file = tmp_path / "traced.fairlead"
    monkeypatch.setattr(FileChooser, "bench_to_write", lambda *_: str(file))
    window.commands["save-as"].trigger()
    qtbot.waitUntil(lambda: not window.worker.is_busy, timeout=10_000)
    run_events()
    Path(tmp_path / "review.png").unlink()
    before = window.document.bench.entries[0].sweep
    window.commands["new"].trigger()
    load(window, qtbot, [str(file)])
    assert labels(window) == ["review"]
    assert window.document.bench.entries[0].sweep == before
    select(window, "review")
    run_events()
    button = window.detail.findChild(QPushButton, "tracing")
    qtbot.mouseClick(button, Qt.MouseButton.LeftButton)
    ready(window, qtbot)
    again = window.handlers.tracing.sessions[-1].panel
    assert again.draft.known == marked.known
    assert again.accept_button.isEnabled()
    window.commands["edit-tracing"].trigger()
    ready(window, qtbot)
    assert len(window.handlers.tracing.sessions) == 1
