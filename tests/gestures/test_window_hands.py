"""Where the hand is: print with a preview, drag files out, the undo history, help on paper."""

from __future__ import annotations

import re
from pathlib import Path

import numpy as np
import pytest
from mouse import Mouse
from PySide6.QtCore import QPointF, Qt
from PySide6.QtGui import QGuiApplication, QImage, QPageSize
from PySide6.QtWidgets import QApplication
from window import ALT, CTRL, SHIFT, drop_data, key_of, labels, row_centre, run_events, steps

from fairlead.app.panels.dragging import Dragging
from fairlead.app.panels.print_preview import PrintChooser
from fairlead.core.reading.opening import open_sweeps

pytest_plugins = ["window_fixtures"]


@pytest.fixture
def to_file(monkeypatch):
    """Answers the system's print dialog with a file to print to, on a paper."""

    class Chosen:
        path = None
        paper = QPageSize.PageSizeId.A4

    given = Chosen()

    def ask(_cls, printer, _parent):
        if given.path is None:
            return False
        printer.setPageSize(QPageSize(given.paper))
        printer.setOutputFileName(str(given.path))
        return True

    monkeypatch.setattr(PrintChooser, "ask", classmethod(ask))
    return given


@pytest.fixture
def dragged(monkeypatch):
    """What was dragged out, as the other end sees it."""
    seen = []
    monkeypatch.setattr(
        Dragging, "start", classmethod(lambda _cls, _source, data, _picture: seen.append(data))
    )
    return seen


def box_of(path):
    (box,) = re.findall(rb"/MediaBox\s*\[([^\]]*)\]", path.read_bytes())
    return [float(number) for number in box.split()]


def printed_share(preview):
    """Width and height of what is printed as shares of the page, from the preview's pixels."""
    image = preview.grab().toImage().convertToFormat(QImage.Format.Format_Grayscale8)
    flat = np.frombuffer(image.constBits(), dtype=np.uint8)
    grey = flat.reshape(image.height(), image.bytesPerLine())[:, : image.width()]
    ys, xs = np.nonzero(grey > 252)
    page = grey[ys.min() : ys.max() + 1, xs.min() : xs.max() + 1]
    # Without the frame around the page.
    inside = page[4:-4, 4:-4] < 200
    rows, columns = np.nonzero(inside.any(axis=1))[0], np.nonzero(inside.any(axis=0))[0]
    return (
        (columns[-1] - columns[0]) / page.shape[1],
        (rows[-1] - rows[0]) / page.shape[0],
    )


# On paper


def test_the_picture_is_previewed_at_true_size_and_printed(loaded, qtbot, to_file, tmp_path):
    qtbot.keyClick(loaded, Qt.Key.Key_P, CTRL)
    preview = loaded.handlers.paper.shown
    assert preview.isVisible()
    assert preview.across.isChecked()
    run_events(6)
    # 180 x 100 mm, 2 mm of margin each, on A4 across: ISO 216, 297 x 210 mm.
    wide, high = printed_share(preview.preview)
    assert wide == pytest.approx(176 / 297, abs=0.03)
    assert high == pytest.approx(96 / 210, abs=0.03)
    qtbot.mouseClick(preview.print_button, Qt.MouseButton.LeftButton)
    assert preview.isVisible()  # the dialog was cancelled
    to_file.path = tmp_path / "paper.pdf"
    qtbot.mouseClick(preview.print_button, Qt.MouseButton.LeftButton)
    assert box_of(to_file.path) == pytest.approx([0, 0, 842, 595], abs=1)
    assert loaded.messages.lines == [f"Printed to {to_file.path}"]
    assert loaded.handlers.paper.shown is None
    assert steps(loaded) == 1


def test_upright_turns_the_page(loaded, qtbot, to_file, tmp_path):
    loaded.commands["print-picture"].trigger()
    preview = loaded.handlers.paper.shown
    preview.upright.click()
    run_events(6)
    wide, _ = printed_share(preview.preview)
    assert wide == pytest.approx(176 / 210, abs=0.03)
    to_file.path = tmp_path / "paper.pdf"
    qtbot.mouseClick(preview.print_button, Qt.MouseButton.LeftButton)
    assert box_of(to_file.path) == pytest.approx([0, 0, 595, 842], abs=1)


def test_the_report_takes_the_paper_of_the_printer(loaded, qtbot, to_file, tmp_path):
    qtbot.keyClick(loaded, Qt.Key.Key_P, CTRL | SHIFT)
    preview = loaded.handlers.paper.shown
    assert preview.upright.isChecked()
    to_file.path, to_file.paper = tmp_path / "page.pdf", QPageSize.PageSizeId.Letter
    qtbot.mouseClick(preview.print_button, Qt.MouseButton.LeftButton)
    assert box_of(to_file.path) == pytest.approx([0, 0, 612, 792], abs=1)


def test_an_original_is_not_printed_over(loaded, qtbot, to_file, tmp_path):
    before = (tmp_path / "dry.s1p").read_bytes()
    loaded.commands["print-picture"].trigger()
    preview = loaded.handlers.paper.shown
    to_file.path = tmp_path / "dry.s1p"
    qtbot.mouseClick(preview.print_button, Qt.MouseButton.LeftButton)
    assert "originals are never written over" in preview.problem.text()
    assert (tmp_path / "dry.s1p").read_bytes() == before
    preview.reject()


def test_without_a_sweep_shown_there_is_nothing_to_print(loaded):
    loaded.edits.set_visible(
        [entry.key for entry in loaded.document.bench.entries], is_visible=False
    )
    for name in ("print-picture", "print-report"):
        loaded.commands[name].trigger()
        assert loaded.handlers.paper.shown is None
        assert "there is no sweep" in loaded.messages.lines[-1]


def test_the_sheet_of_keys_is_copied_and_printed(loaded, qtbot, to_file, tmp_path):
    qtbot.keyClick(loaded, Qt.Key.Key_F1)
    page = loaded.handlers.help.shown
    qtbot.mouseClick(page.copy_button, Qt.MouseButton.LeftButton)
    text = QGuiApplication.clipboard().text()
    assert "Show alone, or as before" in text
    assert "Ctrl+Shift+H" in text
    assert "<table" in QGuiApplication.clipboard().mimeData().html()
    qtbot.mouseClick(page.print_button, Qt.MouseButton.LeftButton)
    preview = loaded.handlers.paper.shown
    to_file.path = tmp_path / "keys.pdf"
    qtbot.mouseClick(preview.print_button, Qt.MouseButton.LeftButton)
    assert to_file.path.read_bytes().startswith(b"%PDF")


# Out of the window


def drag_row(window, label):
    at = row_centre(window, label)
    path = [at, at + QPointF(0, 5), at + QPointF(0, 30), at + QPointF(0, 40)]
    Mouse(window.sweep_list.viewport()).drag(path)


def test_a_row_is_dragged_out_as_the_file_it_was_read_from(loaded, dragged):
    drag_row(loaded, "wet")
    (data,) = dragged
    (url,) = data.urls()
    path = Path(url.toLocalFile())
    assert path.name == "wet.s1p"
    (reading,) = open_sweeps(path)
    measured = loaded.document.bench.entry(key_of(loaded, "wet")).measured
    assert np.allclose(reading.sweep.reflection, measured.reflection, atol=1e-9)
    assert steps(loaded) == 1
    # Another drag does not number the name.
    drag_row(loaded, "wet")
    assert Path(dragged[1].urls()[0].toLocalFile()).name == "wet.s1p"
    loaded.close()
    assert not path.exists()


def test_our_own_row_dropped_on_the_plots_is_not_read_again(loaded, dragged):
    drag_row(loaded, "wet")
    assert not drop_data(loaded, QPointF(700, 300), dragged[0])
    assert labels(loaded) == ["dry", "wet", "iced"]
    assert steps(loaded) == 1


def test_the_preview_of_the_picture_is_dragged_out_as_a_file(loaded, dragged):
    loaded.commands["export-picture"].trigger()
    panel = loaded.handlers.pictures.panel
    middle = QPointF(panel._preview.rect().center())
    Mouse(panel._preview).click(middle)
    assert dragged == []
    far = QPointF(QApplication.startDragDistance() + 2, 0)
    Mouse(panel._preview).drag([middle, middle + QPointF(1, 0), middle + far])
    (data,) = dragged
    image = QImage(data.urls()[0].toLocalFile())
    assert image.width() == round(180 * 300 / 25.4)
    assert data.hasImage()
    panel.reject()


# The undo history


def test_the_history_lists_the_steps_and_goes_where_it_is_clicked(loaded, qtbot):
    loaded.edits.set_condition(key_of(loaded, "wet"), "soaked")
    loaded.edits.set_limit(1.5)
    qtbot.keyClick(loaded, Qt.Key.Key_Z, CTRL | ALT)
    history = loaded.handlers.sweeps.history
    assert history.isVisible()
    texts = [history.steps.item(row).text() for row in range(history.steps.count())]
    assert texts == ["As opened", "Add 3 sweeps", "Change condition", "Change SWR limit"]
    assert history.steps.currentRow() == 3
    at = QPointF(history.steps.visualItemRect(history.steps.item(1)).center())
    Mouse(history.steps.viewport()).click(at)
    assert loaded.document.bench.limit_swr == 2.0
    assert loaded.document.bench.entry(key_of(loaded, "wet")).condition == ""
    assert [history.steps.item(row).font().italic() for row in range(4)] == [
        False,
        False,
        True,
        True,
    ]
    qtbot.keyClick(history.steps, Qt.Key.Key_Down)
    assert loaded.document.bench.entry(key_of(loaded, "wet")).condition == "soaked"
    loaded.commands["redo"].trigger()
    assert history.steps.currentRow() == 3
    loaded.commands["undo"].trigger()
    loaded.edits.set_limit(3.0)
    assert history.steps.count() == 4
    history.reject()


def test_a_click_in_the_history_ends_a_gesture_first(loaded):
    loaded.commands["history"].trigger()
    loaded.edits.begin_gesture()
    loaded.edits.drag_limit(1.5)
    history = loaded.handlers.sweeps.history
    history.steps.setCurrentRow(0)
    assert loaded.document.bench.entries == ()
    assert steps(loaded) == 0
    history.reject()
