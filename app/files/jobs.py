"""The one runner of work off the GUI thread: reading, saving, recovery, a watched folder.

The rules for threads, which hold for all of them:

- Each `Jobs` has a thread of its own and does one task after the other, in the order in which they
  were asked for. Reading and saving have one each, so that neither waits for the other.
- A task gets its `Job` and values that nobody changes: paths, a bench, readings. It may call core
  and the Qt-free modules of this package. It never touches a widget, a QObject, the document or
  the settings. What it needs of them is asked for before it is started, or through a callable that
  only hands out a frozen value.
- Whatever a task raises is caught and becomes one `FairleadError` that can be shown. Nothing is
  printed, and the end always comes.
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
    """Does tasks on a thread of its own, one after the other.

    What has begun is finished unless the task itself asks whether it was cancelled: nobody wants
    half an export, and no save to be cut short.
    """

    started = Signal(str)
    """A task was asked for; what it does, for people."""
    progressed = Signal(int, int, str)
    """Steps done, steps in all, what is being done now."""
    ended = Signal()
    """No task is waiting any more."""

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._waiting: list[Job] = []
        self._queue: SimpleQueue[Job | None] = SimpleQueue()
        self._thread: threading.Thread | None = None
        self._voice = _Voice()
        # Always by way of the event loop of the owner's thread.
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
        """Do a task, then call one of the two.

        Parameters
        ----------
        what : str
            What is being done: ``Saving roof.fairlead``; empty for what nobody need know of.
        task : callable
            Called on the worker's thread with the `Job`; see the rules above.
        done, failed : callable
            Get what the task returned, or one error that can be shown.
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
        """Tell all tasks that they are not wanted any more; each still comes to its end."""
        for job in self._waiting:
            job.cancel()

    def close(self, patience_s: float | None = None) -> bool:
        """Wait until everything is done; nobody is called afterwards.

        Parameters
        ----------
        patience_s : float, optional
            Wait no longer than that: for work that may be left behind.

        Returns
        -------
        bool
            Whether everything is done.
        """
        # What is told from now on is about no task that anybody waits for.
        self._waiting.clear()
        thread, self._thread = self._thread, None
        if thread is None:
            return True
        self._queue.put(None)
        # A thread that is left behind must not take what another one shall do.
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
        # There is one thread, so tasks end in the order in which they were asked for.
        self._waiting.remove(job)
        job.tell()
        if not self._waiting and self._thread is not None:
            self.ended.emit()


class Job:
    """One task; made by `Jobs.run`, and handed to the task itself.

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
        """Whether the task is not wanted any more; it should soon come to its end."""
        return self._cancelled.is_set()

    def cancel(self) -> None:
        """Tell the task that it is not wanted any more."""
        self._cancelled.set()

    def progress(self, done: int, steps: int, what: str) -> None:
        """Say how far the task is; too much talk is dropped."""
        now_s = time.monotonic()
        if now_s - self._last_progress_s >= PROGRESS_EVERY_S:
            self._last_progress_s = now_s
            self._voice.progressed.emit(done, steps, what)

    def do(self) -> None:
        """Do it; whatever goes wrong becomes one error."""
        try:
            self.tell = self.work()
        except FairleadError as error:
            self.tell = _call_later(self.failed, error)
        except Exception as error:  # noqa: BLE001 - else the thread would die in silence
            self.tell = _call_later(self.failed, unforeseen(self._what, error))
        # What the task held on to goes with it.
        self.work = _nothing_later


class _Voice(QObject):
    """What the thread speaks through; belongs to both sides, so that it lives as long as either."""

    progressed = Signal(int, int, str)
    ended = Signal(object)


def unforeseen(what: str, error: Exception) -> FairleadError:
    """One line for an error that no task has foreseen, with the cause that the system names."""
    doing = what or "Work in the background"
    if isinstance(error, OSError):
        reason, advice = why_not_written(error)
        return FairleadError(f"{doing} failed: {reason}", advice)
    text = " ".join(str(error).split()) or "no reason given"
    return FairleadError(
        f"{doing} failed in an unforeseen way ({type(error).__name__}: {text})", "please report it"
    )


def _work(queue: SimpleQueue[Job | None], voice: _Voice) -> None:
    """What the thread does. It knows nothing of the `Jobs`, which may be gone."""
    while (job := queue.get()) is not None:
        job.do()
        voice.ended.emit(job)
        del job  # while waiting for the next one nothing is held


def _call_later(call: Callable[[T], None], value: T) -> Callable[[], None]:
    return lambda: call(value)


def _nothing() -> None:
    pass


def _nothing_later() -> Callable[[], None]:
    return _nothing


def _ignore(_: FairleadError) -> None:
    pass
