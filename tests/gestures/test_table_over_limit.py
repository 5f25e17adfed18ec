"""Values over the limit stand out by tint and sign; columns in another order; rows in sight."""

from __future__ import annotations

import pytest
from colour_difference import difference, lab
from PySide6.QtCore import QPoint, Qt
from PySide6.QtGui import QColor
from PySide6.QtWidgets import QApplication
from window import key_of, run_events

from fairlead.app.look.palette import DARK, LIGHT, OUTDOOR
from fairlead.core.bands import Band

pytest_plugins = ["window_fixtures"]

OF_LIMIT = {"best_swr", "worst", "low_edge", "high_edge"}


def index_of(window, label, column):
    model = window.figures_model
    columns = [spec.id for spec in model.specs]
    return model.index(model.row_of(key_of(window, label)), columns.index(column))


def tint(window, label, column):
    return index_of(window, label, column).data(Qt.ItemDataRole.BackgroundRole)


def over(window, label):
    return {
        spec.id for spec in window.figures_model.specs if tint(window, label, spec.id) is not None
    }


def luminance(colour):
    """W3C, WCAG 2.1, relative luminance."""
    parts = [QColor(colour).redF(), QColor(colour).greenF(), QColor(colour).blueF()]
    linear = [c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in parts]
    return sum(w * c for w, c in zip((0.2126, 0.7152, 0.0722), linear, strict=True))


def test_what_is_over_the_limit_has_a_tint_a_sign_and_words(loaded):
    loaded.edits.set_band(Band(50e6, 52e6))
    loaded.edits.set_limit(1.6)
    run_events()
    found = over(loaded, "iced")
    assert {"worst", "high_edge"} <= found <= OF_LIMIT
    for column in OF_LIMIT:
        index = index_of(loaded, "iced", column)
        is_over = float(index.data().split(" ")[0]) > 1.6
        assert (column in found) == is_over
        sign = index.data(Qt.ItemDataRole.DecorationRole)
        assert (sign is not None) == is_over
        if is_over:
            assert not sign.isNull()
            words = index.data(Qt.ItemDataRole.AccessibleTextRole)
            assert words == f"{index.data()}, over the limit"


def test_the_tints_follow_the_limit_although_no_text_changes(loaded):
    loaded.edits.set_band(Band(50e6, 52e6))
    loaded.edits.set_limit(20.0)
    run_events()
    assert over(loaded, "iced") == set()
    told = []
    loaded.figures_model.dataChanged.connect(lambda one, *_: told.append(one.column()))
    loaded.edits.set_limit(1.1)
    columns = [spec.id for spec in loaded.figures_model.specs]
    assert {columns.index(name) for name in OF_LIMIT} <= set(told)
    assert "worst" in over(loaded, "iced")


@pytest.mark.parametrize("theme", [LIGHT, DARK, OUTDOOR], ids=lambda theme: theme.name)
def test_the_tint_is_seen_and_the_number_on_it_is_read(theme):
    """4.5:1 for text (WCAG 2.1, 1.4.3); CIEDE2000 over 5 between two areas: common practice."""
    light, dark = sorted((luminance(theme.error), luminance(theme.text)), reverse=True)
    assert (light + 0.05) / (dark + 0.05) >= 4.5
    assert difference(lab(theme.error), lab(theme.base)) > 5


def test_each_theme_paints_its_own_tint(loaded):
    loaded.edits.set_band(Band(50e6, 52e6))
    loaded.edits.set_limit(1.1)
    for name, theme in (("dark", DARK), ("outdoor", OUTDOOR), ("light", LIGHT)):
        loaded.commands[f"theme-{name}"].trigger()
        run_events()
        assert tint(loaded, "iced", "worst").name() == theme.error


def open_menu(window):
    header = window.figures.horizontalHeader()
    header.customContextMenuRequested.emit(QPoint(5, 5))
    run_events()
    return QApplication.activePopupWidget()


def choose(qtbot, menu, name):
    action = next(one for one in menu.actions() if one.objectName() == name)
    button = Qt.MouseButton.LeftButton
    qtbot.mouseClick(menu, button, pos=menu.actionGeometry(action).center())
    run_events()


def order(window):
    header, specs = window.figures.horizontalHeader(), window.figures_model.specs
    return [specs[header.logicalIndex(place)].id for place in range(header.count())]


def test_changes_can_stand_beside_their_figures_and_go_back(loaded, qtbot):
    usual = order(loaded)
    choose(qtbot, open_menu(loaded), "beside")
    now = order(loaded)
    pairs = [("best_match", "shift"), ("best_swr", "swr_change"), ("worst", "worst_change")]
    for figure, change in [*pairs, ("width", "width_change"), ("q", "q_ratio")]:
        assert now.index(change) == now.index(figure) + 1
    assert sorted(now) == sorted(usual)
    choose(qtbot, open_menu(loaded), "usual-order")
    assert order(loaded) == usual


def test_the_order_is_kept_for_the_next_start(loaded, qtbot):
    choose(qtbot, open_menu(loaded), "beside")
    kept, now = loaded.figures.columns_state, order(loaded)
    choose(qtbot, open_menu(loaded), "usual-order")
    loaded.figures.restore_columns(kept)
    assert order(loaded) == now


def test_a_sweep_selected_in_the_list_comes_into_sight_in_the_table(loaded):
    keys = [entry.key for entry in loaded.document.bench.entries]
    for _ in range(5):
        loaded.edits.copy(keys)
    run_events()
    table, bar = loaded.figures, loaded.figures.horizontalScrollBar()
    bar.setValue(40)
    last = loaded.document.bench.entries[-1].key
    loaded.view_state.set_selection(frozenset({last}))
    run_events()
    row = loaded.figures_model.row_of(last)
    assert table.rowAt(table.viewport().height() // 2) > 0
    assert row in table._rows_in_sight()
    assert bar.value() == min(40, bar.maximum())


def test_a_row_selected_in_the_table_comes_into_sight_in_the_list(loaded):
    keys = [entry.key for entry in loaded.document.bench.entries]
    for _ in range(8):
        loaded.edits.copy(keys)
    run_events()
    last = loaded.document.bench.entries[-1].key
    loaded.figures.selectRow(loaded.figures_model.row_of(last))
    run_events()
    view = loaded.sweep_list
    place = view.visualRect(loaded.sweep_model.index(loaded.sweep_model.row_of(last), 0))
    assert view.viewport().rect().contains(place.center())


def test_edge_tags_do_not_overlap_whatever_is_shown(loaded):
    plot = loaded.frequency_plot
    for band in (Band(50e6, 50.01e6), Band(46e6, 46.2e6), Band(57.7e6, 57.9e6), Band(46e6, 58e6)):
        loaded.edits.set_band(band)
        for zoom in (plot.zoom_to_fit, plot.zoom_to_band):
            zoom()
            run_events()
            low, high = (one.tag_in_plot for one in (plot._handles._low, plot._handles._high))
            assert not low.intersects(high), (band, zoom)
