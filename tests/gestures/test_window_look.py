"""Light and dark, what is remembered, and working without a mouse."""

from __future__ import annotations

import pytest
from mouse import Mouse
from PySide6.QtCore import QEvent, QObject, QPointF, QSettings, Qt
from PySide6.QtGui import QGuiApplication
from PySide6.QtWidgets import QAbstractButton, QApplication, QWidget
from window import CTRL, key_of, load, run_events, select, share_of_colour, steps, write_sweep

from fairlead.app.drawing.chart_rules import arc_points, rules
from fairlead.app.files.settings import Settings
from fairlead.app.look.palette import DARK, LIGHT, OUTDOOR
from fairlead.app.shell.window import MainWindow

pytest_plugins = ["window_fixtures"]


class CountedStyles(QObject):
    """Counts how often a widget is styled again."""

    count = 0

    def eventFilter(self, _watched, event):
        self.count += event.type() == QEvent.Type.StyleChange
        return False


def test_dark_and_light_change_every_part_and_no_document(loaded):
    parts = (loaded.sweep_list.viewport(), loaded.figures.viewport(), loaded.frequency_plot)
    assert all(share_of_colour(part, LIGHT.base, 6) > 0.2 for part in parts)
    loaded.commands["theme-dark"].trigger()
    run_events()
    for part in parts:
        assert share_of_colour(part, DARK.base, 6) > 0.2
        assert share_of_colour(part, LIGHT.base, 6) < 0.02
    assert share_of_colour(loaded, DARK.window, 6) > 0.1
    # The second curve's swatch in the list takes the dark theme's colour.
    assert share_of_colour(loaded.sweep_list.viewport(), DARK.curves[1], 20) > 0.0005
    assert share_of_colour(loaded.sweep_list.viewport(), LIGHT.curves[1], 20) == 0
    assert steps(loaded) == 1
    loaded.commands["theme-light"].trigger()
    run_events()
    assert all(share_of_colour(part, LIGHT.base, 6) > 0.2 for part in parts)


def test_icons_take_the_tone_of_the_writing(loaded):
    def tones(name):
        image = loaded.commands[name].icon().pixmap(32, 32).toImage()
        pixels = [image.pixelColor(x, y) for x in range(32) for y in range(32)]
        return {pixel.name() for pixel in pixels if pixel.alpha() > 250}

    assert tones("undo") == {LIGHT.text}
    loaded.commands["theme-dark"].trigger()
    assert tones("undo") == {DARK.text}


def test_the_chosen_theme_is_kept(window, settings):
    window.commands["theme-dark"].trigger()
    assert settings.theme == "dark"
    other = MainWindow(settings)
    assert other.view_state.theme is DARK
    assert other.commands["theme-dark"].isChecked()
    other.close()
    window.commands["theme-system"].trigger()
    assert settings.theme == "system"


def test_sizes_are_kept_and_restored(qtbot, settings, tmp_path, window):
    load(window, qtbot, [write_sweep(tmp_path / "a.s1p")])
    # Smaller than the screen: Qt brings larger windows back to it.
    window.resize(window.minimumSizeHint().width(), 611)
    run_events()
    size = window.size()
    window.workspace._splitters["areas"].setSizes([200, 300, 60])
    run_events()
    wanted = window.workspace._splitters["areas"].sizes()
    window.close()
    other = MainWindow(settings)
    other.show()
    run_events()
    assert other.height() == size.height() == 611
    load(other, qtbot, [write_sweep(tmp_path / "a.s1p")])
    assert other.workspace._splitters["areas"].sizes() == pytest.approx(wanted, abs=3)
    other.close()
    other.deleteLater()
    run_events()


def test_outdoors_everything_is_larger_thicker_and_never_pale(loaded, qtbot, settings):
    loaded.resize(1280, 800)
    run_events()
    height = loaded.figures.rowHeight(0)
    width = loaded.band_panel.low_field.width()
    style = loaded.document.bench.entries[0].style
    colour = LIGHT.curves[style.colour]
    drawn = share_of_colour(loaded.frequency_plot.viewport(), colour, 20)
    undo = steps(loaded)
    qtbot.keyClick(loaded, Qt.Key.Key_F8)
    run_events()
    assert loaded.view_state.theme is OUTDOOR
    assert settings.theme == "outdoor"
    assert loaded.figures.rowHeight(0) > height
    assert loaded.band_panel.low_field.width() > 1.1 * width
    colour = OUTDOOR.curves[style.colour]
    assert share_of_colour(loaded.frequency_plot.viewport(), colour, 20) > 1.4 * drawn
    assert steps(loaded) == undo
    loaded.commands["theme-light"].trigger()
    run_events()
    assert loaded.figures.rowHeight(0) == height
    assert loaded.band_panel.low_field.width() == width


def test_text_and_curves_grow_by_keys_and_are_kept(loaded, qtbot, settings):
    usual = QApplication.font().pointSizeF()
    parts = loaded.findChild(QWidget, "parts")
    row_px = parts.verticalHeader().defaultSectionSize()
    corner = loaded.frequency_plot.position_of(50e6, 0.3)
    qtbot.keyClick(loaded, Qt.Key.Key_Plus, CTRL | Qt.KeyboardModifier.AltModifier)
    qtbot.keyClick(loaded, Qt.Key.Key_Plus, CTRL | Qt.KeyboardModifier.AltModifier)
    run_events()
    assert settings.text_percent == 130
    assert QApplication.font().pointSizeF() == pytest.approx(1.3 * usual)
    # So do the small print and the rows of the small table.
    assert loaded.band_panel._note.font().pointSizeF() == pytest.approx(1.3 * usual)
    assert parts.verticalHeader().defaultSectionSize() > 1.1 * row_px
    # The axis made room for its numbers.
    assert loaded.frequency_plot.position_of(50e6, 0.3) != corner
    styled = CountedStyles()
    loaded.installEventFilter(styled)
    for _ in range(9):
        loaded.commands["curves-thicker"].trigger()
    # Thicker curves style no widget again.
    assert styled.count == 0
    assert settings.line_percent == 200
    assert loaded.view_state.theme.line_scale == 2
    other = MainWindow(settings)
    assert other.view_state.theme == loaded.view_state.theme
    other.close()
    other.deleteLater()
    qtbot.keyClick(loaded, Qt.Key.Key_0, CTRL | Qt.KeyboardModifier.AltModifier)
    loaded.commands["curves-usual"].trigger()
    run_events()
    assert QApplication.font().pointSizeF() == usual
    assert loaded.view_state.theme is LIGHT
    assert loaded.frequency_plot.position_of(50e6, 0.3) == corner


@pytest.mark.parametrize("junk", ["", "junk", "@Variant(\\0)", "1e999", "-1", "[]", "\x00\xff"])
def test_broken_settings_never_stop_the_start(window, tmp_path, junk):
    state_name = window.figures.state_name
    store = QSettings(str(tmp_path / "broken.ini"), QSettings.Format.IniFormat)
    for key in ("look/theme", "look/window", "look/rows", "look/columns", "look/detail"):
        store.setValue(key, junk)
    for key in ("work/region", "work/folder", "work/recent", f"look/{state_name}"):
        store.setValue(key, junk)
    other = MainWindow(Settings(store))
    other.show()
    run_events()
    assert other.width() > 600
    assert other.view_state.theme is LIGHT
    assert other.settings.region == 1
    other.close()
    other.deleteLater()
    run_events()


def test_order_and_widths_of_columns_are_kept(loaded, settings):
    header = loaded.figures.horizontalHeader()
    header.moveSection(header.visualIndex(5), 0)
    loaded.figures.setColumnWidth(5, 133)
    loaded.close()
    other = MainWindow(settings)
    again = other.figures.horizontalHeader()
    assert again.visualIndex(5) == 0
    assert other.figures.columnWidth(5) == 133
    shown = [not again.isSectionHidden(i) for i in range(again.count())]
    names = [spec.id for spec in other.figures_model.specs]
    # The name stands at the side, and no sweep has a condition.
    assert [name for name, is_shown in zip(names, shown, strict=True) if not is_shown] == [
        "label",
        "condition",
    ]
    other.close()
    other.deleteLater()
    run_events()


def test_details_can_be_hidden_and_stay_hidden(loaded, qtbot, settings):
    assert loaded.detail.isVisible()
    qtbot.keyClick(loaded, Qt.Key.Key_D, CTRL)
    assert not loaded.detail.isVisible()
    assert not settings.shows_detail
    assert not loaded.commands["detail"].isChecked()
    qtbot.keyClick(loaded, Qt.Key.Key_D, CTRL)
    assert loaded.detail.isVisible()


def test_uncertainty_can_be_left_out_and_stays_so(loaded, settings):
    action = loaded.commands["uncertainty"]
    assert action.isChecked()
    action.trigger()
    assert not action.isChecked()
    assert not loaded.view_state.shows_uncertainty
    assert not settings.shows_uncertainty
    loaded.close()
    other = MainWindow(settings)
    assert not other.commands["uncertainty"].isChecked()
    assert not other.view_state.shows_uncertainty
    other.commands["uncertainty"].trigger()
    assert other.view_state.shows_uncertainty
    other.close()
    other.deleteLater()
    run_events()


def test_zoom_commands_act_on_both_plots_or_on_the_one_that_is_meant(loaded, qtbot):
    swr, smith = loaded.frequency_plot, loaded.smith_plot

    def places():
        # Where two fixed points stand tells range and zoom of either plot.
        return swr.position_of(50e6, 0.3), smith.position_of(0.3, 0.3)

    fitted = places()
    loaded.edits.set_band(loaded.document.bench.band.__class__(50e6, 52e6))
    qtbot.keyClick(loaded, Qt.Key.Key_B, CTRL)
    run_events()
    zoomed = places()
    assert zoomed[0] != fitted[0]
    assert zoomed[1] != fitted[1]
    qtbot.keyClick(loaded, Qt.Key.Key_0, CTRL)
    run_events()
    assert places() == fitted
    smith.setFocus()
    qtbot.keyClick(smith, Qt.Key.Key_Plus, CTRL)
    run_events()
    assert places()[0] == fitted[0]
    assert places()[1] != fitted[1]
    qtbot.keyClick(smith, Qt.Key.Key_0, CTRL)
    loaded.sweep_list.setFocus()
    qtbot.keyClick(loaded, Qt.Key.Key_Equal, CTRL)
    run_events()
    assert places()[0] != fitted[0]
    assert places()[1] == fitted[1]


def named(widget):
    return widget.accessibleName() or (isinstance(widget, QAbstractButton) and widget.text())


def test_everything_can_be_reached_by_tab_and_has_a_name(loaded, qtbot):
    loaded.sweep_list.setFocus()
    reached = []
    for _ in range(60):
        current = loaded.focusWidget()
        if current in reached:
            break
        reached.append(current)
        # The plots pass Tab from handle to handle first.
        for _ in range(6):
            qtbot.keyClick(current, Qt.Key.Key_Tab)
            if loaded.focusWidget() is not current:
                break
    for part in (
        loaded.sweep_list,
        loaded.frequency_plot,
        loaded.smith_plot,
        loaded.figures,
        loaded.band_panel.region_box,
        loaded.band_panel.band_box,
        loaded.band_panel.low_field,
        loaded.band_panel.high_field,
        loaded.band_panel.limit_field,
        loaded.band_panel.z0_field,
    ):
        assert part in reached, part.accessibleName()
    assert [widget for widget in reached if not named(widget)] == []


def test_the_whole_job_by_keys_alone(window, qtbot, tmp_path):
    """Load, choose the reference, the band, and copy the table, without a mouse."""
    load(
        window,
        qtbot,
        [write_sweep(tmp_path / f"{n}.s1p", hz) for n, hz in (("a", 51e6), ("b", 50e6))],
    )
    assert window.focusWidget() is window.sweep_list
    qtbot.keyClick(window.sweep_list, Qt.Key.Key_Down)
    qtbot.keyClick(window.sweep_list, Qt.Key.Key_Down)
    assert window.view_state.selection == {key_of(window, "b")}
    qtbot.keyClick(window.sweep_list, Qt.Key.Key_R, CTRL)
    qtbot.keyClick(window, Qt.Key.Key_L, CTRL)
    field = window.focusWidget()
    qtbot.keyClicks(field, "50:52")
    qtbot.keyClick(field, Qt.Key.Key_Return)
    select(window)
    qtbot.keyClick(window.sweep_list, Qt.Key.Key_C, CTRL)
    text = QGuiApplication.clipboard().text()
    titles, first, second = (line.split("\t") for line in text.splitlines())
    shift = titles.index("Shift (kHz)")
    assert (float(first[shift]), second[shift]) == (pytest.approx(1000, abs=1), "")
    assert steps(window) == 3


def nothing_is_cut(window):
    for field in window.band_panel.findChildren(QWidget):
        if field.isVisible():
            corner = field.mapTo(window.band_panel, field.rect().bottomRight())
            assert window.band_panel.rect().contains(corner), field.accessibleName()


def test_the_smallest_window_is_800_by_480_with_large_text_too(loaded, qtbot):
    loaded.resize(800, 480)
    run_events()
    assert (loaded.width(), loaded.height()) == (800, 480)
    nothing_is_cut(loaded)
    for field in (loaded.band_panel.low_field, loaded.band_panel.z0_field, loaded.figures):
        assert field.visibleRegion().boundingRect().size() == field.size()
    # Neither the list nor the details starve, once a sweep is described.
    select(loaded, "dry")
    qtbot.waitUntil(lambda: loaded.detail.height() > 100)
    assert min(loaded.sweep_list.height(), loaded.detail.height()) > 100
    application = QApplication.instance()
    usual = application.font()
    large = QApplication.font()
    large.setPointSizeF(14)
    try:
        application.setFont(large)
        run_events()
        smallest = loaded.minimumSizeHint()
        assert smallest.width() <= 800
        assert smallest.height() <= 480
        nothing_is_cut(loaded)
    finally:
        application.setFont(usual)
        run_events()


def test_nothing_is_cut_off_in_the_row_above_the_plots_at_1280(loaded):
    loaded.resize(1280, 800)
    run_events()
    nothing_is_cut(loaded)
    panel = loaded.band_panel
    panel.low_field.setText("1296.123456 MHz")
    for line in (panel.low_field, panel.limit_field, panel.z0_field):
        text = line.fontMetrics().horizontalAdvance(line.text())
        assert text + 8 <= line.width(), line.accessibleName()
    assert panel._note.isVisible()
    assert panel._note.heightForWidth(panel._note.width()) <= panel.height()


def test_the_system_turning_dark_is_followed_unless_a_theme_was_chosen(window, monkeypatch):
    monkeypatch.setattr("fairlead.app.look.theme.system_theme", lambda: DARK)
    window.handlers.view._on_system_changed()
    assert window.view_state.theme is DARK
    window.commands["theme-light"].trigger()
    window.handlers.view._on_system_changed()
    assert window.view_state.theme is LIGHT


def test_help_pages_show_keys_figures_cautions_and_licence(window, qtbot):
    expected = {
        "help-keys": ["Ctrl+Shift+C", "Escape restores"],
        "help-figures": ["Yaghjian and Best 2005", "the rules of your country"],
        "help-cautions": ["Local codes", "power line", "static", "RF exposure", "bad match"],
        "about": ["MIT", "PySide6", "numpy", "invented"],
    }
    for name, words in expected.items():
        window.commands[name].trigger()
        text = window.handlers.help.shown.page.toPlainText()
        for word in words:
            assert word.lower() in text.lower(), (name, word)
    shown = window.handlers.help.shown
    assert not shown.isModal()
    qtbot.keyClick(shown, Qt.Key.Key_Escape)
    assert not shown.isVisible()


def test_the_empty_page_says_what_to_do_and_to_mind(window):
    from PySide6.QtWidgets import QLabel  # noqa: PLC0415

    text = " ".join(label.text() for label in window.empty_page.findChildren(QLabel))
    for words in ("Drop them here", "fairlead ", "invented", "power lines", "Local codes"):
        assert words in text
    assert window.focusWidget() is window.empty_page.open_button or QApplication.focusWidget()


def test_a_context_menu_offers_what_the_menus_offer(loaded):
    names = {action.objectName() for action in loaded.sweep_list.actions()}
    assert {"rename", "condition", "reference", "remove", "move-up", "toggle"} <= names
    assert all(
        action is loaded.commands[action.objectName()] for action in loaded.sweep_list.actions()
    )


def test_a_note_goes_by_itself_and_an_error_stays(loaded, qtbot):
    loaded.messages._timer.setInterval(20)
    loaded.messages.say("error", ["broken"])
    loaded.messages.say("note", ["copied"])
    assert loaded.messages.lines == ["copied", "broken"]
    qtbot.waitUntil(lambda: loaded.messages.lines == ["broken"])
    assert loaded.messages.isVisible()


def test_moving_the_mouse_off_the_plot_is_no_change(loaded):
    QApplication.sendEvent(loaded.frequency_plot.viewport(), QEvent(QEvent.Type.Leave))
    Mouse(loaded.figures.viewport()).move(QPointF(5, 5))
    assert steps(loaded) == 1


def test_the_key_for_the_whole_chart_shows_its_rim(loaded, qtbot):
    from PySide6.QtCore import Qt  # noqa: PLC0415

    chart = loaded.smith_plot
    chart.zoom_in()
    chart.zoom_in()
    keys = Qt.KeyboardModifier.ControlModifier | Qt.KeyboardModifier.ShiftModifier
    qtbot.keyClick(loaded, Qt.Key.Key_0, keys)
    screen = chart._screen
    assert min(screen.width, screen.height) / 2 / screen.y_scale > 1


@pytest.mark.parametrize("size", [(800, 480), (1024, 640), (1280, 800)])
def test_no_number_of_the_chart_lies_under_the_line_that_gives_its_unit(loaded, size):
    loaded.resize(*size)
    run_events()
    plot = loaded.smith_plot
    screen = plot._screen
    lines = [(rule, arc_points(rule.arc, screen)) for rule in rules(screen, 50.0)]
    numbers = list(plot._grid.numbers(screen, lines))
    assert len(numbers) >= 6
    assert plot._scale_text.area.width() > 50
    assert not any(box.intersects(plot._scale_text.area) for box, _ in numbers)
