"""Played sessions: from an empty window to a picture by keys, on a small screen, with commas."""

from __future__ import annotations

import re

import pytest
from mouse import Mouse
from PySide6.QtCore import QLocale, QPoint, QPointF, QRect, Qt
from PySide6.QtGui import QAccessible, QGuiApplication
from PySide6.QtWidgets import QApplication, QScrollArea, QToolButton, QWidget
from window import (
    CTRL,
    NO_MODIFIER,
    choose_opened,
    click_entry,
    key_of,
    labels,
    row_centre,
    run_events,
    type_into,
    write_sweep,
)

from fairlead.core.bench_file import load_bench

pytest_plugins = ["window_fixtures"]

KEY = Qt.Key
ALT = Qt.KeyboardModifier.AltModifier
NAMES = ("dry", "wet", "iced")


@pytest.fixture
def folder(tmp_path, window):
    for name, f0_hz in zip(NAMES, (51e6, 50.6e6, 49.2e6), strict=True):
        write_sweep(tmp_path / f"{name}.s1p", f0_hz)
    window.settings.folder = str(tmp_path)
    return tmp_path


@pytest.fixture
def _comma_locale():
    before = QLocale()
    QLocale.setDefault(QLocale("de_DE"))
    yield
    QLocale.setDefault(before)


def press(qtbot, key, modifiers=NO_MODIFIER):
    """A key to whatever has the keyboard."""
    here = QApplication.focusWidget()
    assert here is not None  # a key to nothing would end the interpreter
    qtbot.keyClick(here, key, modifiers)
    run_events()


def type_here(qtbot, text):
    press(qtbot, KEY.Key_A, CTRL)
    qtbot.keyClicks(QApplication.focusWidget(), text)
    press(qtbot, KEY.Key_Return)


def name_of(widget):
    return QAccessible.queryAccessibleInterface(widget).text(QAccessible.Text.Name)


def tab_round(qtbot, key=KEY.Key_Tab, most=120):
    """Every focus stop in turn, until the first has the keyboard again."""
    stops = [QApplication.focusWidget()]
    for _ in range(most):
        press(qtbot, key)
        here = QApplication.focusWidget()
        if here is stops[0]:
            return stops
        if here is not stops[-1]:
            stops.append(here)
    raise AssertionError([name_of(stop) for stop in stops])


def tab_to(qtbot, widget, most=120):
    for _ in range(most):
        if QApplication.focusWidget() is widget:
            return
        press(qtbot, KEY.Key_Tab)
    raise AssertionError(name_of(widget))


def test_by_keys_alone_from_nothing_to_a_picture(window, qtbot, folder, play):
    assert QApplication.focusWidget() is window.empty_page.open_button
    play(" ".join(f'"{name}.s1p"' for name in NAMES))
    with qtbot.waitSignal(window.loader.ended, timeout=20_000):
        press(qtbot, KEY.Key_Space)
    window.activateWindow()  # the platform without a screen leaves none active after a dialog
    run_events()
    assert sorted(labels(window)) == sorted(NAMES)

    assert QApplication.focusWidget() is window.sweep_list
    press(qtbot, KEY.Key_Home)
    while window.sweep_list.currentIndex().data() != "wet":
        press(qtbot, KEY.Key_Down)
    press(qtbot, KEY.Key_R, CTRL)
    assert window.document.bench.reference_key == key_of(window, "wet")

    press(qtbot, KEY.Key_L, CTRL)
    type_here(qtbot, "50 MHz")
    press(qtbot, KEY.Key_T, ALT)
    type_here(qtbot, "51,5")
    press(qtbot, KEY.Key_L, ALT)
    type_here(qtbot, "1.7")
    bench = window.document.bench
    assert (bench.band.low_hz, bench.band.high_hz, bench.limit_swr) == (50e6, 51.5e6, 1.7)

    stops = tab_round(qtbot)
    parts = {
        window.sweep_list,
        window.frequency_plot,
        window.smith_plot,
        window.figures,
        window.band_panel.band_box,
        window.band_panel.low_field,
    }
    assert parts <= set(stops)
    assert [type(stop).__name__ for stop in stops if not name_of(stop)] == []
    assert tab_round(qtbot, KEY.Key_Backtab)[1:] == stops[:0:-1]

    tab_to(qtbot, window.frequency_plot)
    while QApplication.focusWidget() is window.frequency_plot:
        press(qtbot, KEY.Key_Tab)  # from handle to handle
    press(qtbot, KEY.Key_Backtab)  # from behind: the curves
    press(qtbot, KEY.Key_Right)
    assert window.view_state.hover is not None
    assert window.document.bench.band == bench.band
    assert "MHz" in window.readout.text()
    press(qtbot, KEY.Key_M, CTRL)
    assert len(window.document.bench.markers) == 1

    cursor_at = QApplication.focusWidget()
    press(qtbot, KEY.Key_E, CTRL)
    panel = window.handlers.pictures.panel
    inside = tab_round(qtbot)
    assert [type(stop).__name__ for stop in inside if not name_of(stop)] == []
    press(qtbot, KEY.Key_Escape)
    assert window.handlers.pictures.panel is None
    window.activateWindow()
    run_events()
    assert QApplication.focusWidget() is cursor_at
    press(qtbot, KEY.Key_E, CTRL)
    panel = window.handlers.pictures.panel
    tab_to(qtbot, panel.save_button)
    play("keys.png")
    press(qtbot, KEY.Key_Space)
    assert (folder / "keys.png").read_bytes().startswith(b"\x89PNG")


def test_colours_by_condition_and_by_group_are_two_letters_from_the_menu(loaded, qtbot):
    loaded.edits.set_condition(key_of(loaded, "wet"), "soaked")
    loaded.edits.set_condition(key_of(loaded, "iced"), "soaked")

    def colours():
        return [entry.style.colour for entry in loaded.document.bench.entries]

    before = colours()
    for letter, is_alike in ((KEY.Key_C, True), (KEY.Key_E, False), (KEY.Key_G, True)):
        loaded.sweep_list.setFocus()
        press(qtbot, KEY.Key_E, ALT)
        for key in (KEY.Key_O, letter):
            qtbot.keyClick(QApplication.activePopupWidget(), key)
            run_events()
        assert QApplication.activePopupWidget() is None
        _, wet, iced = colours()
        assert (wet == iced) is is_alike
    assert before != colours()


PANELS = (
    "advice",
    "accuracy",
    "feed-line",
    "plan",
    "on-air-log",
    "over-time",
    "repeats",
    "export-picture",
    "print-picture",
    "history",
    "type-readings",
    "markers-edit",
    "help-keys",
)


def others(window):
    return [one for one in QApplication.topLevelWidgets() if one.isVisible() and one is not window]


def test_escape_closes_every_panel_and_gives_the_keyboard_back(loaded, qtbot):
    faults = []
    loaded.sweep_list.setFocus()
    loaded.sweep_list.setCurrentIndex(loaded.sweep_model.index(1, 0))
    for name in PANELS:
        loaded.activateWindow()
        loaded.figures.setFocus()
        run_events()
        loaded.commands[name].trigger()
        run_events()
        opened = others(loaded)
        for one in opened:
            least = one.minimumSizeHint().expandedTo(one.minimumSize())
            if least.width() > 800 or least.height() > 480:
                faults.append(f"{name}: at least {least.width()} x {least.height()}")
        here = QApplication.focusWidget()
        if len(opened) != 1 or here is None or here.window() is not opened[0]:
            faults.append(f"{name}: the keyboard is not in it")
            here = opened[0] if opened else loaded
        qtbot.keyClick(here, KEY.Key_Escape)
        run_events()
        for one in others(loaded):
            faults.append(f"{name}: still open")
            one.close()
        loaded.activateWindow()  # a window system does this; the platform without a screen not
        run_events()
        if QApplication.focusWidget() is not loaded.figures:
            faults.append(f"{name}: then {QApplication.focusWidget()}")
    assert faults == []


def outside(window):
    """Accessible names of what can be clicked, is not scrolled, and is not whole in the window."""
    return [
        name_of(one)
        for one in window.findChildren(QWidget)
        if one.isVisible()
        and one.window() is window
        and one.focusPolicy() != Qt.FocusPolicy.NoFocus
        and not window.rect().contains(QRect(one.mapTo(window, QPoint()), one.size()))
        and not any(isinstance(above, QScrollArea) for above in parents_of(one))
    ]


def parents_of(widget):
    while (widget := widget.parentWidget()) is not None:
        yield widget


def click_button(qtbot, window, name):
    (button,) = [
        one for one in window.findChildren(QToolButton) if one.isVisible() and name_of(one) == name
    ]
    qtbot.mouseClick(button, Qt.MouseButton.LeftButton)
    run_events()


def test_by_mouse_on_the_smallest_screen(window, qtbot, folder, play):
    window.resize(800, 480)
    run_events()
    assert outside(window) == []
    play(" ".join(f'"{name}.s1p"' for name in NAMES))
    with qtbot.waitSignal(window.loader.ended, timeout=20_000):
        qtbot.mouseClick(window.empty_page.open_button, Qt.MouseButton.LeftButton)
    run_events()
    assert (window.width(), window.height()) == (800, 480)
    assert outside(window) == []
    Mouse(window.sweep_list.viewport()).click(row_centre(window, "wet"))
    click_button(qtbot, window, "Choose as reference")
    assert window.document.bench.reference_key == key_of(window, "wet")
    choose_opened(qtbot, window.band_panel.band_box, "6 m")
    window.activateWindow()
    run_events()
    qtbot.mouseDClick(window.band_panel.limit_field, Qt.MouseButton.LeftButton)
    type_here(qtbot, "1.7")
    assert window.document.bench.limit_swr == 1.7
    viewport = window.frequency_plot.viewport()
    at = QPointF(viewport.width() * 0.8, viewport.height() * 0.3)  # away from edges and limit
    Mouse(viewport).move(at)
    assert window.view_state.pointed_hz is not None
    band_menu = click_entry(qtbot, window.menuBar(), "&Band")
    click_entry(qtbot, click_entry(qtbot, band_menu, "&Markers"), "marker-add")
    assert len(window.document.bench.markers) == 1
    assert outside(window) == []
    click_button(qtbot, window, "Export picture")
    panel = window.handlers.pictures.panel
    panel.resize(800, 480)
    run_events()
    assert (panel.width(), panel.height()) == (800, 480)
    assert outside(panel) == []
    play("small.png")
    qtbot.mouseClick(panel.save_button, Qt.MouseButton.LeftButton)
    assert (folder / "small.png").read_bytes().startswith(b"\x89PNG")


@pytest.mark.usefixtures("_comma_locale")
def test_with_commas_from_typed_numbers_to_a_bench_read_elsewhere(loaded, qtbot, folder, play):
    panel = loaded.band_panel
    type_into(qtbot, panel.low_field, "50,25")
    press(qtbot, KEY.Key_Return)
    type_into(qtbot, panel.limit_field, "1,7")
    press(qtbot, KEY.Key_Return)
    loaded.sweep_list.setFocus()
    press(qtbot, KEY.Key_E, CTRL)
    picture = loaded.handlers.pictures.panel
    type_into(qtbot, picture.width_field, "85,5")
    press(qtbot, KEY.Key_Tab)
    assert picture.request.width_mm == 85.5
    press(qtbot, KEY.Key_Escape)
    loaded.activateWindow()
    loaded.figures.setFocus()
    run_events()
    press(qtbot, KEY.Key_C, CTRL)
    data = QGuiApplication.clipboard().mimeData()
    cells = [cell for row in data.text().splitlines()[1:] for cell in row.split("\t")]
    assert any(re.fullmatch(r"-?\d+,\d+", cell) for cell in cells)
    # A sentence in a cell is the program's own English; a number is the spreadsheet's.
    assert not any(re.fullmatch(r"-?\d+\.\d+", cell) for cell in cells)
    assert "." in bytes(data.data("text/csv")).decode().splitlines()[1]
    play("commas.fairlead")
    press(qtbot, KEY.Key_S, CTRL)
    qtbot.waitUntil((folder / "commas.fairlead").exists, timeout=10_000)
    bench = loaded.document.bench
    assert (bench.band.low_hz, bench.limit_swr, bench.picture.width_mm) == (50.25e6, 1.7, 85.5)
    QLocale.setDefault(QLocale("en_US"))
    assert load_bench(str(folder / "commas.fairlead")) == bench


def test_from_the_samples_to_what_changed_in_two_gestures(window, qtbot):
    qtbot.mouseClick(window.empty_page.samples_button, Qt.MouseButton.LeftButton)
    qtbot.waitUntil(lambda: bool(window.change_text.toPlainText()), timeout=60_000)
    said = window.change_text.toPlainText()
    assert "ground-plane-iced: best match 1" in said
    assert "MHz lower" in said
    QGuiApplication.clipboard().setText("")
    click_button(qtbot, window, "Copy what changed")
    qtbot.waitUntil(lambda: not window.handlers.changes.is_busy, timeout=30_000)
    run_events()
    assert QGuiApplication.clipboard().text().strip() == said.strip()
