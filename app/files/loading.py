"""Reading files, and working out their figures, off the GUI thread, with progress and cancel."""

from __future__ import annotations

import os
import threading
import time
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, QRunnable, QThreadPool, Signal

from fairlead.app.files.bench_store import is_bench, open_bench
from fairlead.app.files.table_columns import Tables
from fairlead.core.errors import FairleadError

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping, Sequence

    from fairlead.app.files.bench_store import OpenedBench
    from fairlead.app.files.table_columns import Unclear
    from fairlead.core.document.bench import Bench
    from fairlead.core.reading.reading import Reading
    from fairlead.core.sweep import AnySweep

_PROGRESS_EVERY_S = 0.03


@dataclass(frozen=True, slots=True)
class Loaded:
    """What one load brought.

    Attributes
    ----------
    readings : tuple of Reading
        In the order given; empty after a cancel: a half-read folder would pass for a whole one.
    errors : tuple of str
        One line for each file that could not be read.
    files : int
        How many files were asked for.
    was_cancelled : bool
    purpose : str
        What the load was asked for as.
    bench : OpenedBench or None
        The first bench among the files; the sweeps come on top of it.
    unclear : tuple of Unclear
        Tables whose columns a person has to name.
    """

    readings: tuple[Reading, ...]
    errors: tuple[str, ...]
    files: int
    was_cancelled: bool
    purpose: str = ""
    bench: OpenedBench | None = None
    unclear: tuple[Unclear, ...] = ()


class Loader(QObject):
    """Reads files one load after the other on a thread of its own.

    Parameters
    ----------
    bench_now : callable
        Gives the bench that the sweeps will be added to. It is called on the worker's thread, which
        is safe because a bench is a frozen value.
    columns_now : callable, optional
        Gives the columns that were chosen before, in text form by the fingerprint of a table.
    prepare : callable, optional
        Gets each new sweep and the bench it will stand on, on the worker's thread, to work out
        what the window will ask for.
    """

    started = Signal()
    """The first of the waiting loads begins."""
    progressed = Signal(int, int, str)
    """Steps done, steps in all, what is being done now."""
    loaded = Signal(object)
    """`Loaded`: one load has ended."""
    ended = Signal()
    """No load is waiting any more."""

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
        self._pool = QThreadPool(self)
        self._pool.setMaxThreadCount(1)
        self._jobs: list[_Job] = []

    @property
    def is_busy(self) -> bool:
        """Whether a load is running or waiting."""
        return bool(self._jobs)

    def load(
        self, paths: Sequence[str], purpose: str = "", columns: Mapping[str, str] | None = None
    ) -> None:
        """Read files, and folders with what is in them; ``loaded`` follows.

        Parameters
        ----------
        paths : sequence of str
        purpose : str
            Comes back in `Loaded`.
        columns : mapping, optional
            Columns chosen just now, by fingerprint; they go before those chosen earlier.
        """
        if not paths:
            return
        tables = Tables(self._columns_now(), columns or {})
        job = _Job(tuple(paths), purpose, self._bench_now, tables, self._prepare)
        job.voice.progressed.connect(self.progressed)
        job.voice.done.connect(self._on_done)
        self._jobs.append(job)
        if len(self._jobs) == 1:
            self.started.emit()
        self._pool.start(job)

    def cancel(self) -> None:
        """Give up all loads; each still announces its end, with nothing read."""
        for job in self._jobs:
            job.is_cancelled.set()

    def close(self) -> None:
        """Cancel and wait; nothing is announced afterwards."""
        for job in self._jobs:
            job.is_cancelled.set()
            job.voice.progressed.disconnect(self.progressed)
            job.voice.done.disconnect(self._on_done)
        self._pool.waitForDone()
        self._jobs.clear()

    def _on_done(self, loaded: Loaded) -> None:
        # The pool has one thread, so loads end in the order in which they were asked for.
        self._jobs.pop(0)
        self.loaded.emit(loaded)
        if not self._jobs:
            self.ended.emit()


class _Voice(QObject):
    """Signals of a job; belongs to the job, so that it lives as long as the worker speaks."""

    progressed = Signal(int, int, str)
    done = Signal(object)


class _Job(QRunnable):
    """One load."""

    def __init__(
        self,
        paths: tuple[str, ...],
        purpose: str,
        bench_now: Callable[[], Bench],
        tables: Tables,
        prepare: Callable[[AnySweep, Bench], None] | None,
    ) -> None:
        super().__init__()
        # Python owns it: the pool must not delete what the loader's list still holds.
        self.setAutoDelete(False)
        self.voice = _Voice()
        self.is_cancelled = threading.Event()
        self._paths = paths
        self._purpose = purpose
        self._bench_now = bench_now
        self._tables = tables
        self._prepare = prepare
        self._last_progress_s = 0.0

    def run(self) -> None:
        """Read everything; whatever goes wrong becomes one line."""
        readings: list[Reading] = []
        errors: list[str] = []
        files = 0
        opened: OpenedBench | None = None
        try:
            # Here, not at the top: the readers load while the window is already shown.
            from fairlead.core.reading import expand_paths  # noqa: PLC0415

            found, refused = expand_paths(self._paths)
            errors += [str(error) for error in refused]
            files = len(found)
            for done, path in enumerate(found):
                if self.is_cancelled.is_set():
                    break
                self._tell(done, files, f"Reading {path.name}")
                if is_bench(path):
                    opened = _open(os.fspath(path), opened, errors)
                else:
                    _read(os.fspath(path), readings, errors, self._tables)
            self._work_out(readings, None if opened is None else opened.bench)
        except Exception as error:  # noqa: BLE001 - Qt would only print it, and the end never come
            errors.append(unforeseen(", ".join(self._paths), error))
        was_cancelled = self.is_cancelled.is_set()
        kept = () if was_cancelled else tuple(readings)
        bench = None if was_cancelled else opened
        unclear = () if was_cancelled else self._tables.unclear
        self.voice.done.emit(
            Loaded(kept, tuple(errors), files, was_cancelled, self._purpose, bench, unclear)
        )

    def _work_out(self, readings: list[Reading], opened: Bench | None) -> None:
        """Work out each new sweep here, so that the window finds it ready."""
        if self._prepare is None:
            return
        shown = self._bench_now()
        known = {entry.sweep for entry in shown.entries}
        after = (shown if opened is None else opened).with_readings(readings)
        new = after.entries if opened is not None else after.entries[len(shown.entries) :]
        for done, entry in enumerate(new):
            if self.is_cancelled.is_set():
                break
            if entry.sweep not in known:
                self._tell(done, len(new), f"Working out {entry.label}")
                self._prepare(entry.sweep, after)

    def _tell(self, done: int, steps: int, what: str) -> None:
        now_s = time.monotonic()
        if now_s - self._last_progress_s >= _PROGRESS_EVERY_S:
            self._last_progress_s = now_s
            self.voice.progressed.emit(done, steps, what)


def _read(file: str, readings: list[Reading], errors: list[str], tables: Tables) -> None:
    try:
        readings += map(one_line, tables.open(file))
    except FairleadError as error:
        errors.append(str(error))
    except Exception as error:  # noqa: BLE001 - one odd file must not take the others with it
        errors.append(unforeseen(file, error))


def _open(file: str, opened: OpenedBench | None, errors: list[str]) -> OpenedBench | None:
    """The bench to go on with: one window shows one."""
    if opened is not None:
        errors.append(f"{file}: only one bench can be open; open this one in a second window")
        return opened
    try:
        return open_bench(file)
    except FairleadError as error:
        errors.append(str(error))
    except Exception as error:  # noqa: BLE001 - one odd file must not take the others with it
        errors.append(unforeseen(file, error))
    return None


def one_line(reading: Reading) -> Reading:
    """The reading with a label free of line breaks and tabs, which file names may hold."""
    label = " ".join(reading.label.split()) or "unnamed"
    return reading if label == reading.label else replace(reading, label=label)


def unforeseen(file: str, error: Exception) -> str:
    """The line for an error that nobody thought of."""
    what = " ".join(str(error).split())
    return (
        f"{file}: reading failed in an unforeseen way ({type(error).__name__}: {what}); "
        "please report it with the file"
    )


def repeats(bench: Bench, readings: Sequence[Reading]) -> list[str]:
    """One line for each sweep whose numbers are on the bench, or in the same load, already."""
    known = {entry.sweep: entry.label for entry in reversed(bench.entries)}
    lines = []
    for reading in readings:
        if reading.sweep in known:
            lines.append(
                f'"{reading.label}" holds the same numbers as "{known[reading.sweep]}"; '
                "remove one if that was not meant"
            )
        else:
            known[reading.sweep] = reading.label
    return lines
