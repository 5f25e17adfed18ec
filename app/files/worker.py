"""Work off the GUI thread that is not reading: one task after the other, each with its end."""

from __future__ import annotations

from typing import TYPE_CHECKING, TypeVar

from PySide6.QtCore import QObject, QRunnable, QThreadPool, Signal

from fairlead.core.errors import FairleadError

if TYPE_CHECKING:
    from collections.abc import Callable

T = TypeVar("T")


class Worker(QObject):
    """Runs tasks on a thread of its own, in the order in which they were asked for.

    What has begun is always finished: nobody wants half an export, and no save to be cut short.
    """

    started = Signal(str)
    """A task was asked for; what it does, for people."""
    ended = Signal()
    """No task is waiting any more."""

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._pool = QThreadPool(self)
        self._pool.setMaxThreadCount(1)
        self._jobs: list[_Job] = []

    @property
    def is_busy(self) -> bool:
        """Whether a task is running or waiting."""
        return bool(self._jobs)

    def run(
        self,
        what: str,
        task: Callable[[], T],
        done: Callable[[T], None],
        failed: Callable[[FairleadError], None],
    ) -> None:
        """Do a task, then call one of the two on the GUI thread.

        Parameters
        ----------
        what : str
            What is being done: ``Saving roof.fairlead``; empty for what nobody need know of.
        task : callable
            Runs on the worker's thread; it must not touch Qt's widgets or the document.
        done, failed : callable
            Get what the task returned, or one error that can be shown.
        """
        job = _Job(what, task, done, failed)
        job.voice.ended.connect(self._on_ended)
        self._jobs.append(job)
        if what:
            self.started.emit(what)
        self._pool.start(job)

    def close(self) -> None:
        """Wait until everything is done; nobody is called afterwards."""
        for job in self._jobs:
            job.voice.ended.disconnect(self._on_ended)
        self._pool.waitForDone()
        self._jobs.clear()

    def _on_ended(self) -> None:
        # The pool has one thread, so tasks end in the order in which they were asked for.
        job = self._jobs.pop(0)
        if not self._jobs:
            self.ended.emit()
        job.tell()


class _Voice(QObject):
    """The signal of a job; belongs to the job, so that it lives as long as the worker speaks."""

    ended = Signal()


class _Job(QRunnable):
    """One task."""

    def __init__(
        self,
        what: str,
        task: Callable[[], T],
        done: Callable[[T], None],
        failed: Callable[[FairleadError], None],
    ) -> None:
        super().__init__()
        # Python owns it: the pool must not delete what the worker's list still holds.
        self.setAutoDelete(False)
        self.voice = _Voice()
        self.tell: Callable[[], None] = lambda: None
        self._what, self._failed = what, failed

        def work() -> Callable[[], None]:
            return _call_later(done, task())

        self._work = work

    def run(self) -> None:
        """Do it; whatever goes wrong becomes one error."""
        try:
            self.tell = self._work()
        except FairleadError as error:
            self.tell = _call_later(self._failed, error)
        except Exception as error:  # noqa: BLE001 - Qt would only print it, and the end never come
            self.tell = _call_later(self._failed, _unexpected(self._what, error))
        self.voice.ended.emit()


def _call_later(call: Callable[[T], None], value: T) -> Callable[[], None]:
    return lambda: call(value)


def _unexpected(what: str, error: Exception) -> FairleadError:
    reason = error.strerror if isinstance(error, OSError) else None
    text = reason or " ".join(str(error).split()) or "no reason given"
    return FairleadError(
        f"{what} failed in an unforeseen way ({type(error).__name__}: {text})",
        "try another place, and please report it",
    )
