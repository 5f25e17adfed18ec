"""Sweeps and the table leave for other programs, and what left reads back equal."""

from __future__ import annotations

import csv
import os

import numpy as np
import pytest
from window import key_of, load, run_events, select, write_sweep

from fairlead.app.panels.file_chooser import FileChooser
from fairlead.core.reading import open_sweeps
from fairlead.core.transform.frequency_scale import FrequencyScale

pytest_plugins = ["window_fixtures"]

FORMS = [
    ("export-touchstone-1", ".s1p"),
    ("export-touchstone-2", ".ts"),
    ("export-csv", ".csv"),
]


@pytest.fixture
def out(tmp_path):
    folder = tmp_path / "out"
    folder.mkdir()
    return folder


@pytest.fixture
def chooser(monkeypatch):
    """Answers with ``chooser.path``, and keeps what was suggested."""

    class Chooser:
        path = ""
        suggestion = ""
        folders = 0

    given = Chooser()

    def data(_cls, _parent, _title, suggestion, _form, _ending):
        given.suggestion = suggestion
        return str(given.path)

    def folder(_cls, _parent, _title, _folder):
        given.folders += 1
        return str(given.path)

    monkeypatch.setattr(FileChooser, "data_to_write", classmethod(data))
    monkeypatch.setattr(FileChooser, "folder_to_write", classmethod(folder))
    return given


def export(window, qtbot, name):
    window.commands[name].trigger()
    qtbot.waitUntil(lambda: not window.worker.is_busy)
    run_events()


def sweep_of(window, label):
    return window.document.bench.entry(key_of(window, label)).sweep


@pytest.mark.parametrize(("name", "ending"), FORMS)
def test_one_selected_sweep_reads_back_equal(loaded, qtbot, chooser, out, name, ending):
    loaded.edits.rename(key_of(loaded, "wet"), "roof: wet/2")
    select(loaded, "roof: wet/2")
    chooser.path = out / f"one{ending}"
    export(loaded, qtbot, name)
    assert chooser.suggestion.endswith(f"roof- wet-2{ending}")
    (reading,) = open_sweeps(chooser.path)
    assert reading.sweep == sweep_of(loaded, "roof: wet/2")
    assert loaded.messages.lines == [f"Exported {chooser.path}"]


@pytest.mark.parametrize(("name", "ending"), FORMS)
def test_all_that_are_shown_go_into_a_folder_and_replace_nothing(
    loaded, qtbot, chooser, out, name, ending
):
    loaded.edits.set_visible([key_of(loaded, "wet")], is_visible=False)
    loaded.edits.rename(key_of(loaded, "iced"), "DRY")
    chooser.path = out
    (out / f"dry{ending}").write_text("mine", encoding="utf-8")
    export(loaded, qtbot, name)
    assert (out / f"dry{ending}").read_text(encoding="utf-8") == "mine"
    assert {path.name for path in out.iterdir()} == {
        f"dry{ending}",
        f"dry (2){ending}",
        f"DRY (3){ending}",
    }
    for label, file in (("dry", f"dry (2){ending}"), ("DRY", f"DRY (3){ending}")):
        (reading,) = open_sweeps(out / file)
        assert reading.sweep == sweep_of(loaded, label)
    assert loaded.messages.lines == [f"Exported 2 files into {out}"]


def test_a_measured_file_is_never_written_over(loaded, qtbot, chooser, tmp_path):
    select(loaded, "dry")
    chooser.path = tmp_path / "wet.s1p"
    before = chooser.path.read_bytes()
    export(loaded, qtbot, "export-touchstone-1")
    assert chooser.path.read_bytes() == before
    assert "never written over" in loaded.messages.lines[0]


def test_a_sweep_without_phase_is_a_line_and_the_others_are_written(
    loaded, qtbot, chooser, out, tmp_path
):
    (tmp_path / "scalar.csv").write_text(
        "frequency_mhz,swr\n50,1.5\n51,1.2\n52,1.4\n", encoding="utf-8"
    )
    load(loaded, qtbot, [str(tmp_path / "scalar.csv")])
    chooser.path = out
    export(loaded, qtbot, "export-touchstone-1")
    assert sorted(path.name for path in out.iterdir()) == ["dry.s1p", "iced.s1p", "wet.s1p"]
    assert 'no phase was measured with "scalar"' in loaded.messages.lines[0]
    export(loaded, qtbot, "export-csv")
    (reading,) = open_sweeps(out / "scalar.csv")
    assert not reading.sweep.has_phase
    assert np.array_equal(reading.sweep.magnitude, sweep_of(loaded, "scalar").magnitude)


@pytest.mark.usefixtures("chooser")
def test_an_answer_thought_better_of_writes_nothing(loaded, qtbot, out):
    for name in ("export-csv", "export-table-csv"):
        export(loaded, qtbot, name)
    select(loaded, "dry")
    export(loaded, qtbot, "export-csv")
    assert list(out.iterdir()) == []
    assert loaded.messages.lines == []


def test_nothing_shown_is_nothing_exported(loaded, qtbot, chooser):
    loaded.edits.set_visible(
        [entry.key for entry in loaded.document.bench.entries], is_visible=False
    )
    export(loaded, qtbot, "export-csv")
    assert chooser.folders == 0
    assert "nothing was exported" in loaded.messages.lines[0]


def test_the_table_as_csv_holds_the_figures_in_full(loaded, qtbot, chooser, out):
    select(loaded, "wet", "iced")
    chooser.path = out / "figures.csv"
    export(loaded, qtbot, "export-table-csv")
    assert chooser.suggestion.endswith("figures.csv")
    with chooser.path.open(encoding="utf-8", newline="") as stream:
        rows = list(csv.DictReader(stream))
    assert [row["label"] for row in rows] == ["wet", "iced"]
    # The closed form of the files themselves: X = 0 at f0 of a series circuit.
    assert float(rows[0]["resonance_hz"]) == pytest.approx(50.6e6, abs=100)
    assert float(rows[1]["resonance_resistance_ohm"]) == pytest.approx(45.0, rel=1e-4)


def test_the_table_as_markdown_is_what_is_copied(loaded, qtbot, qapp, chooser, out):
    chooser.path = out / "figures.md"
    export(loaded, qtbot, "export-table-markdown")
    loaded.commands["copy-markdown"].trigger()
    assert chooser.path.read_text(encoding="utf-8") == qapp.clipboard().text()


def test_a_file_that_cannot_be_written_is_one_line(loaded, qtbot, chooser, tmp_path):
    select(loaded, "dry")
    chooser.path = tmp_path / "missing" / "dry.s1p"
    export(loaded, qtbot, "export-touchstone-1")
    (line,) = loaded.messages.lines
    assert "could not be saved" in line
    assert loaded.messages.property("level") == "error"


def test_a_new_name_of_a_measured_file_is_free(loaded, qtbot, chooser, tmp_path):
    path = write_sweep(tmp_path / "other.s1p")
    select(loaded, "dry")
    chooser.path = path
    export(loaded, qtbot, "export-touchstone-1")
    (reading,) = open_sweeps(path)
    assert reading.sweep == sweep_of(loaded, "dry")


@pytest.mark.skipif(os.name != "posix", reason="links of POSIX")
@pytest.mark.parametrize("way", ["itself", "link", "linked folder", "hard link"])
def test_no_export_writes_over_an_original_by_any_way(loaded, qtbot, chooser, out, tmp_path, way):
    original = tmp_path / "scalar.csv"
    original.write_text("frequency_mhz,swr\n50,1.5\n51,1.2\n52,1.4\n", encoding="utf-8")
    load(loaded, qtbot, [str(original)])
    before = original.read_bytes()
    (out / "link.csv").symlink_to(original)
    (out / "folder").symlink_to(tmp_path)
    os.link(original, out / "hard.csv")
    chooser.path = {
        "itself": original,
        "link": out / "link.csv",
        "linked folder": out / "folder" / "scalar.csv",
        "hard link": out / "hard.csv",
    }[way]
    select(loaded, "scalar")
    for name in ("export-table-csv", "export-csv"):
        loaded.messages.clear()
        export(loaded, qtbot, name)
        assert original.read_bytes() == before
        assert "never written over" in loaded.messages.lines[0]


def test_what_is_shown_is_exported_only_when_asked(loaded, qtbot, chooser, out):
    key = key_of(loaded, "dry")
    loaded.edits.add_step([key], FrequencyScale(1.0))
    entry = loaded.document.bench.entry(key)
    select(loaded, "dry")
    chooser.path = out / "measured.s1p"
    export(loaded, qtbot, "export-touchstone-1")
    assert chooser.suggestion.endswith("/dry.s1p")
    assert open_sweeps(chooser.path)[0].sweep == entry.measured
    chooser.path = out / "shown.s1p"
    export(loaded, qtbot, "export-shown-touchstone-1")
    assert chooser.suggestion.endswith("/what-if- dry (frequency +1 %).s1p")
    assert open_sweeps(chooser.path)[0].sweep == entry.sweep
    chooser.path = out / "shown.csv"
    export(loaded, qtbot, "export-shown-csv")
    assert open_sweeps(chooser.path)[0].sweep == entry.sweep
