"""One played session: sample files dropped, compared, advised on, and printed for an editor."""

from __future__ import annotations

from pathlib import Path

import pytest
from mouse import Mouse, tap_key
from pdf_text import page_count, pdf_text
from PySide6.QtCore import QPointF, Qt
from PySide6.QtGui import QGuiApplication
from window import (
    CTRL,
    SHIFT,
    cell,
    choose,
    choose_opened,
    click_entry,
    drop,
    key_of,
    labels,
    row_centre,
    run_events,
    steps,
    type_into,
)

pytest_plugins = ["window_fixtures"]

SAMPLES = Path(__file__).parents[2] / "samples"
NAMES = ("dipole-reference", "ground-plane-dry", "ground-plane-wet", "ground-plane-iced")
CAUTIONS = (
    "Work out the RF exposure of people nearby before you transmit",
    "no thunderstorm is near",
    "3 m (10 ft)",
    "Local codes, your licence and qualified people come before this program.",
)


def answered(window, qtbot):
    qtbot.waitUntil(lambda: not window.handlers.advice.is_busy, timeout=30_000)
    run_events()


def export(window, qtbot, form):
    """File > Export report, by clicks on the menus."""
    file_menu = click_entry(qtbot, window.menuBar(), "&File")
    click_entry(qtbot, click_entry(qtbot, file_menu, "E&xport report"), f"export-report-{form}")


def one_line(text):
    return " ".join(text.split())


@pytest.fixture
def compared(window, qtbot):
    """The files dropped, the band chosen, the dry ground-plane the reference."""
    with qtbot.waitSignal(window.loader.ended, timeout=20_000):
        assert drop(window, QPointF(400, 300), files=[SAMPLES / f"{name}.s1p" for name in NAMES])
    run_events()
    assert labels(window) == [*NAMES]
    choose_opened(qtbot, window.band_panel.band_box, "6 m")
    window.activateWindow()  # the platform without a screen leaves none active after a popup
    run_events()
    Mouse(window.sweep_list.viewport()).click(row_centre(window, "ground-plane-dry"))
    qtbot.keyClick(window, Qt.Key.Key_R, CTRL)
    assert window.document.bench.reference_key == key_of(window, "ground-plane-dry")
    # The dipole is only the known-good one: its tick goes, and with it its place in the report.
    Mouse(window.sweep_list.viewport()).click(row_centre(window, "dipole-reference"))
    qtbot.keyClick(window, Qt.Key.Key_H, CTRL)
    window.sweep_list.clearSelection()
    run_events()
    return window


def test_from_files_to_a_report_page(compared, qtbot, play, tmp_path):
    window = compared
    window.settings.folder = str(tmp_path)
    assert cell(window, "ground-plane-dry", "shift") == "reference"
    assert cell(window, "ground-plane-iced", "shift").startswith("−1")
    made = steps(window)

    qtbot.keyClick(window, Qt.Key.Key_A, CTRL | SHIFT)
    panel = window.handlers.advice.panel
    answered(window, qtbot)
    type_into(qtbot, panel.form.fields["power"], "50 W")
    type_into(qtbot, panel.form.fields["line"], "RG-213, 20 m")
    tap_key(panel.form.fields["line"], Qt.Key.Key_Return)
    choose(qtbot, panel.match_box, "Shunt stub, shorted")
    tap_key(panel.picture_box, Qt.Key.Key_Space)
    answered(window, qtbot)
    told = panel.answers.toPlainText()
    assert "ground-plane-iced: of 50 W, " in told
    assert "ground-plane-iced compared with ground-plane-dry" in told
    assert "Tune " in told
    assert all(caution in told for caution in CAUTIONS)
    qtbot.mouseClick(panel.markdown_button, Qt.MouseButton.LeftButton)
    assert "## One tuning for all" in QGuiApplication.clipboard().text()
    asked = window.document.bench.advice
    assert (asked.power, asked.line, asked.in_picture) == ("50 W", "RG-213, 20 m", True)
    assert steps(window) > made
    tap_key(panel, Qt.Key.Key_Escape)
    qtbot.waitUntil(lambda: not window.background.is_busy, timeout=30_000)

    play("club")
    export(window, qtbot, "letter")
    assert window.messages.lines == [f"Exported {tmp_path / 'club.pdf'}"]
    assert page_count(tmp_path / "club.pdf") == 1
    page = one_line(pdf_text(tmp_path / "club.pdf"))

    play("club")
    export(window, qtbot, "markdown")
    assert (tmp_path / "club.png").read_bytes().startswith(b"\x89PNG")
    markdown = one_line((tmp_path / "club.md").read_text("utf-8")).replace("\\", "")
    assert "](club.png)" in markdown

    iced = cell(window, "ground-plane-iced", "worst").split()[0]
    for report in (page, markdown):
        assert "Does it cover the band" in report
        assert "ground-plane-iced: no, " in report
        assert "ground-plane-iced: best match 1" in report
        assert iced in report
        assert "What-if, on the Smith chart from the antenna on: shunt stub, shorted at" in report
        assert all(caution in report for caution in CAUTIONS)
        assert "A bad match can destroy a transmitter" in report
        assert (
            "Read from ground-plane-dry.s1p, ground-plane-wet.s1p, ground-plane-iced.s1p" in report
        )
        assert "dipole-reference" not in report
    assert "what-if: matched" in page

    window.activateWindow()
    run_events()
    for _ in range(steps(window)):
        qtbot.keyClick(window, Qt.Key.Key_Z, CTRL)
    assert window.document.bench.entries == ()
