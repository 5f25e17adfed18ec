"""From files on the command line to one bench, and a list of what could not be read."""

from __future__ import annotations

import sys
from dataclasses import dataclass
from pathlib import PurePath
from typing import TYPE_CHECKING

from fairlead.app.files.gathering import gather, merged
from fairlead.app.headless.output import progress
from fairlead.core.document.bench import Bench
from fairlead.core.errors import FairleadError, ReadError
from fairlead.core.reading import open_sweeps, read_sweeps
from fairlead.core.reading.label import label_of
from fairlead.core.reading.opening import LARGEST_BYTES

if TYPE_CHECKING:
    from collections.abc import Sequence

    from fairlead.core.document.entry import Entry
    from fairlead.core.reading import ColumnPlan, Reading

STANDARD_INPUT = "-"
# Names listed in an error's advice.
_LISTED = 8


@dataclass(frozen=True, slots=True)
class OnOneBench:
    """What the files contained.

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


def gather_on_one_bench(
    files: Sequence[str], columns: ColumnPlan | None = None, *, is_quiet: bool = False
) -> OnOneBench:
    """Read all files and all files in folders; one that cannot be read does not stop the others.

    Parameters
    ----------
    files : sequence of str
        "-" is the standard input.
    columns : ColumnPlan, optional
        What each column of a table is.
    is_quiet : bool
        No line of progress, not even on a terminal.
    """
    with progress(is_quiet=is_quiet) as tell:
        gathered = gather(files, lambda file: _opened(file, columns), tell=tell)
    benches = [opened.bench for opened in gathered.benches]
    bench = merged(benches, gathered.readings, Bench())
    return OnOneBench(bench, bool(benches), gathered.unread)


def _opened(file: str, columns: ColumnPlan | None) -> Sequence[Reading]:
    if file != STANDARD_INPUT:
        return open_sweeps(file, columns)
    if sys.stdin is None or sys.stdin.isatty():
        raise ReadError(
            file, "the standard input is a keyboard, not a sweep", "pipe a file into it"
        )
    data = sys.stdin.buffer.read(LARGEST_BYTES + 1)
    if len(data) > LARGEST_BYTES:
        raise ReadError(file, f"more than {LARGEST_BYTES // 2**20} MiB", "name the file instead")
    return read_sweeps(data, "standard input", columns)


def find_reference(bench: Bench, wanted: str, unread: Sequence[ReadError]) -> Entry:
    """The entry that a text identifies: by label, by file, or by the beginning of either.

    Raises
    ------
    FairleadError
        If it fits none, or more than one.
    """
    for means in (_is_label, _is_file, _begins):
        found = [entry for entry in bench.entries if means(entry, wanted)]
        if len(found) == 1:
            return found[0]
        if found:
            raise FairleadError(
                f'"{wanted}" fits more than one sweep', f"write one of {_listed(found)}"
            )
    if any(wanted in _names_of(error.file) for error in unread):
        reason = f'the reference "{wanted}" could not be read'
    else:
        reason = f'there is no sweep "{wanted}"'
    raise FairleadError(reason, f"choose one of {_listed(bench.entries)}")


def _is_label(entry: Entry, wanted: str) -> bool:
    return entry.label == wanted


def _is_file(entry: Entry, wanted: str) -> bool:
    return wanted in _names_of(entry.file)


def _begins(entry: Entry, wanted: str) -> bool:
    names = (entry.label, PurePath(entry.file).name)
    return bool(wanted) and any(name.casefold().startswith(wanted.casefold()) for name in names)


def _names_of(file: str) -> tuple[str, ...]:
    """A file as given, its name, and the label made from it."""
    return file, str(PurePath(file)), PurePath(file).name, label_of(file)


def _listed(entries: Sequence[Entry]) -> str:
    shown = ", ".join(f'"{entry.label}"' for entry in entries[:_LISTED])
    more = len(entries) - _LISTED
    return f"{shown} and {more} more" if more > 0 else shown
