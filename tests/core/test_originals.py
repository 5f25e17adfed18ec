"""Files that sweeps were read from are never written over, also when the bench forgot them."""

from __future__ import annotations

import os
from pathlib import Path

import pytest

from fairlead.core import Bench, load_bench, open_sweeps, save_bench
from fairlead.core.atomic_file import write_atomic
from fairlead.core.bench_file import storage
from fairlead.core.errors import FairleadError
from fairlead.core.originals import Originals

SWEEP = "# MHz S RI R 50\n50 0.1 0.2\n51 0.1 0.1\n"


@pytest.fixture
def sweep(tmp_path):
    path = tmp_path / "a.s1p"
    path.write_text(SWEEP, "ascii")
    return path


def names_for(path, tmp_path):
    """The file under every name that it can have."""
    os.link(path, tmp_path / "hard.s1p")
    (tmp_path / "soft.s1p").symlink_to(path)
    (tmp_path / "linked").symlink_to(tmp_path, target_is_directory=True)
    return [path, *(tmp_path / name for name in ("hard.s1p", "soft.s1p", "linked/a.s1p"))]


def test_what_was_read_and_removed_since_is_refused_under_every_name(sweep, tmp_path):
    names = names_for(sweep, tmp_path)
    open_sweeps(sweep)
    for name in names:
        with pytest.raises(FairleadError, match="originals are never written over"):
            write_atomic(name, [b"x"], never_over=())
    assert sweep.read_text("ascii") == SWEEP


def test_a_file_in_which_no_sweep_was_found_may_be_replaced(tmp_path):
    path = tmp_path / "figures.csv"
    path.write_text("no sweep", "ascii")
    with pytest.raises(FairleadError):
        open_sweeps(path)
    write_atomic(path, [b"x"], never_over=())
    assert path.read_bytes() == b"x"


def test_a_relative_path_is_known_from_every_folder(sweep, tmp_path, monkeypatch):
    (tmp_path / "below").mkdir()
    monkeypatch.chdir(tmp_path)
    open_sweeps("a.s1p")
    monkeypatch.chdir("below")
    with pytest.raises(FairleadError, match="originals"):
        write_atomic(sweep, [b"x"], never_over=())


def test_the_oldest_are_forgotten():
    originals = Originals(most=2)
    for name in ("a", "b", "a", "c"):
        originals.note(name)
    assert [Path(path).name for path in originals.paths()] == ["a", "c"]


def test_a_bench_names_its_files_as_they_are_seen_from_its_folder(sweep, tmp_path, monkeypatch):
    """Opened from another folder, the original is still known and still never written over."""
    (tmp_path / "benches").mkdir()
    monkeypatch.chdir(tmp_path)
    bench = Bench().with_readings(open_sweeps("a.s1p"))
    save_bench(bench, "benches/b.fairlead")
    assert '"file": "../a.s1p"' in Path("benches/b.fairlead").read_text("utf-8")
    assert bench.entries[0].file == "a.s1p"
    monkeypatch.chdir(tmp_path.parent)
    loaded = load_bench(tmp_path / "benches/b.fairlead")
    assert loaded.source_files == {str(tmp_path / "benches/../a.s1p")}
    with pytest.raises(FairleadError, match="originals"):
        write_atomic(sweep, [b"x"], never_over=loaded.source_files)
    # In its own folder nothing has to be told apart.
    monkeypatch.chdir(tmp_path / "benches")
    assert load_bench("b.fairlead").source_files == {"../a.s1p"}


def test_names_that_lead_nowhere_from_the_bench_stay_as_they_are(tmp_path, monkeypatch):
    path = tmp_path / "gone.s1p"
    path.write_text(SWEEP, "ascii")
    monkeypatch.chdir(tmp_path)
    bench = Bench().with_readings(open_sweeps("gone.s1p"))
    path.unlink()
    save_bench(bench, tmp_path / "b.fairlead")
    monkeypatch.chdir(tmp_path.parent)
    assert load_bench(tmp_path / "b.fairlead").source_files == {"gone.s1p"}


def test_a_bench_on_another_drive_keeps_the_name(sweep, tmp_path, monkeypatch):
    """Windows has no relative path from one drive to another."""

    def no_way(*_):
        raise ValueError

    monkeypatch.chdir(tmp_path)
    bench = Bench().with_readings(open_sweeps(sweep.name))
    monkeypatch.setattr(storage.os.path, "relpath", no_way)
    save_bench(bench, "b.fairlead")
    assert '"file": "a.s1p"' in Path("b.fairlead").read_text("utf-8")
