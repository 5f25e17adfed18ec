"""The picture: asked for in a panel with a preview, saved, copied, remembered."""

from __future__ import annotations

import re

import pytest
from mouse import Mouse
from PySide6.QtCore import QLocale, QPointF, Qt
from PySide6.QtGui import QImage
from PySide6.QtWidgets import QLabel
from window import CTRL, SHIFT, run_events, select, steps, type_into

from fairlead.app.panels.file_chooser import FileChooser
from fairlead.core.document.entry import Circumstances
from fairlead.core.document.picture_request import PictureRequest
from fairlead.core.errors import FairleadError

pytest_plugins = ["window_fixtures"]


@pytest.fixture
def panel(loaded, qtbot):
    qtbot.keyClick(loaded, Qt.Key.Key_E, CTRL)
    run_events()
    return loaded.handlers.pictures.panel


def answer(monkeypatch, path):
    monkeypatch.setattr(FileChooser, "picture_to_write", classmethod(lambda *_: str(path)))


def preview(panel):
    (label,) = [
        each
        for each in panel.findChildren(QLabel)
        if each.accessibleName() == "Preview of the picture"
    ]
    return label.pixmap()


def click(button):
    Mouse(button).click(QPointF(button.rect().center()))
    run_events()


def test_the_preview_follows_what_is_typed(panel, qtbot):
    before = preview(panel).toImage()
    assert before.width() / before.height() == pytest.approx(180 / 100, rel=0.01)
    type_into(qtbot, panel.title_field, "Roof antenna")
    qtbot.waitUntil(lambda: preview(panel).toImage() != before)
    panel.height_field.setValue(160)
    qtbot.waitUntil(
        lambda: (
            preview(panel).width() / preview(panel).height() == pytest.approx(180 / 160, rel=0.01)
        )
    )


def test_grey_leaves_no_colour_in_the_preview(panel, qtbot):
    def is_grey(image):
        colours = [
            image.pixelColor(x, y)
            for x in range(0, image.width(), 3)
            for y in range(0, image.height(), 3)
        ]
        return all(
            max(c.red(), c.green(), c.blue()) - min(c.red(), c.green(), c.blue()) <= 2
            for c in colours
        )

    assert not is_grey(preview(panel).toImage())
    Mouse(panel.is_grey).click(QPointF(8, panel.is_grey.height() / 2))
    assert panel.is_grey.isChecked()
    qtbot.waitUntil(lambda: is_grey(preview(panel).toImage()))


def test_the_legend_says_as_much_as_is_chosen(loaded, panel, qtbot):
    before = preview(panel).toImage()
    key = loaded.document.bench.entries[0].key
    assert panel.legend_box.currentText() == "Name and condition"
    panel.legend_box.setFocus()
    qtbot.keyClick(panel.legend_box, Qt.Key.Key_Down)
    assert panel.request.legend == "date"
    loaded.edits.set_circumstances(key, Circumstances(taken_at="2026-05-14"))
    qtbot.keyClick(panel.legend_box, Qt.Key.Key_Up)
    qtbot.keyClick(panel.legend_box, Qt.Key.Key_Down)
    qtbot.waitUntil(lambda: preview(panel).toImage() != before)


def test_saving_writes_the_file_in_the_size_asked_for(loaded, panel, qtbot, tmp_path, monkeypatch):
    answer(monkeypatch, tmp_path / "out.png")
    panel.width_field.setValue(120)
    panel.height_field.setValue(80)
    panel.dpi_field.setValue(150)
    type_into(qtbot, panel.caption_field, "Invented data")
    click(panel.save_button)
    image = QImage(str(tmp_path / "out.png"))
    assert (image.width(), image.height()) == (round(120 / 25.4 * 150), round(80 / 25.4 * 150))
    assert loaded.handlers.pictures.panel is None
    assert loaded.messages.lines == [f"Saved {tmp_path / 'out.png'}"]
    # What was asked for belongs to the document, and is one step.
    assert loaded.document.bench.picture == PictureRequest(120, 80, 150, caption="Invented data")
    assert steps(loaded) == 2
    assert loaded.document.undo_stack.undoText() == "Change picture"


def test_no_name_leaves_the_panel_open(loaded, panel, monkeypatch):
    answer(monkeypatch, "")
    click(panel.save_button)
    assert panel.isVisible()
    assert loaded.messages.lines == []


@pytest.mark.parametrize("name", ["no ending", "out.jpeg", "missing folder/out.png"])
def test_a_picture_that_cannot_be_written_is_one_line(loaded, panel, tmp_path, monkeypatch, name):
    answer(monkeypatch, tmp_path / name)
    click(panel.save_button)
    assert len(loaded.messages.lines) == 1
    assert loaded.messages.property("level") == "error"
    assert list(tmp_path.glob("*.png")) == []


def test_closing_unchanged_is_no_step(loaded, panel, qtbot):
    qtbot.keyClick(panel, Qt.Key.Key_Escape)
    run_events()
    assert loaded.handlers.pictures.panel is None
    assert steps(loaded) == 1
    loaded.activateWindow()
    run_events()
    qtbot.keyClick(loaded, Qt.Key.Key_E, CTRL)
    assert loaded.handlers.pictures.panel is not None


def test_no_title_is_something_else_than_the_usual_one(panel):
    assert panel.request.title is None
    Mouse(panel.has_title).click(QPointF(8, panel.has_title.height() / 2))
    assert panel.request.title == ""
    assert not panel.title_field.isEnabled()


def test_what_was_asked_for_goes_with_the_bench_and_is_one_step(loaded, panel, qtbot):
    panel.width_field.setValue(90)
    type_into(qtbot, panel.title_field, "Old antenna")
    qtbot.keyClick(panel, Qt.Key.Key_Escape)
    run_events()
    assert steps(loaded) == 2
    assert loaded.document.bench.picture == PictureRequest(width_mm=90, title="Old antenna")
    loaded.activateWindow()
    run_events()
    qtbot.keyClick(loaded, Qt.Key.Key_Z, CTRL)
    assert loaded.document.bench.picture == PictureRequest()
    qtbot.keyClick(loaded, Qt.Key.Key_Y, CTRL)
    qtbot.keyClick(loaded, Qt.Key.Key_E, CTRL)
    run_events()
    again = loaded.handlers.pictures.panel
    assert again.width_field.value() == 90
    assert again.title_field.text() == "Old antenna"


def test_copy_puts_an_image_on_the_clipboard(loaded, qtbot, qapp):
    qtbot.keyClick(loaded, Qt.Key.Key_E, CTRL | SHIFT)
    image = qapp.clipboard().image()
    assert (image.width(), image.height()) == PictureRequest().size_px
    assert "Copied the picture" in loaded.messages.lines[0]


def test_a_picture_too_large_says_so(loaded, panel):
    panel.width_field.setValue(1200)
    panel.height_field.setValue(1200)
    panel.dpi_field.setValue(2400)
    click(panel.copy_button)
    assert "too large" in loaded.messages.lines[0]


def test_what_cannot_be_drawn_is_said_in_the_panel(panel, qtbot, monkeypatch):
    def fails(*_):
        raise FairleadError("nothing fits", "make it larger")

    monkeypatch.setattr(panel, "_draw", fails)
    panel.height_field.setValue(61)
    qtbot.waitUntil(lambda: panel.problem == "nothing fits; make it larger")
    assert not panel.save_button.isEnabled()
    assert not panel.copy_button.isEnabled()


def test_hidden_sweeps_only_leave_nothing_to_draw(loaded, qtbot):
    select(loaded, "dry", "wet", "iced")
    loaded.commands["toggle"].trigger()
    qtbot.keyClick(loaded, Qt.Key.Key_E, CTRL)
    run_events()
    panel = loaded.handlers.pictures.panel
    assert panel is not None
    assert panel.problem or not preview(panel).isNull()


def test_a_picture_is_never_written_over_a_measured_file(panel, loaded, tmp_path, monkeypatch):
    before = (tmp_path / "dry.s1p").read_bytes()
    (tmp_path / "out.png").symlink_to(tmp_path / "dry.s1p")
    answer(monkeypatch, tmp_path / "out.png")
    click(panel.save_button)
    assert (tmp_path / "dry.s1p").read_bytes() == before
    assert "never written over" in loaded.messages.lines[0]


@pytest.fixture
def comma_locale():
    """A system where the comma is the decimal sign and the point parts thousands."""
    before = QLocale()
    QLocale.setDefault(QLocale("de_DE"))
    yield
    QLocale.setDefault(before)


@pytest.mark.usefixtures("comma_locale")
@pytest.mark.parametrize(
    ("typed", "width_mm"),
    [("85.5", 85.5), ("85,5", 85.5), ("85,5 mm", 85.5), ("1.200", None), ("120", 120)],
)
def test_typed_numbers_mean_the_same_in_every_locale(panel, qtbot, typed, width_mm):
    type_into(qtbot, panel.width_field, typed)
    qtbot.keyClick(panel.width_field, Qt.Key.Key_Tab)
    run_events()
    if width_mm is None:
        assert "out of range" in panel.width_field.problem
    else:
        assert panel.request.width_mm == width_mm
        assert panel.width_field.text() == f"{width_mm:g} mm"


def test_a_number_that_may_be_two_is_explained_and_nothing_is_saved(panel, qtbot):
    type_into(qtbot, panel.width_field, "1,200")
    qtbot.waitUntil(lambda: "may be 1.2 or 1200" in panel.problem)
    assert not panel.save_button.isEnabled()
    assert not panel.copy_button.isEnabled()
    assert panel.request.width_mm == 180
    qtbot.keyClick(panel.width_field, Qt.Key.Key_Escape)
    qtbot.waitUntil(lambda: panel.problem == "")
    assert panel.width_field.text() == "180 mm"
    assert panel.save_button.isEnabled()


def test_arrow_and_page_keys_change_a_number_by_steps(panel, qtbot):
    for key, wanted in (
        (Qt.Key.Key_Up, 185),
        (Qt.Key.Key_PageUp, 235),
        (Qt.Key.Key_Down, 230),
        (Qt.Key.Key_PageDown, 180),
    ):
        qtbot.keyClick(panel.width_field, key)
        assert panel.request.width_mm == wanted


def test_without_paper_the_preview_is_transparent_and_the_choice_is_kept(panel, loaded, qtbot):
    assert preview(panel).toImage().pixelColor(2, 2).alpha() == 255
    Mouse(panel.is_transparent).click(QPointF(8, panel.is_transparent.height() / 2))
    qtbot.waitUntil(lambda: preview(panel).toImage().pixelColor(2, 2).alpha() == 0)
    panel.reject()
    assert loaded.document.bench.picture.transparent
    loaded.commands["undo"].trigger()
    assert not loaded.document.bench.picture.transparent


def test_the_panel_says_which_height_shows_all(loaded, qtbot):
    for _ in range(4):
        loaded.commands["select-all"].trigger()
        loaded.commands["duplicate"].trigger()
    assert len(loaded.document.bench.entries) == 48
    loaded.commands["export-picture"].trigger()
    panel = loaded.handlers.pictures.panel
    said = re.fullmatch(
        r"\d+ of 48 sweeps have no room here and are not drawn; a height of (\d+) mm shows all\.",
        panel.note,
    )
    assert panel.save_button.isEnabled()
    click(panel.copy_button)
    assert loaded.messages.lines[-1] == panel.note
    panel.height_field.setValue(float(said[1]))
    qtbot.waitUntil(lambda: panel.note == "", timeout=20_000)
    panel.reject()
