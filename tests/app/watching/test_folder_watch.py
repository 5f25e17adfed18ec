"""The watch on a real folder, without a window; another process writes where that matters."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
import threading
import time
from pathlib import Path

import pytest
from window import write_sweep

import fairlead.core.reading
from fairlead.app.files import watching
from fairlead.app.files.watching import FolderWatch
from fairlead.core.atomic_file import write_atomic
from fairlead.core.document.bench import Bench
from fairlead.core.errors import ReadError
from fairlead.core.reading import open_sweeps

pytestmark = pytest.mark.slow


class Ear:
    """Everything a watch has said."""

    def __init__(self, watch):
        self.began, self.arrived, self.trouble = [], [], []
        watch.began.connect(self.began.append)
        watch.arrived.connect(self.arrived.append)
        watch.trouble_changed.connect(self.trouble.append)

    @property
    def names(self):
        return [Path(file).name for one in self.arrived for file, _ in one.files]

    @property
    def errors(self):
        return [line for one in self.arrived for line in one.errors]


@pytest.fixture
def folder(tmp_path):
    path = tmp_path / "watched"
    path.mkdir()
    return path


@pytest.fixture
def watch(qtbot):
    watch = FolderWatch(Bench)
    with qtbot.captureExceptions():
        yield watch
    watch.close()


@pytest.fixture
def ear(watch, folder, qtbot):
    ear = Ear(watch)
    watch.start(str(folder))
    qtbot.waitUntil(lambda: len(ear.began) == 1)
    return ear


def put(folder, name, f0_hz=51e6):
    """Written elsewhere and moved into place, as careful programs do."""
    outside = folder.parent / f"{name}.part"
    write_sweep(outside, f0_hz)
    outside.replace(folder / name)
    return folder / name


def test_what_is_there_already_is_only_counted(watch, folder, qtbot):
    put(folder, "old.s1p")
    (folder / "below").mkdir()
    put(folder / "below", "older.s1p")
    (folder / "picture.png").write_bytes(b"\x89PNG")
    ear = Ear(watch)
    watch.start(str(folder))
    qtbot.waitUntil(lambda: len(ear.began) == 1)
    assert sorted(Path(file).name for file in ear.began[0]) == ["old.s1p", "older.s1p"]
    qtbot.wait(900)
    assert ear.arrived == []


def test_a_new_file_arrives_also_below(ear, folder, qtbot):
    put(folder, "new.s1p")
    qtbot.waitUntil(lambda: ear.names == ["new.s1p"], timeout=4000)
    (reading,) = ear.arrived[0].files[0][1]
    assert reading.label == "new"
    assert len(reading.sweep) == 101
    (folder / "day two").mkdir()
    put(folder / "day two", "more.s1p")
    qtbot.waitUntil(lambda: ear.names == ["new.s1p", "more.s1p"], timeout=5000)


def test_every_atomic_replace_is_noticed(ear, folder, qtbot):
    for count in range(1, 4):
        put(folder, "dry.s1p", 50e6 + count * 1e5)
        qtbot.waitUntil(lambda count=count: len(ear.names) == count, timeout=5000)
    sweeps = {one.files[0][1][0].sweep for one in ear.arrived}
    assert len(sweeps) == 3


WRITER = """
import sys, time
lines = open(sys.argv[1]).read().splitlines(keepends=True)
with open(sys.argv[2], "w") as stream:
    for line in lines:
        stream.write(line[:9]); stream.flush()
        time.sleep(float(sys.argv[3]))
        stream.write(line[9:]); stream.flush()
"""


@pytest.mark.parametrize(("points", "pause_s"), [(41, 0.05), (9, 0.35)])
def test_a_slow_writer_is_waited_for(ear, folder, qtbot, points, pause_s):
    source = folder.parent / "source.s1p"
    write_sweep(source, points=points)
    slow = folder / "slow.s1p"
    process = subprocess.Popen([sys.executable, "-c", WRITER, source, slow, str(pause_s)])
    qtbot.waitUntil(lambda: process.poll() is not None, timeout=15_000)
    assert process.returncode == 0
    assert ear.arrived == []
    qtbot.waitUntil(lambda: ear.names == ["slow.s1p"], timeout=8000)
    assert len(ear.arrived[0].files[0][1][0].sweep) == points
    qtbot.wait(700)
    assert len(ear.arrived) == 1


def test_a_broken_file_gets_one_line_and_a_mended_one_arrives(ear, folder, qtbot):
    broken = folder / "broken.s1p"
    broken.write_text("# MHz S RI R 50\n50 0.1\n")
    qtbot.waitUntil(lambda: len(ear.errors) == 1, timeout=8000)
    assert "broken.s1p:2" in ear.errors[0]
    os.utime(broken, (1, 1))
    qtbot.wait(3000)
    assert len(ear.errors) == 1
    put(folder, "broken.s1p")
    qtbot.waitUntil(lambda: ear.names == ["broken.s1p"], timeout=5000)


def test_the_folder_may_go_and_come_back(ear, watch, folder, qtbot):
    put(folder, "first.s1p")
    qtbot.waitUntil(lambda: ear.names == ["first.s1p"], timeout=5000)
    away = folder.parent / "away"
    folder.replace(away)
    qtbot.waitUntil(lambda: ear.trouble == ["it does not exist"], timeout=5000)
    away.replace(folder)
    qtbot.waitUntil(lambda: ear.trouble == ["it does not exist", ""], timeout=5000)
    put(folder, "second.s1p")
    qtbot.waitUntil(lambda: ear.names == ["first.s1p", "second.s1p"], timeout=5000)
    shutil.rmtree(folder)
    qtbot.waitUntil(lambda: ear.trouble[-1] == "it does not exist", timeout=5000)
    folder.mkdir()
    put(folder, "third.s1p")
    qtbot.waitUntil(lambda: ear.names[2:] == ["third.s1p"], timeout=5000)
    assert watch.folder == str(folder)


def test_a_thousand_files_come_at_once(ear, folder, qtbot):
    write_sweep(folder.parent / "one.s1p", points=11)
    text = (folder.parent / "one.s1p").read_text()
    for number in range(1000):
        (folder / f"unit {number}.s1p").write_text(text.replace("R 50", f"R {50 + number}"))
    qtbot.waitUntil(lambda: len(ear.names) == 1000, timeout=60_000)
    assert sorted(ear.names) == sorted(f"unit {number}.s1p" for number in range(1000))
    # As many batches as looks while they are written, not one a file.
    assert len(ear.arrived) < 20


def test_nothing_is_said_after_a_stop(ear, watch, folder, qtbot):
    put(folder, "new.s1p")
    time.sleep(0.3)
    watch.stop()
    qtbot.wait(1500)
    assert ear.arrived == []
    assert watch.folder == ""
    watch.start(str(folder))
    qtbot.waitUntil(lambda: len(ear.began) == 2)


def test_a_table_without_a_hint_is_handed_on(ear, watch, folder, qtbot):
    rows = "50,1.9,77\n51,1.4,66\n52,1.8,71\n"
    (folder / "meter.csv").write_text("a,b,c\n" + rows)
    qtbot.waitUntil(lambda: len(ear.arrived) == 1, timeout=5000)
    (unclear,) = ear.arrived[0].unclear
    assert ear.arrived[0].errors == ()
    watch.columns = {unclear.preview.fingerprint: "frequency=1:MHz,swr=2"}
    (folder / "roof.csv").write_text("a,b,c\n" + rows)
    qtbot.waitUntil(lambda: ear.names == ["roof.csv"], timeout=5000)


def test_more_files_than_are_taken_are_said_once(ear, folder, qtbot, monkeypatch):
    monkeypatch.setattr("fairlead.core.reading.files.MOST_FILES", 1)
    put(folder, "a.s1p")
    put(folder, "b.s1p", 50e6)
    qtbot.waitUntil(lambda: len(ear.errors) == 1, timeout=5000)
    assert "more than 1 sweep files" in ear.errors[0]
    qtbot.wait(1500)
    assert len(ear.errors) == 1


def test_renamed_files_are_no_new_ones(ear, folder, qtbot):
    for number in range(20):
        put(folder, f"unit {number}.s1p", 50e6 + number * 1e4)
    qtbot.waitUntil(lambda: len(ear.names) == 20, timeout=8000)
    (folder / "old").mkdir()
    for number in range(20):
        (folder / f"unit {number}.s1p").rename(folder / "old" / f"antenna {number}.s1p")
    moved = lambda: [pair for one in ear.arrived for pair in one.moved]  # noqa: E731
    qtbot.waitUntil(lambda: len(moved()) == 20, timeout=8000)
    qtbot.wait(1500)
    assert len(ear.names) == 20
    assert (str(folder / "unit 3.s1p"), str(folder / "old" / "antenna 3.s1p")) in moved()


def test_where_numbers_of_files_are_not_kept_a_renamed_one_is_known_by_its_content(folder, qtbot):
    old = put(folder, "dry.s1p")
    bench = Bench().with_readings(open_sweeps(str(old)))
    watch = FolderWatch(lambda: bench)
    ear = Ear(watch)
    watch.start(str(folder))
    qtbot.waitUntil(lambda: len(ear.began) == 1)
    content = old.read_bytes()
    (folder / "copy.s1p").write_bytes(content)
    qtbot.waitUntil(lambda: ear.names == ["copy.s1p"], timeout=5000)  # the first is still there
    old.unlink()
    (folder / "wet.s1p").write_bytes(content)
    qtbot.waitUntil(lambda: ear.arrived[-1].moved == ((str(old), str(folder / "wet.s1p")),))
    assert ear.names == ["copy.s1p"]
    watch.close()


def test_what_the_program_writes_does_not_come_back_until_others_change_it(
    ear, watch, folder, qtbot
):
    write_sweep(folder.parent / "one.s1p")
    content = (folder.parent / "one.s1p").read_bytes()
    write_atomic(folder / "export.s1p", [content], never_over=())
    put(folder, "measured.s1p", 50e6)
    qtbot.waitUntil(lambda: ear.names == ["measured.s1p"], timeout=5000)
    qtbot.wait(1500)
    assert ear.names == ["measured.s1p"]
    watch.start(str(folder))
    qtbot.waitUntil(lambda: len(ear.began) == 2)
    assert [Path(file).name for file in ear.began[1]] == ["measured.s1p"]
    put(folder, "export.s1p", 49e6)
    qtbot.waitUntil(lambda: ear.names == ["measured.s1p", "export.s1p"], timeout=5000)


def test_a_file_rewritten_in_place_with_equal_size_and_time_is_noticed(ear, folder, qtbot):
    path = put(folder, "dry.s1p")
    qtbot.waitUntil(lambda: ear.names == ["dry.s1p"], timeout=5000)
    before = path.stat()
    text = path.read_text()
    path.write_text(text.replace("46000000.000", "46000000.001"))
    os.utime(path, ns=(before.st_atime_ns, before.st_mtime_ns))
    assert path.stat().st_size == before.st_size
    qtbot.waitUntil(lambda: ear.names == ["dry.s1p"] * 2, timeout=5000)


@pytest.mark.skipif(os.name != "posix", reason="links of POSIX")
def test_one_bad_entry_is_told_once_and_the_others_come(ear, folder, qtbot):
    (folder / "loop.s1p").symlink_to(folder / "loop.s1p")
    put(folder, "good.s1p")
    qtbot.waitUntil(lambda: ear.names == ["good.s1p"], timeout=5000)
    assert len(ear.errors) == 1
    assert "form a loop" in ear.errors[0]
    put(folder, "better.s1p", 50e6)
    qtbot.waitUntil(lambda: len(ear.names) == 2, timeout=5000)
    assert len(ear.errors) == 1
    assert ear.trouble == []


def test_whatever_a_look_raises_the_next_one_follows_and_the_trouble_is_told(
    ear, folder, qtbot, monkeypatch
):
    real = fairlead.core.reading.expand_paths
    failing = [True]

    def fails(paths):
        if failing[0]:
            raise OSError(116, "Stale file handle")
        return real(paths)

    monkeypatch.setattr(fairlead.core.reading, "expand_paths", fails)
    qtbot.waitUntil(lambda: len(ear.trouble) == 1, timeout=5000)
    assert "the drive does not respond" in ear.trouble[0]
    failing[0] = False
    put(folder, "dry.s1p")
    qtbot.waitUntil(lambda: ear.names == ["dry.s1p"], timeout=5000)
    assert ear.trouble[1:] == [""]


def test_a_folder_that_may_not_be_listed_is_told(ear, watch, folder, qtbot, monkeypatch):
    def refused(_):
        raise ReadError(str(folder), "the folder cannot be listed: no permission to read it")

    monkeypatch.setattr(watching, "names_in", refused)
    qtbot.waitUntil(lambda: len(ear.trouble) == 1, timeout=5000)
    assert ear.trouble == ["the folder cannot be listed: no permission to read it"]
    assert watch.folder == str(folder)


def test_a_drive_that_does_not_answer_is_told_and_holds_nobody(ear, watch, qtbot, monkeypatch):
    gate = threading.Event()
    monkeypatch.setattr(watching, "SILENT_S", 0.2)
    monkeypatch.setattr(watching, "_PATIENCE_S", 0.2)
    monkeypatch.setattr(watching, "names_in", lambda _: gate.wait(20))
    qtbot.waitUntil(lambda: ear.trouble == ["the drive does not respond"], timeout=5000)
    watch.close()
    gate.set()
