"""From paths to benches, sweeps and errors, for the window and for the command line.

No Qt here; in the window everything runs on a worker thread.
"""

from __future__ import annotations

import os
from collections import Counter
from dataclasses import dataclass, replace
from pathlib import PurePath
from typing import TYPE_CHECKING, TypeVar

from fairlead.app.files.bench_store import is_bench, open_bench
from fairlead.core.document.joining import joined
from fairlead.core.errors import FairleadError, ReadError

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from fairlead.app.files.bench_store import OpenedBench
    from fairlead.core.document.bench import Bench
    from fairlead.core.document.entry import Entry
    from fairlead.core.reading import Reading

    Named = Reading | Entry

N = TypeVar("N", "Reading", "Entry")


@dataclass(frozen=True, slots=True)
class Gathered:
    """What was found at the paths.

    Attributes
    ----------
    benches : tuple of OpenedBench
        In the order given.
    readings : tuple of Reading
        In the order given, their labels free of line breaks.
    unread : tuple of ReadError
        One for each file, or part of a folder, that could not be read.
    files : int
        Number of files.
    """

    benches: tuple[OpenedBench, ...]
    readings: tuple[Reading, ...]
    unread: tuple[ReadError, ...]
    files: int


def never() -> bool:
    """For work that cannot be stopped."""
    return False


def silent(_done: int, _steps: int, _what: str) -> None:
    """For work whose progress is not shown."""


def gather(
    paths: Sequence[str],
    read: Callable[[str], Sequence[Reading]],
    *,
    most_benches: int | None = None,
    is_stopped: Callable[[], bool] = never,
    tell: Callable[[int, int, str], None] = silent,
) -> Gathered:
    """Read all files and all files in folders; one that cannot be read does not stop the others.

    Parameters
    ----------
    paths : sequence of str
    read : callable
        Returns the sweeps of a file that is not a bench.
    most_benches : int, optional
        The most benches to open; every further one is an error.
    is_stopped : callable
        Asked before each file.
    tell : callable
        Called with files done, files in all, and the next action.
    """
    # Imported here, not at the top: the readers load while the window is already shown.
    from fairlead.core.reading import expand_paths  # noqa: PLC0415

    found, unread = expand_paths(paths)
    benches: list[OpenedBench] = []
    readings: list[Reading] = []
    for done, path in enumerate(found):
        if is_stopped():
            break
        tell(done, len(found), f"Reading {path.name}")
        file = os.fspath(path)
        try:
            if not is_bench(file):
                readings += map(one_line, read(file))
            elif most_benches is not None and len(benches) >= most_benches:
                unread.append(_one_bench_too_many(file))
            else:
                benches.append(open_bench(file))
        except ReadError as error:
            unread.append(error)
        except FairleadError as error:
            unread.append(ReadError(file, error.reason, error.advice))
        except Exception as error:  # noqa: BLE001 - one odd file must not stop the others
            unread.append(unforeseen(file, error))
    return Gathered(tuple(benches), tuple(readings), tuple(unread), len(found))


def unforeseen(file: str, error: Exception) -> ReadError:
    """The message for an unforeseen error."""
    what = " ".join(str(error).split())
    return ReadError(
        file,
        f"reading failed in an unforeseen way ({type(error).__name__}: {what})",
        "please report it with the file",
    )


def one_line(reading: Reading) -> Reading:
    """The reading with a label free of line breaks and tabs, which file names may contain."""
    label = " ".join(reading.label.split()) or "unnamed"
    return _labelled(reading, label)


def repeats(bench: Bench, readings: Sequence[Reading]) -> list[str]:
    """One line for each sweep whose numbers are already on the bench or in the same load."""
    known = bench.as_read()
    lines = []
    for reading in readings:
        if reading.sweep in known:
            lines.append(
                f'"{reading.label}" has the same numbers as "{known[reading.sweep]}"; '
                "remove one if that is a mistake"
            )
        else:
            known[reading.sweep] = reading.label
    return lines


def merged(benches: Sequence[Bench], readings: Sequence[Reading], empty: Bench) -> Bench:
    """All sweeps of several benches and files on one bench.

    Band, limit, reference and picture are those of the first bench, whose sweeps come first; the
    others follow in the order given, no two with the same label, with their instruments, groups,
    logs and kept pictures.

    Parameters
    ----------
    benches : sequence of Bench
    readings : sequence of Reading
    empty : Bench
        What to start with where there is no bench.
    """
    bench = benches[0] if benches else empty
    for other in benches[1:]:
        labels = distinct(other.entries, _labels(bench))
        named = tuple(map(_labelled, other.entries, labels))
        bench = joined(bench, replace(other, entries=named))
    labels = distinct(readings, _labels(bench))
    return bench.with_readings(map(_labelled, readings, labels))


def _labels(bench: Bench) -> list[str]:
    return [entry.label for entry in bench.entries]


def _labelled(one: N, label: str) -> N:
    return one if label == one.label else replace(one, label=label)


def distinct(named: Sequence[Named], others: Sequence[str] = ()) -> list[str]:
    """Labels that all differ: by their folder if that suffices, else by a number.

    Parameters
    ----------
    named : sequence of Reading or Entry
        Anything with a label and a file.
    others : sequence of str
        Labels already in use.
    """
    labels = _with_folders(named)
    counts = Counter([*labels, *others])
    taken = {label for label, count in counts.items() if count == 1} | set(others)
    result = []
    for label in labels:
        own, number = label, 1
        while counts[label] > 1 and own in taken:
            number += 1
            own = f"{label} ({number})"
        taken.add(own)
        result.append(own)
    return result


def _with_folders(named: Sequence[Named]) -> list[str]:
    """Labels; those that several share with the name of their folder, if that differs."""
    folders: dict[str, list[str]] = {}
    for one in named:
        folders.setdefault(one.label, []).append(PurePath(one.file).parent.name)
    labels = []
    for one in named:
        folder = PurePath(one.file).parent.name
        tells = len(set(folders[one.label])) > 1 and folder
        labels.append(f"{folder}/{one.label}" if tells else one.label)
    return labels


def _one_bench_too_many(file: str) -> ReadError:
    return ReadError(file, "only one bench can be open", "open this one in a second window")
