"""Band > Own bands from a file: offered below the published ones, kept, chosen by the mouse."""

from __future__ import annotations

from PySide6.QtCore import Qt
from window import run_events

from fairlead.app.panels.file_chooser import FileChooser
from fairlead.app.shell.window import MainWindow

pytest_plugins = ["window_fixtures"]


def offered(window):
    box = window.band_panel.band_box
    return [box.itemText(i) for i in range(box.count())]


def test_they_are_offered_chosen_and_kept(loaded, qtbot, settings, monkeypatch, tmp_path):
    path = tmp_path / "plan.txt"
    path.write_text("Club net = 50.1 - 50.3 MHz\n", encoding="utf-8")
    answers = [str(path), "", str(tmp_path / "dry.s1p")]
    monkeypatch.setattr(FileChooser, "bands_to_read", classmethod(lambda *_: answers.pop(0)))
    loaded.commands["own-bands"].trigger()
    assert offered(loaded)[-1] == "Club net"
    box = loaded.band_panel.band_box
    box.setFocus()
    qtbot.keyClick(box, Qt.Key.Key_End)
    run_events()
    assert loaded.document.bench.band.name == "Club net"
    assert loaded.figures_title.full_text.startswith("Club net: 50.1 – 50.3 MHz")
    loaded.commands["undo"].trigger()
    assert not loaded.document.bench.has_own_band
    # Cancelled, and a file that holds none: nothing changes.
    loaded.commands["own-bands"].trigger()
    loaded.commands["own-bands"].trigger()
    assert "dry.s1p:2" in loaded.messages.lines[-1]
    other = MainWindow(settings)
    assert offered(other)[-1] == "Club net"
    other.close()
    settings.own_bands = ()
    assert settings.own_bands == ()


def test_a_damaged_setting_counts_as_none(settings):
    settings._store.setValue("work/own-bands", "no band")
    assert settings.own_bands == ()
