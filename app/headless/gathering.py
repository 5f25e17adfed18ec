"""From files on the command line to a bench, and to what could not be read."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass, replace
from pathlib import PurePath
from typing import TYPE_CHECKING

from fairlead.core.document.bench import Bench
from fairlead.core.errors import FairleadError, ReadError
from fairlead.core.reading import Reading, expand_paths, open_sweeps
from fairlead.core.reading.label import label_of

if TYPE_CHECKING:
    from collections.abc import Sequence
    from pathlib import Path

    from fairlead.core.document.bench import Entry
    from fairlead.core.reading import ColumnPlan

_HEAD_BYTES = 4096
# Names listed in an error's advice.
_LISTED = 8


@dataclass(frozen=True, slots=True)
class Gathered:
    """What the files held.

    Attributes
    ----------
    bench : Bench
        All sweeps. Band, limit, reference and picture are those of the first bench file, whose
        sweeps come first; the others follow in the order given, no two with the same label.
    has_settings : bool
        Whether there was a bench file.
    unread : tuple of ReadError
    """

    bench: Bench
    has_settings: bool
    unread: tuple[ReadError, ...]


def gather(files: Sequence[str], columns: ColumnPlan | None = None) -> Gathered:
    """Read all files and the files in all folders; one that cannot be read stops no other.

    Parameters
    ----------
    files : sequence of str
    columns : ColumnPlan, optional
        Which column of a table is what.
    """
    paths, errors = expand_paths(files)
    benches: list[Bench] = []
    readings: list[Reading] = []
    unread = list(errors)
    for path in paths:
        try:
            if _is_bench(path):
                from fairlead.core.bench_file import load_bench  # noqa: PLC0415 - most calls need none

                benches.append(load_bench(path))
            else:
                readings += open_sweeps(path, columns)
        except ReadError as error:
            unread.append(error)
    bench = benches[0] if benches else Bench()
    for other in benches[1:]:
        bench = _with_sweeps_of(other, bench)
    labels = [entry.label for entry in bench.entries]
    bench = bench.with_readings(distinct(readings, labels))
    return Gathered(bench, bool(benches), tuple(unread))


def distinct(readings: Sequence[Reading], others: Sequence[str] = ()) -> tuple[Reading, ...]:
    """The readings with labels that all differ: by their folder if that tells, else by a number.

    Parameters
    ----------
    readings : sequence of Reading
    others : sequence of str
        Labels that are taken already.
    """
    labels = _with_folders(readings)
    counts = Counter([*labels, *others])
    taken = {label for label, count in counts.items() if count == 1} | set(others)
    result = []
    for reading, label in zip(readings, labels, strict=True):
        own, number = label, 1
        while counts[label] > 1 and own in taken:
            number += 1
            own = f"{label} ({number})"
        taken.add(own)
        result.append(reading if own == reading.label else replace(reading, label=own))
    return tuple(result)


def _is_bench(path: Path) -> bool:
    """By content, or by name where the content is of no help."""
    if path.suffix.lower() == ".fairlead":
        return True
    try:
        if not path.is_file():
            return False  # a named pipe would block; it is refused where it is read
        with path.open("rb") as stream:
            head = stream.read(_HEAD_BYTES)
    except (OSError, ValueError):
        return False
    if not head.lstrip(b"\xef\xbb\xbf \t\r\n").startswith(b"{"):
        return False
    from fairlead.core.bench_file import looks_like_bench  # noqa: PLC0415 - sweeps need none of it

    return looks_like_bench(head)


def _with_sweeps_of(other: Bench, bench: Bench) -> Bench:
    """A bench with the sweeps of another one, and what was said about them."""
    entries = other.entries
    found = [Reading(one.sweep, one.label, one.file, one.notices) for one in entries]
    labels = [entry.label for entry in bench.entries]
    merged = bench.with_readings(distinct(found, labels))
    for added, entry in zip(merged.entries[len(labels) :], entries, strict=True):
        merged = (
            merged.with_condition(added.key, entry.condition)
            .with_circumstances(added.key, entry.circumstances)
            .with_visibility(added.key, is_visible=entry.is_visible)
        )
    return merged


def find_reference(bench: Bench, wanted: str, unread: Sequence[ReadError]) -> Entry:
    """The entry that a text names: by label, by file, or by the beginning of either.

    Raises
    ------
    FairleadError
        If none is meant, or more than one.
    """
    for means in (_is_label, _is_file, _begins):
        found = [entry for entry in bench.entries if means(entry, wanted)]
        if len(found) == 1:
            return found[0]
        if found:
            raise FairleadError(
                f'"{wanted}" means more than one sweep', f"write one of {_listed(found)}"
            )
    if any(wanted in _names_of(error.file) for error in unread):
        reason = f'the reference "{wanted}" could not be read'
    else:
        reason = f'no sweep is called "{wanted}"'
    raise FairleadError(reason, f"choose one of {_listed(bench.entries)}")


def _with_folders(readings: Sequence[Reading]) -> list[str]:
    """Labels; those that several share with the name of their folder, if that differs."""
    counts = Counter(reading.label for reading in readings)
    labels = []
    for reading in readings:
        alike = [other for other in readings if other.label == reading.label]
        folders = {PurePath(other.file).parent.name for other in alike}
        folder = PurePath(reading.file).parent.name
        tells = counts[reading.label] > 1 and len(folders) > 1 and folder
        labels.append(f"{folder}/{reading.label}" if tells else reading.label)
    return labels


def _is_label(entry: Entry, wanted: str) -> bool:
    return entry.label == wanted


def _is_file(entry: Entry, wanted: str) -> bool:
    return wanted in _names_of(entry.file)


def _begins(entry: Entry, wanted: str) -> bool:
    names = (entry.label, PurePath(entry.file).name)
    return bool(wanted) and any(name.casefold().startswith(wanted.casefold()) for name in names)


def _names_of(file: str) -> tuple[str, ...]:
    """A file as given, its name, and the label made of it."""
    return file, str(PurePath(file)), PurePath(file).name, label_of(file)


def _listed(entries: Sequence[Entry]) -> str:
    shown = ", ".join(f'"{entry.label}"' for entry in entries[:_LISTED])
    more = len(entries) - _LISTED
    return f"{shown} and {more} more" if more > 0 else shown
