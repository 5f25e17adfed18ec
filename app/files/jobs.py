"""Runs all work off the GUI thread: reading, saving, recovery, a watched folder.

The rules for threads, which apply to all of it:

- Each `Jobs` has a thread of its own and runs its tasks one at a time, in order. Reading and saving
have one each, so that neither waits for the other.
- A task gets its `Job` and values that do not change: paths, a bench, readings. It may call core
  and the Qt-free modules of this package. It never touches a widget, a QObject, the document or the
  settings. What it needs from them is fetched before it is started, or through a callable that only
  returns a frozen value.
- Whatever a task raises is caught and becomes one `FairleadError` that can be shown. Nothing is
printed, and ``idle`` is always announced.
- ``done``, ``failed`` and the signals are called on the thread that owns the `Jobs`, which is the
  GUI thread, after the task and before the end of the next one.
- The owner outlives the worker: what the thread speaks through belongs to the thread as well, and
  what it says after `close` is not passed on. Nobody is called after it.
- The thread is a daemon. A drive that does not answer can hold a task for ever; whoever closes with
  a limit leaves such a task behind, and the program ends all the same.
"""

from __future__ import annotations

import threading
import time
from queue import SimpleQueue
from typing import TYPE_CHECKING, TypeVar

from PySide6.QtCore import QObject, Qt, Signal, Slot

from fairlead.core.causes import why_not_written
from fairlead.core.errors import FairleadError

if TYPE_CHECKING:
    from collections.abc import Callable

T = TypeVar("T")

PROGRESS_EVERY_S = 0.03


class Jobs(QObject):
    """Runs tasks on a thread of its own, one at a time.

    A task that has begun is finished unless it checks itself whether it was cancelled: an export
    must not be left half done, nor a save cut short.
    """

    started = Signal(str)
    """A task was added; its description."""
    progressed = Signal(int, int, str)
    """Steps done, steps in all, current action."""
    ended = Signal()
    """No task is running or waiting."""

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._waiting: list[Job] = []
        self._queue: SimpleQueue[Job | None] = SimpleQueue()
        self._thread: threading.Thread | None = None
        self._voice = _Voice()
        # Always through the event loop of the owner's thread.
        queued = Qt.ConnectionType.QueuedConnection
        self._voice.progressed.connect(self._on_progress, queued)
        self._voice.ended.connect(self._on_ended, queued)

    @property
    def is_busy(self) -> bool:
        """Whether a task is running or waiting."""
        return bool(self._waiting)

    def run(
        self,
        what: str,
        task: Callable[[Job], T],
        done: Callable[[T], None],
        failed: Callable[[FairleadError], None],
    ) -> Job:
        """Run a task, then call ``done`` or ``failed``.

        Parameters
        ----------
        what : str
            What is being done: ``Saving roof.fairlead``; empty for work that is not shown.
        task : callable
            Called on the worker thread with the `Job`; see the rules above.
        done, failed : callable
            Called with what the task returned, or with one error that can be shown.
        """
        job = Job(self._voice, what)
        job.work = lambda: _call_later(done, task(job))
        job.failed = failed
        self._waiting.append(job)
        if what:
            self.started.emit(what)
        if self._thread is None:
            self._thread = threading.Thread(
                target=_work, args=(self._queue, self._voice), name="fairlead-jobs", daemon=True
            )
            self._thread.start()
        self._queue.put(job)
        return job

    def cancel(self) -> None:
        """Cancel all tasks; each still ends in its own time."""
        for job in self._waiting:
            job.cancel()

    def close(self, patience_s: float | None = None) -> bool:
        """Wait until everything is done; no callback runs afterwards.

        Parameters
        ----------
        patience_s : float, optional
            The longest to wait, for work that may be abandoned.

        Returns
        -------
        bool
            Whether everything is done.
        """
        # Anything announced from now on belongs to an abandoned task.
        self._waiting.clear()
        thread, self._thread = self._thread, None
        if thread is None:
            return True
        self._queue.put(None)
        # An abandoned thread must not take the tasks of another.
        self._queue = SimpleQueue()
        thread.join(patience_s)
        return not thread.is_alive()

    @Slot(int, int, str)
    def _on_progress(self, done: int, steps: int, what: str) -> None:
        if self._waiting:
            self.progressed.emit(done, steps, what)

    @Slot(object)
    def _on_ended(self, job: Job) -> None:
        if job not in self._waiting:
            return  # closed meanwhile
        # There is one thread, so tasks end in the order in which they were added.
        self._waiting.remove(job)
        job.tell()
        if not self._waiting and self._thread is not None:
            self.ended.emit()


class Job:
    """One task; made by `Jobs.run`, and passed to the task function.

    Attributes
    ----------
    work, failed, tell : callable
        For `Jobs` alone.
    """

    def __init__(self, voice: _Voice, what: str) -> None:
        self.work: Callable[[], Callable[[], None]] = _nothing_later
        self.failed: Callable[[FairleadError], None] = _ignore
        self.tell: Callable[[], None] = _nothing
        self._voice = voice
        self._what = what
        self._cancelled = threading.Event()
        self._last_progress_s = 0.0

    @property
    def is_cancelled(self) -> bool:
        """Whether the task was cancelled; it should then end soon."""
        return self._cancelled.is_set()

    def cancel(self) -> None:
        """Cancel the task."""
        self._cancelled.set()

    def progress(self, done: int, steps: int, what: str) -> None:
        """Report progress; reports that come too fast are dropped."""
        now_s = time.monotonic()
        if now_s - self._last_progress_s >= PROGRESS_EVERY_S:
            self._last_progress_s = now_s
            self._voice.progressed.emit(done, steps, what)

    def do(self) -> None:
        """Run it; whatever goes wrong becomes one error."""
        try:
            self.tell = self.work()
        except FairleadError as error:
            self.tell = _call_later(self.failed, error)
        except Exception as error:  # noqa: BLE001 - else the thread would die silently
            self.tell = _call_later(self.failed, unforeseen(self._what, error))
        # Release what the task refers to.
        self.work = _nothing_later


class _Voice(QObject):
    """The thread's signals; owned by both sides, so that they live as long as either."""

    progressed = Signal(int, int, str)
    ended = Signal(object)


def unforeseen(what: str, error: Exception) -> FairleadError:
    """One line for an unforeseen error, with the cause given by the system."""
    doing = what or "Background work"
    if isinstance(error, OSError):
        reason, advice = why_not_written(error)
        return FairleadError(f"{doing} failed: {reason}", advice)
    text = " ".join(str(error).split()) or "no reason given"
    return FairleadError(
        f"{doing} failed in an unforeseen way ({type(error).__name__}: {text})", "please report it"
    )


def _work(queue: SimpleQueue[Job | None], voice: _Voice) -> None:
    """The thread's function. It does not refer to the `Jobs`, which may be gone."""
    while (job := queue.get()) is not None:
        job.do()
        voice.ended.emit(job)
        del job  # hold no reference while waiting for the next one


def _call_later(call: Callable[[T], None], value: T) -> Callable[[], None]:
    return lambda: call(value)


def _nothing() -> None:
    pass


def _nothing_later() -> Callable[[], None]:
    return _nothing


def _ignore(_: FairleadError) -> None:
    pass
