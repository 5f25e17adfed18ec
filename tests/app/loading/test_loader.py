"""Reading off the GUI thread: everything is announced once, nothing escapes as an exception."""

from __future__ import annotations

import gc
import threading

import numpy as np
import pytest
from window import write_sweep

import fairlead.core.figures
import fairlead.core.reading
from fairlead.app.files.gathering import repeats
from fairlead.app.files.loading import Loaded, Loader
from fairlead.core.document.bench import Bench
from fairlead.core.reading.reading import Reading
from fairlead.core.sweep import Sweep

pytestmark = pytest.mark.usefixtures("qapp")


@pytest.fixture
def loader():
    made = Loader(Bench, prepare=lambda *_: None)
    yield made
    made.close()


def load(loader, qtbot, paths):
    with qtbot.waitSignal(loader.loaded, timeout=10_000) as heard:
        loader.load(paths)
    (loaded,) = heard.args
    return loaded


def test_order_is_kept_and_errors_are_lines(loader, qtbot, tmp_path):
    paths = [write_sweep(tmp_path / f"{name}.s1p") for name in "cab"]
    loaded = load(loader, qtbot, [paths[0], str(tmp_path / "none.s1p"), *paths[1:]])
    assert [reading.label for reading in loaded.readings] == ["c", "a", "b"]
    (line,) = loaded.errors
    assert line.startswith(str(tmp_path / "none.s1p"))
    assert loaded.files == 4
    assert not loaded.was_cancelled


def test_an_empty_folder_is_one_line(loader, qtbot, tmp_path):
    loaded = load(loader, qtbot, [str(tmp_path)])
    assert loaded.readings == ()
    assert len(loaded.errors) == 1


def test_nothing_to_load_is_no_load(loader):
    loader.load([])
    assert not loader.is_busy


def test_an_unforeseen_exception_becomes_a_line_and_the_next_file_is_read(
    loader, qtbot, tmp_path, monkeypatch
):
    real = fairlead.core.reading.open_sweeps

    def fails(path):
        if "bad" in path:
            raise ZeroDivisionError("division\nby zero")
        return real(path)

    monkeypatch.setattr(fairlead.core.reading, "open_sweeps", fails)
    paths = [write_sweep(tmp_path / f"{name}.s1p") for name in ("bad", "good")]
    loaded = load(loader, qtbot, paths)
    assert [reading.label for reading in loaded.readings] == ["good"]
    (line,) = loaded.errors
    assert "ZeroDivisionError: division by zero" in line


def test_even_the_search_for_files_may_fail(loader, qtbot, monkeypatch):
    def fails(_):
        raise MemoryError("no more")

    monkeypatch.setattr(fairlead.core.reading, "expand_paths", fails)
    loaded = load(loader, qtbot, ["/some/where"])
    assert loaded.readings == ()
    assert len(loaded.errors) == 1
    assert not loader.is_busy


def test_files_are_read_on_another_thread_and_announced_on_this_one(
    loader, qtbot, tmp_path, monkeypatch
):
    threads = []
    real = fairlead.core.reading.open_sweeps
    monkeypatch.setattr(
        fairlead.core.reading,
        "open_sweeps",
        lambda path: threads.append(threading.get_ident()) or real(path),
    )
    heard = []
    loader.loaded.connect(lambda _: heard.append(threading.get_ident()))
    load(loader, qtbot, [write_sweep(tmp_path / "a.s1p")])
    assert heard == [threading.get_ident()]
    assert threads != heard


def test_loads_wait_for_each_other_and_end_once(loader, qtbot, tmp_path):
    heard = []
    loader.started.connect(lambda: heard.append("started"))
    loader.loaded.connect(lambda loaded: heard.append(loaded.readings[0].label))
    loader.ended.connect(lambda: heard.append("ended"))
    with qtbot.waitSignal(loader.ended, timeout=10_000):
        for name in "abc":
            loader.load([write_sweep(tmp_path / f"{name}.s1p")])
    assert heard == ["started", "a", "b", "c", "ended"]


def test_progress_names_the_file_being_read(loader, qtbot, tmp_path, monkeypatch):
    monkeypatch.setattr("fairlead.app.files.jobs.PROGRESS_EVERY_S", 0.0)
    told = []
    loader.progressed.connect(lambda *args: told.append(args))
    load(loader, qtbot, [write_sweep(tmp_path / f"{i}.s1p") for i in range(3)])
    assert told == [
        *((i, 3, f"Reading {i}.s1p") for i in range(3)),
        *((i, 3, f"Analysing {i}") for i in range(3)),
    ]


def test_a_cancel_gives_up_waiting_loads_too(loader, qtbot, tmp_path, monkeypatch):
    gate, reached = threading.Event(), threading.Event()
    real = fairlead.core.reading.open_sweeps

    def waits(path):
        reached.set()
        assert gate.wait(10)
        return real(path)

    monkeypatch.setattr(fairlead.core.reading, "open_sweeps", waits)
    heard = []
    loader.loaded.connect(heard.append)
    paths = [write_sweep(tmp_path / f"{i}.s1p") for i in range(3)]
    loader.load(paths)
    loader.load(paths)
    qtbot.waitUntil(reached.is_set)
    loader.cancel()
    gate.set()
    qtbot.waitUntil(lambda: not loader.is_busy)
    assert [loaded.was_cancelled for loaded in heard] == [True, True]
    assert all(loaded.readings == () for loaded in heard)


def test_a_loader_that_goes_while_it_reads_says_nothing_more(qtbot, tmp_path, monkeypatch):
    gate, reached = threading.Event(), threading.Event()
    real = fairlead.core.reading.open_sweeps

    def waits(path):
        reached.set()
        assert gate.wait(10)
        return real(path)

    monkeypatch.setattr(fairlead.core.reading, "open_sweeps", waits)
    loader = Loader(Bench)
    heard = []
    loader.loaded.connect(heard.append)
    loader.load([write_sweep(tmp_path / "a.s1p")])
    qtbot.waitUntil(reached.is_set)
    threading.Timer(0.05, gate.set).start()
    loader.close()
    del loader
    gc.collect()
    qtbot.wait(20)
    assert heard == []


def test_a_name_with_line_breaks_becomes_one_line(loader, qtbot, tmp_path):
    path = tmp_path / "two\nlines\tand a tab.s1p"
    try:
        write_sweep(path)
    except OSError:
        pytest.skip("this system has no such names")
    loaded = load(loader, qtbot, [str(path)])
    assert [reading.label for reading in loaded.readings] == ["two lines and a tab"]


def test_figures_are_worked_out_on_the_worker_for_the_bench_that_will_be(qtbot, tmp_path):
    calls = []
    old = Bench().with_readings([Reading(sweep(0.1), "old", "")]).with_z0(75).with_limit(1.5)
    loader = Loader(lambda: old, prepare=lambda *args: calls.append((threading.get_ident(), args)))
    loaded = load(loader, qtbot, [write_sweep(tmp_path / f"{i}.s1p", 5e7 + i) for i in range(2)])
    after = old.with_readings(loaded.readings)
    assert [args for _, args in calls] == [(reading.sweep, after) for reading in loaded.readings]
    assert threading.get_ident() not in {thread for thread, _ in calls}
    loader.close()


def sweep(value):
    return Sweep(np.linspace(1e6, 2e6, 5), np.full(5, value, dtype=complex))


def test_the_same_numbers_are_found_on_the_bench_and_in_the_load_itself():
    bench = Bench().with_readings([Reading(sweep(0.1), "old", "")])
    new = [
        Reading(sweep(0.1), "again", ""),
        Reading(sweep(0.2), "one", ""),
        Reading(sweep(0.2), "two", ""),
        Reading(sweep(0.3), "three", ""),
    ]
    lines = repeats(bench, new)
    assert len(lines) == 2
    assert '"again" has the same numbers as "old"' in lines[0]
    assert '"two" has the same numbers as "one"' in lines[1]


def test_a_loaded_value_says_what_it_was_asked_for_as(loader, qtbot, tmp_path):
    with qtbot.waitSignal(loader.loaded) as heard:
        loader.load([write_sweep(tmp_path / "a.s1p")], "samples")
    assert isinstance(heard.args[0], Loaded)
    assert heard.args[0].purpose == "samples"
