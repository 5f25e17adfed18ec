"""Tasks off the GUI thread: in order, told about on the GUI thread, never cut short."""

from __future__ import annotations

import threading

import pytest

from fairlead.app.files.jobs import Jobs
from fairlead.core.errors import FairleadError


@pytest.fixture
def worker(qapp):
    made = Jobs()
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
                "Counting", lambda _, number=number: (number, threading.get_ident()), done, None
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
        worker.run("Saving roof.fairlead", lambda _, error=error: fails(error), told.append, note)
    worker.run("Saving roof.fairlead", lambda _: "done", told.append, note)
    qtbot.waitUntil(lambda: len(told) == 5)
    assert told[0] == "the drive is full; free some space"
    assert told[1] == (
        "Saving roof.fairlead failed: the drive does not respond; "
        "connect it again, or save it somewhere else"
    )
    assert "two lines" in told[2]
    assert "KeyError: no reason given" in told[3]
    assert told[4] == "done"


def test_closing_waits_for_what_has_begun_and_tells_nobody(worker, qapp):
    done, told = [], []
    worker.run("Saving", lambda _: done.append(1), told.append, told.append)
    worker.close()
    qapp.processEvents()
    assert done == [1]
    assert told == []
    assert not worker.is_busy


def test_what_nobody_need_know_of_is_not_announced(worker, qtbot):
    announced = []
    worker.started.connect(announced.append)
    with qtbot.waitSignal(worker.ended):
        worker.run("", lambda _: None, lambda _: None, None)
    with qtbot.waitSignal(worker.ended):
        worker.run("Saving", lambda _: None, lambda _: None, None)
    assert announced == ["Saving"]


def test_a_task_that_never_ends_holds_up_nobody_who_is_in_a_hurry(worker, qapp):
    """A drive that has gone can hold a task for ever; the program still ends."""
    gate, told = threading.Event(), []
    worker.run("Reading", lambda _: gate.wait(30), told.append, told.append)
    assert not worker.close(patience_s=0.05)
    gate.set()
    qapp.processEvents()
    assert told == []


def test_a_runner_that_goes_while_it_works_takes_nobody_along(qtbot):
    made = Jobs()
    gate, done = threading.Event(), threading.Event()

    def task(_):
        gate.wait(10)
        done.set()

    made.run("Reading", task, print, print)
    made.deleteLater()
    qtbot.wait(20)
    gate.set()
    assert done.wait(10)
    qtbot.wait(20)


def test_a_cancelled_task_learns_of_it_and_still_comes_to_its_end(worker, qtbot):
    told = []

    def task(job):
        while not job.is_cancelled:
            job.progress(1, 2, "waiting")
        return "stopped"

    with qtbot.waitSignal(worker.progressed):
        worker.run("Reading", task, told.append, None)
    worker.cancel()
    qtbot.waitUntil(lambda: told == ["stopped"])


def test_what_is_asked_for_at_the_end_of_a_task_runs_before_the_end_is_announced(worker, qtbot):
    told = []
    worker.ended.connect(lambda: told.append("ended"))

    def again(value):
        told.append(value)
        if value < 3:
            worker.run("", lambda _: value + 1, again, None)

    worker.run("", lambda _: 1, again, None)
    qtbot.waitUntil(lambda: "ended" in told)
    assert told == [1, 2, 3, "ended"]


def test_closing_from_what_a_task_tells_is_allowed(qtbot):
    made, told = Jobs(), []
    made.ended.connect(lambda: told.append("ended"))
    made.run("", lambda _: 1, lambda _: told.append(made.close()), None)
    made.run("", lambda _: 2, told.append, None)
    qtbot.waitUntil(lambda: told == [True])
    qtbot.wait(20)
    assert told == [True]
