"""The advice beside the window: asked, answered, and the what-if moved by mouse and keys."""

from __future__ import annotations

import pytest
from mouse import Mouse, tap_key
from PySide6.QtCore import QPointF, Qt
from PySide6.QtGui import QGuiApplication
from PySide6.QtWidgets import QStyle, QStyleOptionSlider
from window import cell, choose, key_of, run_events, select, steps, type_into

from fairlead.core.document.what_if import shift_of

pytest_plugins = ["window_fixtures"]


@pytest.fixture
def panel(loaded, qtbot):
    loaded.edits.set_edge("low", 50e6)
    loaded.edits.set_edge("high", 52e6)
    loaded.commands["advice"].trigger()
    run_events()
    found = loaded.handlers.advice.panel
    answered(loaded, qtbot)
    yield found
    loaded.handlers.advice.close()


def answered(window, qtbot):
    qtbot.waitUntil(lambda: not window.handlers.advice.is_busy, timeout=30_000)
    run_events()


def text(panel):
    return panel.answers.toPlainText()


def handle(slider):
    option = QStyleOptionSlider()
    slider.initStyleOption(option)
    control = QStyle.ComplexControl.CC_Slider
    part = QStyle.SubControl.SC_SliderHandle
    return QPointF(slider.style().subControlRect(control, option, part, slider).center())


def shifts(window):
    return [shift_of(entry) for entry in window.document.bench.entries]


def test_the_answers_are_there_with_plots_and_cautions(panel):
    shown = text(panel)
    for words in (
        "Power into the antenna, not radiated",
        "dry: of 100 W,",
        "One tuning for all",
        "L network at",
        "Local codes, your licence and qualified people come before this program.",
    ):
        assert words in shown
    assert len(panel.shift_plot.curves) == 1
    assert [mark.words.split()[0] for mark in panel.shift_plot.marks] == ["best"]
    assert len(panel.match_plot.curves) == 6
    assert panel.match_box.count() >= 5


def test_another_radio_and_line_is_another_answer(loaded, qtbot, panel):
    before = text(panel)
    panel.form.boxes["radio"].setFocus()
    tap_key(panel.form.boxes["radio"], Qt.Key.Key_Down)
    type_into(qtbot, panel.form.fields["line"], "RG-58, 12 m")
    answered(loaded, qtbot)
    after = text(panel)
    assert after != before
    assert "a lossless tuner at the radio" in after
    assert "12 m of RG-58" in after
    type_into(qtbot, panel.form.fields["line"], "string")
    answered(loaded, qtbot)
    assert "not a known feed line" in panel.problem.text()
    assert not panel.answers.isEnabled()


def test_a_drag_moves_plots_and_table_and_is_one_undo_step(loaded, qtbot, panel):
    made, best = steps(loaded), cell(loaded, "dry", "best_match")
    mouse = Mouse(panel.shift.slider)
    start = handle(panel.shift.slider)
    mouse.drag([start, *(start + QPointF(10 * i, 0) for i in range(1, 5))], let_go=False)
    moved = shifts(loaded)
    assert moved[0] > 0
    assert len(set(moved)) == 1
    qtbot.waitUntil(lambda: cell(loaded, "dry", "best_match") != best, timeout=5000)
    assert loaded.document.bench.entries[0].title.startswith("what-if: dry")
    assert steps(loaded) == made
    mouse.release()
    run_events()
    assert steps(loaded) == made + 1
    assert loaded.document.undo_stack.undoText() == "Move what-if"
    assert "what-if" in [mark.words for mark in panel.shift_plot.marks]
    answered(loaded, qtbot)
    best_before = panel.shift_plot.marks[0].x
    loaded.commands["undo"].trigger()
    run_events()
    assert shifts(loaded) == [0, 0, 0]
    assert panel.shift.slider.value() == 0
    answered(loaded, qtbot)
    assert panel.shift_plot.marks[0].x == pytest.approx(best_before)


def test_the_best_shift_is_taken_by_a_button_and_put_back_by_another(loaded, qtbot, panel):
    wanted = panel.shift_plot.marks[0].x
    qtbot.mouseClick(panel.shift.best_button, Qt.MouseButton.LeftButton)
    run_events()
    assert shifts(loaded) == pytest.approx([wanted] * 3, abs=0.011)
    qtbot.mouseClick(panel.shift.back_button, Qt.MouseButton.LeftButton)
    run_events()
    assert shifts(loaded) == [0, 0, 0]


def test_keys_move_only_the_selected_sweeps_a_step_each(loaded, qtbot, panel):
    select(loaded, "wet")
    answered(loaded, qtbot)
    made = steps(loaded)
    panel.shift.slider.setFocus()
    tap_key(panel.shift.slider, Qt.Key.Key_Right)
    tap_key(panel.shift.slider, Qt.Key.Key_Right)
    assert shifts(loaded) == pytest.approx([0, 0.04, 0])
    assert steps(loaded) == made + 2
    answered(loaded, qtbot)
    assert "the worst SWR of the sweep is" in text(panel)


def test_closing_the_panel_ends_the_asking(loaded, qtbot, panel):
    tap_key(panel, Qt.Key.Key_Return)
    assert panel.isVisible()
    tap_key(panel, Qt.Key.Key_Escape)
    assert not panel.isVisible()
    loaded.edits.rename(key_of(loaded, "dry"), "other")
    assert not loaded.handlers.advice.is_busy
    loaded.commands["advice"].trigger()
    answered(loaded, qtbot)
    assert "other: of 100 W" in text(panel)


def test_a_question_is_kept_with_the_bench_and_undone(loaded, qtbot, panel):
    made = steps(loaded)
    type_into(qtbot, panel.form.fields["match_at"], "50.5")
    assert steps(loaded) == made
    tap_key(panel.form.fields["match_at"], Qt.Key.Key_Return)
    assert steps(loaded) == made + 1
    assert loaded.document.bench.advice.match_at == "50.5"
    answered(loaded, qtbot)
    assert "at 50.5 MHz" in text(panel)
    loaded.commands["undo"].trigger()
    run_events()
    assert panel.form.fields["match_at"].text() == ""
    answered(loaded, qtbot)
    assert panel.answers.isEnabled()


def test_a_network_is_chosen_and_its_way_is_on_the_smith_chart(loaded, qtbot, panel):
    shown = loaded.smith_plot._path
    first = shown.path
    assert len(first) == len(panel.match.path)
    choose(qtbot, panel.match_box, "Quarter-wave transformer")
    run_events()
    assert panel.match.kind == "quarter-wave transformer"
    assert loaded.document.bench.advice.network == "quarter-wave transformer"
    assert shown.path[0][0] == pytest.approx(complex(panel.match.path[0][0]))
    pixels = loaded.smith_plot.grab().toImage()
    tap_key(panel.path_box, Qt.Key.Key_Space)
    assert shown.path == ()
    assert loaded.smith_plot.grab().toImage() != pixels


def test_closing_takes_the_way_off_the_chart(loaded, panel):
    assert loaded.smith_plot._path.path
    tap_key(panel, Qt.Key.Key_Escape)
    assert loaded.smith_plot._path.path == ()


def test_curves_have_the_colours_of_their_sweeps_whatever_their_labels(loaded, qtbot, panel):
    """What the network makes of a sweep is a what-if, and so dashed."""
    for entry in loaded.document.bench.entries:
        loaded.edits.rename(entry.key, "one name")
    answered(loaded, qtbot)
    wanted = [one.style.colour for one in loaded.document.bench.entries]
    curves = panel.match_plot.curves
    assert sorted(one.colour for one in curves if one.is_dashed) == sorted(wanted)
    assert sorted(one.colour for one in curves if not one.is_dashed) == sorted(wanted)
    assert {one.name.startswith("what-if: ") for one in curves if one.is_dashed} == {True}
    shown = panel.match_plot.grab().toImage()
    pixels = {shown.pixelColor(x, y).name() for x in range(shown.width()) for y in range(9, 150, 2)}
    assert {loaded.view_state.theme.curves[place] for place in wanted} <= pixels


def test_what_a_what_if_costs_is_named_so_and_a_cut_is_of_the_measured_antenna(
    loaded, qtbot, panel
):
    def length():
        lines = text(panel).splitlines()
        return lines[lines.index("Length") + 1 : lines.index("Length") + 3]

    measured = length()
    qtbot.mouseClick(panel.shift.best_button, Qt.MouseButton.LeftButton)
    answered(loaded, qtbot)
    assert "what-if: dry: of 100 W" in text(panel)
    assert "what-if: wet compared with what-if: dry" in text(panel)
    assert length() == measured


def test_a_radio_end_and_e12_values_are_another_network(loaded, qtbot, panel):
    before = [one for one in text(panel).splitlines() if one.startswith("L network")]
    choose(qtbot, panel.form.boxes["series"], "E12")
    type_into(qtbot, panel.form.fields["coil_q"], "40")
    answered(loaded, qtbot)
    after = [one for one in text(panel).splitlines() if one.startswith("L network")]
    assert "(Q 40)" in after[0]
    assert after != before
    assert loaded.document.bench.advice.series == "E12"
    type_into(qtbot, panel.form.fields["coil_q"], "0")
    answered(loaded, qtbot)
    assert "Q of 0 does not exist" in panel.problem.text()


def test_two_sweeps_say_what_a_cut_does(loaded, qtbot, panel):
    assert not panel.form.boxes["before_key"].isVisible()
    choose(qtbot, panel.form.boxes["cut"], "As two sweeps show")
    run_events()
    assert panel.form.boxes["before_key"].isVisible()
    answered(loaded, qtbot)
    assert "choose the one before it" in panel.problem.text()
    choose(qtbot, panel.form.boxes["before_key"], "wet")
    type_into(qtbot, panel.form.fields["cut_by"], "5 mm")
    type_into(qtbot, panel.form.fields["length"], "1385 mm")
    type_into(qtbot, panel.form.fields["target"], "50")
    answered(loaded, qtbot)
    assert panel.problem.text() == ""
    assert "kHz" in text(panel)
    assert "The two sweeps say" in text(panel)
    assert "Do not go beyond" in text(panel)


def test_the_advice_is_copied_as_text_and_as_markdown(qtbot, panel):
    qtbot.mouseClick(panel.copy_button, Qt.MouseButton.LeftButton)
    assert "Power into the antenna, not radiated" in QGuiApplication.clipboard().text()
    qtbot.mouseClick(panel.markdown_button, Qt.MouseButton.LeftButton)
    assert "## One tuning for all" in QGuiApplication.clipboard().text()


def test_the_network_goes_into_the_picture_where_that_is_chosen(loaded, panel):
    tap_key(panel.picture_box, Qt.Key.Key_Space)
    assert loaded.document.bench.advice.in_picture
    loaded.commands["undo"].trigger()
    run_events()
    assert not panel.picture_box.isChecked()
