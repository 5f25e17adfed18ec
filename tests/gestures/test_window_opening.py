"""Sweeps come in by drop, menu, command line and button; what cannot be read costs one line."""

from __future__ import annotations

import threading

import pytest
from mouse import Mouse
from PySide6.QtCore import QMimeData, QPointF, Qt
from PySide6.QtWidgets import QApplication
from window import CTRL, cell, drop, drop_data, key_of, labels, load, run_events, steps, write_sweep

import fairlead.core.reading
from fairlead.app.look.resources import sample_files
from fairlead.app.panels.file_chooser import FileChooser

pytest_plugins = ["window_fixtures"]


def middle_of(widget, window):
    return QPointF(widget.mapTo(window, widget.rect().center()))


def test_the_command_line_loads_behind_the_shown_window_as_one_step(window, qtbot, tmp_path):
    paths = [write_sweep(tmp_path / f"unit {i}.s1p", 50e6 + i * 1e5) for i in range(3)]
    assert window.empty_page.isVisible()
    load(window, qtbot, paths)
    assert labels(window) == ["unit 0", "unit 1", "unit 2"]
    assert steps(window) == 1
    assert window.document.undo_stack.undoText() == "Add 3 sweeps"
    assert window.commands["undo"].text() == "&Undo Add 3 sweeps"
    assert window.windowTitle() == "Unnamed bench[*] – Fairlead"
    assert window.isWindowModified()
    assert not window.empty_page.isVisible()
    # f0 of a series circuit is where its reactance is zero: the closed form of the file itself.
    assert cell(window, "unit 2", "resonance") == "50.200"


def test_undoing_the_load_brings_the_empty_page_back(loaded, qtbot):
    qtbot.keyClick(loaded, Qt.Key.Key_Z, CTRL)
    assert loaded.document.bench.entries == ()
    assert loaded.empty_page.isVisible()
    assert not loaded.isWindowModified()
    qtbot.keyClick(loaded, Qt.Key.Key_Y, CTRL)
    assert labels(loaded) == ["dry", "wet", "iced"]


def test_files_dropped_on_the_empty_page_load(window, qtbot, tmp_path):
    path = write_sweep(tmp_path / "roof.s1p")
    with qtbot.waitSignal(window.loader.ended):
        assert drop(window, QPointF(640, 400), files=[path])
    assert labels(window) == ["roof"]
    assert steps(window) == 1


@pytest.mark.parametrize(
    "name", ["frequency_plot", "smith_plot", "sweep_list", "figures", "band_panel"]
)
def test_files_can_be_dropped_on_any_part_of_the_window(loaded, qtbot, tmp_path, name):
    path = write_sweep(tmp_path / "new.s1p")
    with qtbot.waitSignal(loaded.loader.ended):
        assert drop(loaded, middle_of(getattr(loaded, name), loaded), files=[path])
    assert labels(loaded)[-1] == "new"
    assert steps(loaded) == 2


def test_a_dropped_folder_gives_every_sweep_in_it(window, qtbot, tmp_path):
    folder = tmp_path / "kit"
    (folder / "second day").mkdir(parents=True)
    write_sweep(folder / "unit 10.s1p", 50e6)
    write_sweep(folder / "unit 2.s1p", 51e6)
    write_sweep(folder / "second day" / "unit 1.s1p", 52e6)
    with qtbot.waitSignal(window.loader.ended):
        drop(window, QPointF(640, 400), files=[folder])
    assert labels(window) == ["unit 2", "unit 10", "unit 1"]
    assert steps(window) == 1


def test_an_address_of_the_web_is_left_out_with_one_message(window, qtbot, tmp_path):
    path = write_sweep(tmp_path / "roof.s1p")
    with qtbot.waitSignal(window.loader.ended):
        drop(
            window,
            QPointF(640, 400),
            files=[path],
            urls=["https://example.org/a.s1p", "https://example.org/b.s1p"],
        )
    assert labels(window) == ["roof"]
    (line,) = window.messages.lines
    assert line.startswith("2 items that are not files")


def test_text_is_not_taken_for_a_file(loaded):
    data = QMimeData()
    data.setText("50 MHz")
    assert not drop_data(loaded, middle_of(loaded.figures, loaded), data)


def test_a_broken_file_costs_one_line_and_the_others_load(window, qtbot, tmp_path):
    good = write_sweep(tmp_path / "good.s1p")
    broken = tmp_path / "broken.s1p"
    broken.write_text("# MHz S RI R 50\n50 0.1 0.2\n51 0.1\n52 0.1 0.2\n", encoding="utf-8")
    load(window, qtbot, [str(broken), good, str(tmp_path / "missing.s1p")])
    assert labels(window) == ["good"]
    assert steps(window) == 1
    assert len(window.messages.lines) == 2
    assert window.messages.lines[0].startswith(f"{broken}:3: ")
    assert window.messages.isVisible()
    assert window.messages.property("level") == "error"
    assert QApplication.activeModalWidget() is None


def test_messages_unfold_are_copied_and_closed(window, qtbot, qapp, tmp_path):
    load(window, qtbot, [str(tmp_path / f"missing {i}.s1p") for i in range(3)])
    bar = window.messages
    assert bar.more_button.text() == "2 more"
    Mouse(bar.more_button).click(QPointF(5, 5))
    assert bar._list.isVisible()
    assert [bar._list.item(i).text() for i in range(3)] == bar.lines
    Mouse(bar.copy_button).click(QPointF(5, 5))
    assert qapp.clipboard().text().splitlines() == bar.lines
    Mouse(bar.close_button).click(QPointF(5, 5))
    assert not bar.isVisible()
    assert bar.lines == []


def test_the_newest_message_stands_first(window, qtbot, tmp_path):
    load(window, qtbot, [str(tmp_path / "one.s1p")])
    load(window, qtbot, [str(tmp_path / "two.s1p")])
    assert "two.s1p" in window.messages.lines[0]
    assert "one.s1p" in window.messages.lines[1]


def test_the_same_numbers_again_are_loaded_with_a_warning(loaded, qtbot, tmp_path):
    (tmp_path / "copy.s1p").write_bytes((tmp_path / "wet.s1p").read_bytes())
    load(loaded, qtbot, [str(tmp_path / "copy.s1p")])
    assert labels(loaded)[-1] == "copy"
    (line,) = loaded.messages.lines
    assert '"copy" has the same numbers as "wet"' in line
    assert loaded.messages.property("level") == "warning"


def test_open_asks_for_files_and_remembers_the_folder(window, qtbot, tmp_path, monkeypatch):
    path = write_sweep(tmp_path / "roof.s1p")
    monkeypatch.setattr(FileChooser, "files_to_open", classmethod(lambda *_: [path]))
    with qtbot.waitSignal(window.loader.ended):
        qtbot.keyClick(window, Qt.Key.Key_O, CTRL)
    assert labels(window) == ["roof"]
    assert window.settings.folder == str(tmp_path)


def test_an_answer_thought_better_of_changes_nothing(window, qtbot, monkeypatch):
    monkeypatch.setattr(FileChooser, "files_to_open", classmethod(lambda *_: []))
    monkeypatch.setattr(FileChooser, "folder_to_open", classmethod(lambda *_: ""))
    qtbot.keyClick(window, Qt.Key.Key_O, CTRL)
    window.commands["open-folder"].trigger()
    assert not window.loader.is_busy
    assert steps(window) == 0


def test_the_button_loads_the_invented_samples_in_their_band_as_one_step(window, qtbot):
    button = window.empty_page.samples_button
    with qtbot.waitSignal(window.loader.ended, timeout=20_000):
        Mouse(button).click(QPointF(button.rect().center()))
    run_events()
    assert len(labels(window)) == len(sample_files()) == 11
    assert window.document.bench.band.name == "6 m, Region 1"
    assert steps(window) == 1
    assert window.document.undo_stack.undoText() == "Add the club samples"
    qtbot.keyClick(window, Qt.Key.Key_Z, CTRL)
    assert window.document.bench.entries == ()


def test_samples_added_to_own_work_leave_its_band(loaded, qtbot):
    before = loaded.document.bench.band
    loaded.edits.set_band(before)
    with qtbot.waitSignal(loaded.loader.ended, timeout=20_000):
        loaded.commands["open-samples"].trigger()
    assert loaded.document.bench.band is before
    assert len(labels(loaded)) == 14


class Gate:
    """Lets the first file through and holds the second until it is opened."""

    def __init__(self):
        self.is_reached = threading.Event()
        self.opened = threading.Event()
        self._read = fairlead.core.reading.open_sweeps
        self.read = []

    def __call__(self, path):
        self.read.append(path)
        if len(self.read) == 2:
            self.is_reached.set()
            assert self.opened.wait(20)
        return self._read(path)


def test_a_long_load_shows_progress_and_cancel_keeps_the_bench(
    loaded, qtbot, tmp_path, monkeypatch
):
    gate = Gate()
    monkeypatch.setattr(fairlead.core.reading, "open_sweeps", gate)
    before = loaded.document.bench
    loaded.load([write_sweep(tmp_path / f"unit {i}.s1p") for i in range(40)])
    qtbot.waitUntil(gate.is_reached.is_set)
    qtbot.waitUntil(loaded.progress.isVisible)
    # The window lives while the worker reads: a click is served.
    Mouse(loaded.sweep_list.viewport()).click(QPointF(150, 20))
    assert loaded.view_state.selection == {key_of(loaded, "dry")}
    assert loaded.document.bench is before
    Mouse(loaded.progress.cancel_button).click(QPointF(8, 8))
    assert not loaded.progress.cancel_button.isEnabled()
    gate.opened.set()
    qtbot.waitUntil(lambda: not loaded.loader.is_busy)
    assert loaded.document.bench is before
    assert steps(loaded) == 1
    assert len(gate.read) == 2
    assert loaded.messages.lines == ["Reading was stopped; nothing was added"]
    assert not loaded.progress.isVisible()


def test_closing_the_window_ends_a_load(window, qtbot, tmp_path, monkeypatch):
    gate = Gate()
    monkeypatch.setattr(fairlead.core.reading, "open_sweeps", gate)
    window.load([write_sweep(tmp_path / f"unit {i}.s1p") for i in range(9)])
    qtbot.waitUntil(gate.is_reached.is_set)
    gate.opened.set()
    window.close()
    assert not window.loader.is_busy
    assert len(gate.read) < 9
    assert window.document.bench.entries == ()
