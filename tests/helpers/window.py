"""What a user sees and does in the real window; its fixtures are in `window_fixtures`."""

from __future__ import annotations

import numpy as np
from circuits import SeriesCircuit
from PySide6.QtCore import QCoreApplication, QEvent, QMimeData, QPoint, QPointF, Qt, QUrl
from PySide6.QtGui import QDragEnterEvent, QDragMoveEvent, QDropEvent, QImage, QKeyEvent
from PySide6.QtWidgets import QApplication

NO_MODIFIER = Qt.KeyboardModifier.NoModifier
CTRL = Qt.KeyboardModifier.ControlModifier
SHIFT = Qt.KeyboardModifier.ShiftModifier
ALT = Qt.KeyboardModifier.AltModifier


def write_sweep(path, f0_hz=51e6, r_ohm=60.0, q=8.0, points=101, span_hz=(46e6, 58e6)):
    """A series circuit as a Touchstone file, R/I in hertz; the path as text comes back."""
    frequency_hz = np.linspace(*span_hz, points)
    gamma = SeriesCircuit(f0_hz, r_ohm, q).reflection(frequency_hz)
    rows = [
        f"{hz:.3f} {g.real:.12g} {g.imag:.12g}\n" for hz, g in zip(frequency_hz, gamma, strict=True)
    ]
    path.write_text("# Hz S RI R 50\n" + "".join(rows), encoding="utf-8")
    return str(path)


def load(window, qtbot, paths):
    """Load as the command line does, and wait until all is done."""
    with qtbot.waitSignal(window.loader.ended, timeout=20_000):
        window.load(paths)
    run_events()


def run_events(times=3):
    """Let posted events run, deleted widgets included."""
    for _ in range(times):
        QCoreApplication.processEvents()
        QCoreApplication.sendPostedEvents(None, QEvent.Type.DeferredDelete)


# What is seen


def key_of(window, label):
    """Key of the sweep with a name."""
    (key,) = [entry.key for entry in window.document.bench.entries if entry.label == label]
    return key


def labels(window):
    """Names in the list, from top to bottom."""
    model = window.sweep_model
    return [model.index(row, 0).data() for row in range(model.rowCount())]


def cell(window, label, column_id):
    """Text of a cell of the table of figures."""
    model = window.figures_model
    column = [spec.id for spec in model.specs].index(column_id)
    row = model.row_of(key_of(window, label))
    return model.index(row, column).data()


def steps(window):
    """Number of undo steps made."""
    return window.document.undo_stack.index()


def select(window, *names):
    """Select sweeps by name."""
    window.view_state.set_selection(frozenset(key_of(window, name) for name in names))


def row_centre(window, label):
    """Middle of a row of the list, on its viewport."""
    index = window.sweep_model.index(window.sweep_model.row_of(key_of(window, label)), 0)
    return QPointF(window.sweep_list.visualRect(index).center())


def share_of_colour(widget, colour, tolerance=40, part=None):
    """Share of the pixels of a widget, or of a part of it, that are near a colour ("#rrggbb")."""
    grabbed = widget.grab(part if part is not None else widget.rect())
    image = grabbed.toImage().convertToFormat(QImage.Format.Format_RGB888)
    flat = np.frombuffer(image.constBits(), dtype=np.uint8)
    rows = flat.reshape(image.height(), image.bytesPerLine())[:, : 3 * image.width()]
    pixels = rows.reshape(-1, 3).astype(int)
    wanted = np.array([int(colour[i : i + 2], 16) for i in (1, 3, 5)])
    return float((np.abs(pixels - wanted).sum(axis=1) < tolerance).mean())


# What is done


def type_into(qtbot, line, text):
    """Replace a line's text by typing, without Enter."""
    line.setFocus()
    run_events()
    qtbot.keyClick(line, Qt.Key.Key_A, CTRL)
    for letter in text:
        if letter.isascii():
            qtbot.keyClick(line, letter)
        else:
            # QTest knows keys of ASCII only; the letter itself is what a keyboard would bring.
            for kind in (QEvent.Type.KeyPress, QEvent.Type.KeyRelease):
                QApplication.sendEvent(
                    line, QKeyEvent(kind, Qt.Key.Key_unknown, NO_MODIFIER, letter)
                )


def choose(qtbot, box, text):
    """Choose an entry of a closed list by keys, as one who has tabbed there."""
    box.setFocus()
    wanted = box.findText(text)
    for _ in range(box.count()):
        if box.currentIndex() != wanted:
            is_below = box.currentIndex() < wanted
            qtbot.keyClick(box, Qt.Key.Key_Down if is_below else Qt.Key.Key_Up)
    assert box.currentText() == text
    run_events()


def choose_opened(qtbot, box, text):
    """Open a list, go to an entry by keys, take it."""
    box.setFocus()
    box.showPopup()
    view = box.view()
    for _ in range(abs(box.findText(text) - box.currentIndex())):
        key = Qt.Key.Key_Down if box.findText(text) > view.currentIndex().row() else Qt.Key.Key_Up
        qtbot.keyClick(view, key)
    qtbot.keyClick(view, Qt.Key.Key_Return)
    run_events()


def click_entry(qtbot, menu, name):
    """Click the entry of an open menu, or of the menu bar, that has an id or a text.

    Returns the menu that opens below it, if one does.
    """
    action = next(one for one in menu.actions() if name in (one.objectName(), one.text()))
    below = action.menu()
    qtbot.mouseClick(menu, Qt.MouseButton.LeftButton, pos=menu.actionGeometry(action).center())
    if below is not None:
        qtbot.waitUntil(below.isVisible)
    run_events()
    return below


def drop(window, at, *, files=(), urls=()):
    """Drag files over a point of the window and let go, over whatever widget is there.

    Returns whether the window took the drop.
    """
    data = QMimeData()
    data.setUrls([*(QUrl.fromLocalFile(str(file)) for file in files), *map(QUrl, urls)])
    return drop_data(window, at, data)


def drop_data(window, at, data, action=Qt.DropAction.CopyAction):
    """The three events of a drop, sent to the widget under a point of the window.

    Returns whether the widget let the drop happen.
    """
    target = window.childAt(QPoint(round(at.x()), round(at.y()))) or window
    # As Qt does: the nearest widget that takes drops at all.
    while not target.acceptDrops() and target is not window:
        target = target.parentWidget()
    point = QPointF(target.mapFrom(window, at.toPoint()))
    button = Qt.MouseButton.LeftButton
    entered = QDragEnterEvent(point.toPoint(), action, data, button, NO_MODIFIER)
    QApplication.sendEvent(target, entered)
    moved = QDragMoveEvent(point.toPoint(), action, data, button, NO_MODIFIER)
    QApplication.sendEvent(target, moved)
    if not (entered.isAccepted() and moved.isAccepted()):
        return False
    dropped = QDropEvent(point, action, data, button, NO_MODIFIER)
    QApplication.sendEvent(target, dropped)
    run_events()
    return True
