"""Reading files, and working out their figures, off the GUI thread, with progress and cancel."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, Signal

from fairlead.app.files.gathering import gather
from fairlead.app.files.jobs import Job, Jobs
from fairlead.app.files.table_columns import Tables

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping, Sequence

    from fairlead.app.files.bench_store import OpenedBench
    from fairlead.app.files.table_columns import Unclear
    from fairlead.core.document.bench import Bench
    from fairlead.core.errors import FairleadError
    from fairlead.core.reading.reading import Reading
    from fairlead.core.sweep import AnySweep

# A file on a lost drive can block reading for ever; the window closes all the same.
_PATIENCE_S = 5.0


@dataclass(frozen=True, slots=True)
class Loaded:
    """The result of one load.

    Attributes
    ----------
    readings : tuple of Reading
        In the order given; empty if cancelled: a half-read folder could be taken for a whole one.
    errors : tuple of str
        One line for each file that could not be read.
    files : int
        Number of files requested.
    was_cancelled : bool
    purpose : str
        As given to `Loader.load`.
    bench : OpenedBench or None
        The first bench among the files; the sweeps are added to it.
    unclear : tuple of Unclear
        Tables whose columns the user has to identify.
    """

    readings: tuple[Reading, ...]
    errors: tuple[str, ...]
    files: int
    was_cancelled: bool
    purpose: str = ""
    bench: OpenedBench | None = None
    unclear: tuple[Unclear, ...] = ()


class Loader(QObject):
    """Reads files, one load at a time, on a thread of its own.

    Parameters
    ----------
    bench_now : callable
        Returns the bench that the sweeps will be added to. It is called on the worker thread, which
        is safe because a bench is a frozen value.
    columns_now : callable, optional
        Returns the columns chosen before, as text by the fingerprint of a table.
    prepare : callable, optional
        Called on the worker thread with each new sweep and its bench, to compute in advance what
        the window will need.
    """

    started = Signal()
    """The first of the waiting loads begins."""
    progressed = Signal(int, int, str)
    """Steps done, steps in all, what is being done now."""
    loaded = Signal(object)
    """`Loaded`: one load has ended."""
    ended = Signal()
    """No load is running or waiting."""

    def __init__(
        self,
        bench_now: Callable[[], Bench],
        parent: QObject | None = None,
        columns_now: Callable[[], Mapping[str, str]] = dict,
        prepare: Callable[[AnySweep, Bench], None] | None = None,
    ) -> None:
        super().__init__(parent)
        self._prepare = prepare
        self._bench_now = bench_now
        self._columns_now = columns_now
        self._jobs = Jobs(self)
        self._jobs.progressed.connect(self.progressed)
        self._jobs.ended.connect(self.ended)

    @property
    def is_busy(self) -> bool:
        """Whether a load is running or waiting."""
        return self._jobs.is_busy

    def load(
        self, paths: Sequence[str], purpose: str = "", columns: Mapping[str, str] | None = None
    ) -> None:
        """Read files and folders; ``loaded`` follows.

        Parameters
        ----------
        paths : sequence of str
        purpose : str
            Returned in `Loaded`.
        columns : mapping, optional
            Columns chosen just now, by fingerprint; they take precedence over earlier choices.
        """
        if not paths:
            return
        given = tuple(paths)
        tables = Tables(self._columns_now(), columns or {})
        is_first = not self.is_busy
        self._jobs.run(
            f"Reading {', '.join(given)}",
            lambda job: self._read(job, given, purpose, tables),
            self.loaded.emit,
            lambda error: self.loaded.emit(_nothing_but(error, purpose)),
        )
        if is_first:
            self.started.emit()

    def cancel(self) -> None:
        """Cancel all loads; each still announces its end, with nothing read."""
        self._jobs.cancel()

    def close(self) -> None:
        """Cancel and wait; nothing is announced afterwards."""
        self._jobs.cancel()
        self._jobs.close(_PATIENCE_S)

    # On the worker thread

    def _read(self, job: Job, paths: tuple[str, ...], purpose: str, tables: Tables) -> Loaded:
        found = gather(
            paths,
            tables.open,
            most_benches=1,
            is_stopped=lambda: job.is_cancelled,
            tell=job.progress,
        )
        bench = next(iter(found.benches), None)
        self._work_out(job, found.readings, None if bench is None else bench.bench)
        errors = tuple(map(str, found.unread))
        if job.is_cancelled:
            return Loaded((), errors, found.files, was_cancelled=True, purpose=purpose)
        return Loaded(found.readings, errors, found.files, False, purpose, bench, tables.unclear)

    def _work_out(self, job: Job, readings: Sequence[Reading], opened: Bench | None) -> None:
        """Analyse each new sweep here, so that the window finds it ready."""
        if self._prepare is None:
            return
        shown = self._bench_now()
        known = {entry.sweep for entry in shown.entries}
        after = (shown if opened is None else opened).with_readings(readings)
        new = after.entries if opened is not None else after.entries[len(shown.entries) :]
        for done, entry in enumerate(new):
            if job.is_cancelled:
                break
            if entry.sweep not in known:
                job.progress(done, len(new), f"Analysing {entry.label}")
                self._prepare(entry.sweep, after)


def _nothing_but(error: FairleadError, purpose: str) -> Loaded:
    return Loaded((), (str(error),), 0, was_cancelled=False, purpose=purpose)
