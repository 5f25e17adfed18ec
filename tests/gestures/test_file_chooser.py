"""The dialog that asks where to write, played by keys: the ending comes before the warning."""

from __future__ import annotations

from fairlead.app.panels.file_chooser import FileChooser

pytest_plugins = ["window_fixtures"]


def test_a_name_without_an_ending_gets_one(window, play, tmp_path):
    play("roof")
    chosen = FileChooser.bench_to_write(window, str(tmp_path / "bench.fairlead"))
    assert chosen == str(tmp_path / "roof.fairlead")


def test_a_name_that_is_taken_once_it_has_its_ending_is_asked_about(window, play, tmp_path):
    (tmp_path / "roof.fairlead").write_text("mine", encoding="utf-8")
    asked = play("roof")
    assert FileChooser.bench_to_write(window, str(tmp_path / "bench.fairlead")) == ""
    assert len(asked) == 1
    assert "roof.fairlead" in asked[0]


def test_each_kind_has_its_ending(window, play, tmp_path):
    play("dry")
    title = "Export the sweep as CSV"
    path = FileChooser.data_to_write(window, title, str(tmp_path / "a.csv"), "CSV", ".csv")
    assert path == str(tmp_path / "dry.csv")
    play("dry")
    path = FileChooser.picture_to_write(window, str(tmp_path / "sweeps.png"))
    assert path == str(tmp_path / "dry.png")
