"""Menus where the hand is: on a curve, on a plot, on the headings of the table."""

from __future__ import annotations

from PySide6.QtCore import QPoint, QPointF
from PySide6.QtGui import QContextMenuEvent
from PySide6.QtWidgets import QApplication
from window import click_entry, run_events, steps

from fairlead.app.shell.window import MainWindow

pytest_plugins = ["window_fixtures"]


def ask(widget, at, reason=QContextMenuEvent.Reason.Mouse):
    """What the right button does at a place, and the menu that opens."""
    place = at.toPoint() if isinstance(at, QPointF) else at
    QApplication.sendEvent(widget, QContextMenuEvent(reason, place, widget.mapToGlobal(place)))
    run_events()
    return QApplication.activePopupWidget()


def ids(menu):
    return [action.objectName() for action in menu.actions() if action.objectName()]


def test_on_a_curve_the_menu_is_that_of_its_sweep(loaded, qtbot):
    plot = loaded.frequency_plot
    entry = loaded.document.bench.entries[1]
    index = len(entry.sweep) // 2
    at = plot._curves.pixel(next(c for c in plot._curves if c.key == entry.key), index)
    before = steps(loaded)
    menu = ask(plot.viewport(), QPointF(*at) + plot._origin())
    assert ids(menu)[:4] == ["reference", "toggle", "show-alone", "change-style"]
    assert loaded.view_state.selection == frozenset({entry.key})
    click_entry(qtbot, menu, "reference")
    assert loaded.document.bench.reference_key == entry.key
    assert steps(loaded) == before + 1
    # Hidden from the chart's menu.
    menu = ask(loaded.smith_plot, QPoint(5, 5), QContextMenuEvent.Reason.Keyboard)
    assert "toggle" not in ids(menu)
    menu.close()


def test_beside_the_curves_it_is_that_of_the_plot(loaded, qtbot):
    plot = loaded.smith_plot
    fitted = plot.position_of(0.3, 0.3)
    loaded.commands["zoom-band"].trigger()
    plot.zoom_in()
    run_events()
    assert plot.position_of(0.3, 0.3) != fitted
    selection = loaded.view_state.selection
    menu = ask(plot.viewport(), QPointF(3, 3))
    assert ids(menu)[:2] == ["zoom-fit", "zoom-band"]
    assert loaded.view_state.selection == selection
    click_entry(qtbot, menu, "zoom-fit")
    assert plot.position_of(0.3, 0.3) == fitted


def test_columns_are_hidden_from_their_heading_and_stay_so(loaded, qtbot, settings):
    table = loaded.figures
    names = [spec.id for spec in loaded.figures_model.specs]
    column = names.index("best_swr")
    header = table.horizontalHeader()
    menu = ask(header.viewport(), QPoint(10, 5))
    assert "label" not in ids(menu)
    click_entry(qtbot, menu, "best_swr")
    assert table.isColumnHidden(column)
    loaded.commands["text-larger"].trigger()
    loaded.commands["text-usual"].trigger()
    run_events()
    assert table.isColumnHidden(column)
    loaded.close()
    assert settings.hidden_columns == frozenset({"best_swr"})
    other = MainWindow(settings)
    assert other.figures.isColumnHidden(column)
    menu = other.figures.column_menu
    menu.hide_only(frozenset({"best_swr", "no such column"}))
    assert menu.hidden == frozenset({"best_swr"})
    menu.hide_only(frozenset(names))
    assert menu.hidden == frozenset()
    assert not other.figures.isColumnHidden(column)
    assert other.figures.columnWidth(column) > 0
    other.close()
    other.deleteLater()
    run_events()
