"""Fixtures with the real window: ``pytest_plugins = ["window_fixtures"]`` in a test module."""

from __future__ import annotations

import pytest
from PySide6.QtCore import QSettings, Qt, QTimer
from PySide6.QtGui import QPalette
from PySide6.QtWidgets import QApplication, QFileDialog, QLineEdit, QMessageBox
from window import load, run_events, write_sweep

from fairlead.app.files.settings import Settings
from fairlead.app.panels.unsaved_question import MarksQuestion, UnsavedQuestion
from fairlead.app.shell.window import MainWindow


def pytest_collection_modifyitems(items):
    """The platform without a screen warns of what it lacks: size hints, raising, grabbing keys."""
    for item in items:
        if "window" in getattr(item, "fixturenames", ()):
            item.add_marker(pytest.mark.qt_log_ignore("This plugin does not support"))


@pytest.fixture
def settings(tmp_path):
    """Settings in a file of the test's own."""
    return Settings(QSettings(str(tmp_path / "settings.ini"), QSettings.Format.IniFormat))


@pytest.fixture
def questions(monkeypatch):
    """What was asked about unsaved changes; a test sets ``questions.answer`` for another one.

    Marks on pictures are discarded where the answer is "discard".
    """

    class Questions(list):
        answer = "discard"

    asked = Questions()

    def ask(_cls, _parent, name, purpose):
        asked.append((name, purpose))
        return asked.answer

    def discards(_cls, _parent, names):
        asked.append(tuple(names))
        return asked.answer == "discard"

    monkeypatch.setattr(UnsavedQuestion, "ask", classmethod(ask))
    monkeypatch.setattr(MarksQuestion, "discards", classmethod(discards))
    return asked


@pytest.fixture
def window(qtbot, qapp, settings, questions):
    """The empty window, shown at 1280 x 800."""
    qapp.setStyle("Fusion")
    main = MainWindow(settings)
    main.resize(1280, 800)
    main.show()
    qtbot.waitExposed(main)
    main.activateWindow()
    run_events()
    yield main
    questions.answer = "discard"
    main.close()
    main.deleteLater()
    run_events()
    qapp.setStyleSheet("")
    qapp.setPalette(QPalette())


@pytest.fixture
def loaded(window, qtbot, tmp_path):
    """The window with three sweeps: "dry" (the reference), "wet" and "iced"."""
    paths = [
        write_sweep(tmp_path / "dry.s1p", 51e6),
        write_sweep(tmp_path / "wet.s1p", 50.6e6),
        write_sweep(tmp_path / "iced.s1p", 49.2e6, 45.0),
    ]
    load(window, qtbot, paths)
    return window


@pytest.fixture
def play(qtbot):
    """Types into the dialog that opens next; answers a question about replacing with "no"."""
    asked = []

    def refuse():
        box = QApplication.activeModalWidget()
        if isinstance(box, QMessageBox):
            asked.append(box.text())
            qtbot.keyClick(box, Qt.Key.Key_Escape)

    def type_name(text, tries=60):
        dialog = QApplication.activeModalWidget()
        if not isinstance(dialog, QFileDialog):
            assert tries
            QTimer.singleShot(150, lambda: type_name(text, tries - 1))
            return
        line = dialog.findChild(QLineEdit)
        line.setText("")
        qtbot.keyClicks(line, text)
        QTimer.singleShot(150, refuse)
        qtbot.keyClick(line, Qt.Key.Key_Return)
        run_events()
        if dialog.isVisible():
            dialog.reject()

    def begin(text):
        QTimer.singleShot(150, lambda: type_name(text))
        return asked

    return begin
