"""Tasks off the GUI thread: in order, told about on the GUI thread, never cut short."""

from __future__ import annotations

import threading

import pytest

from fairlead.app.files.worker import Worker
from fairlead.core.errors import FairleadError


@pytest.fixture
def worker(qapp):
    made = Worker()
    yield made
    made.close()
    qapp.processEvents()


def test_results_come_in_order_and_on_the_gui_thread(worker, qtbot):
    told, threads = [], set()

    def done(value):
        told.append(value)
        threads.add(threading.get_ident())

    with qtbot.waitSignal(worker.ended):
        for number in range(5):
            worker.run(
                "Counting", lambda number=number: (number, threading.get_ident()), done, None
            )
        assert worker.is_busy
    qtbot.waitUntil(lambda: len(told) == 5)
    assert [number for number, _ in told] == [0, 1, 2, 3, 4]
    assert threads == {threading.get_ident()}
    assert threads.isdisjoint(thread for _, thread in told)
    assert not worker.is_busy


def test_errors_become_one_line_and_the_next_task_runs(worker, qtbot):
    told = []

    def fails(error):
        raise error

    def note(error):
        told.append(str(error))

    for error in (
        FairleadError("the drive is full", "free some space"),
        OSError(5, "Input/output error"),
        ValueError("two\nlines"),
        KeyError(),
    ):
        worker.run("Saving roof.fairlead", lambda error=error: fails(error), told.append, note)
    worker.run("Saving roof.fairlead", lambda: "done", told.append, note)
    qtbot.waitUntil(lambda: len(told) == 5)
    assert told[0] == "the drive is full; free some space"
    assert "Saving roof.fairlead failed" in told[1]
    assert "Input/output error" in told[1]
    assert "two lines" in told[2]
    assert "KeyError: no reason given" in told[3]
    assert told[4] == "done"


def test_closing_waits_for_what_has_begun_and_tells_nobody(worker, qapp):
    done, told = [], []
    worker.run("Saving", lambda: done.append(1), told.append, told.append)
    worker.close()
    qapp.processEvents()
    assert done == [1]
    assert told == []
    assert not worker.is_busy


def test_what_nobody_need_know_of_is_not_announced(worker, qtbot):
    announced = []
    worker.started.connect(announced.append)
    with qtbot.waitSignal(worker.ended):
        worker.run("", lambda: None, lambda _: None, None)
    with qtbot.waitSignal(worker.ended):
        worker.run("Saving", lambda: None, lambda _: None, None)
    assert announced == ["Saving"]
