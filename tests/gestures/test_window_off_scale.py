"""Readings beyond the meter's scale in the window: marks at the edge, bounds in the table."""

from __future__ import annotations

import pytest
from window import cell, load, run_events, share_of_colour

from fairlead.app.printing.fonts import FontMeasure, chosen_families
from fairlead.app.printing.layout import lay_out

pytest_plugins = ["window_fixtures"]

ROWS = {49.0: "OL", 49.5: ">10", 50: 3, 50.4: 2, 50.8: 1.2, 51.2: 1.7, 51.6: 2.9, 52.0: "> 10"}


@pytest.fixture
def metered(window, qtbot, tmp_path):
    path = tmp_path / "meter.csv"
    path.write_text("MHz,SWR\n" + "".join(f"{f},{s}\n" for f, s in ROWS.items()), "utf-8")
    load(window, qtbot, [str(path)])
    return window


def test_the_plot_says_so_and_the_table_has_bounds(metered):
    run_events()
    plot = metered.frequency_plot
    assert plot._corner_text._lines[0] == "▲ beyond the meter's scale"
    assert cell(metered, "meter", "worst") == "> 10"
    assert share_of_colour(plot, metered.view_state.theme.curves[0]) > 0


def test_the_picture_explains_its_marks(metered):
    bench = metered.document.bench
    picture = lay_out(bench, bench.picture, FontMeasure(chosen_families()))
    written = " ".join(shape.text for shape in picture.shapes if hasattr(shape, "text"))
    assert "^ at the top edge: SWR beyond the meter's scale." in written
