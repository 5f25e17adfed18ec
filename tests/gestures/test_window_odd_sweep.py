"""A sweep that makes the program's own work fail leaves the window and the other sweeps alone."""

from __future__ import annotations

import pytest
from window import cell, key_of, labels, load, run_events, write_sweep

from fairlead.app.panels.sweep_list_model import FINDINGS_ROLE
from fairlead.app.plots import prepared
from fairlead.core import guarded_figures
from fairlead.core.analysis import analyses
from fairlead.core.comparison import knowledge
from fairlead.core.soundness import reported
from fairlead.core.views.registry import VIEWS

pytest_plugins = ["window_fixtures"]
PARTS = {
    "analysis": (analyses, "analyse"),
    "figures": (guarded_figures, "figures_of"),
    "checks": (reported, "check_sweep"),
    "intervals": (knowledge, "assess"),
}


@pytest.mark.parametrize("part", PARTS)
def test_dashes_with_a_reason_and_the_others_stay(window, qtbot, tmp_path, monkeypatch, part):
    module, name = PARTS[part]
    real = getattr(module, name)

    def work(of, *rest):
        if of.frequency_hz.size == 77:
            raise ArithmeticError
        return real(of, *rest)

    monkeypatch.setattr(module, name, work)
    paths = [
        write_sweep(tmp_path / "dry.s1p"),
        write_sweep(tmp_path / "odd.s1p", points=77),
        write_sweep(tmp_path / "wet.s1p", 50.6e6),
    ]
    load(window, qtbot, paths)
    qtbot.waitUntil(lambda: window.sweep_model.concerns.is_up_to_date, timeout=10_000)
    qtbot.waitUntil(lambda: not window.background.is_busy, timeout=20_000)
    for view in VIEWS:
        window.commands[f"view-{view.id}"].trigger()
        window.grab()
    assert labels(window) == ["dry", "odd", "wet"]
    assert window.messages.isHidden()
    assert cell(window, "dry", "best_match").startswith("51.0")
    assert cell(window, "wet", "shift")[:1] in "−-"
    row = window.sweep_model.row_of(key_of(window, "odd"))
    said = window.sweep_model.index(row, 0).data(FINDINGS_ROLE)
    assert any("ArithmeticError" in one.text for one in said) == (part in {"analysis", "checks"})
    if part in {"analysis", "figures"}:
        assert cell(window, "odd", "best_match") == "–"
        column = [spec.id for spec in window.figures_model.specs].index("best_match")
        index = window.figures_model.index(
            window.figures_model.row_of(key_of(window, "odd")), column
        )
        assert "ArithmeticError" in index.data(3)
    # It can be looked at, and goes like any other.
    window.edits.set_band(window.document.bench.band.__class__(49e6, 53e6))
    window.edits.remove([key_of(window, "odd")])
    run_events()
    assert labels(window) == ["dry", "wet"]


def test_what_fails_while_it_is_prepared_keeps_no_file_out(window, qtbot, tmp_path, monkeypatch):
    """A plot's weights are made ahead on the loading thread; without them all points are drawn."""

    def fails(*_):
        raise ArithmeticError

    monkeypatch.setattr(prepared.SmithProjection, "weights", fails)
    load(window, qtbot, [write_sweep(tmp_path / "dry.s1p"), write_sweep(tmp_path / "wet.s1p")])
    assert labels(window) == ["dry", "wet"]
