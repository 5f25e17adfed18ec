"""A recovery file: one line about the bench, then the bench as in its own file.

    {"fairlead_recovery": 1, "saved_at": "2026-05-14T18:30:05+02:00", ...}
    {
     "fairlead": 1,
     ...

No Qt here; everything runs on a worker thread.
"""

from __future__ import annotations

import json
import os
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import datetime
from typing import TYPE_CHECKING, BinaryIO
from weakref import WeakKeyDictionary

from fairlead.core.atomic_file import write_atomic
from fairlead.core.bench_file import bench_from_bytes, looks_like_bench
from fairlead.core.bench_file.encode import encode
from fairlead.core.bench_file.format import LARGEST_BYTES
from fairlead.core.bench_file.points import to_text
from fairlead.core.causes import why_not_read
from fairlead.core.errors import ReadError
from fairlead.core.paths import mark_from, mark_of, open_file

if TYPE_CHECKING:
    from collections.abc import Generator, Iterator
    from pathlib import Path

    from fairlead.core.arrays import FloatArray
    from fairlead.core.document.bench import Bench
    from fairlead.core.paths import FileMark
    from fairlead.core.sweep import AnySweep

_MARK = "fairlead_recovery"
_FORMAT = 1
_END = b"\n}\n"
_LONGEST_HEADER = 64 * 1024
_HEAD_BYTES = 4096
_AT_ONCE = 1024 * 1024
_MOST_NAMES = 3
_LONGEST_NAME = 40


@dataclass(frozen=True, slots=True)
class Recovered:
    """The description in a recovery file.

    Attributes
    ----------
    path : Path
        The recovery file.
    saved_at : datetime
        When it was written, with time zone.
    bench_path : str or None
        The file that the bench was opened from or saved to; None if it never had one.
    summary : str
        Its contents: ``3 sweeps: dry, wet, iced``.
    """

    path: Path
    saved_at: datetime
    bench_path: str | None
    summary: str


class RecoveryWriter:
    """Writes a bench to one recovery file, again and again.

    A sweep's points do not change while the user works. Their text is copied from the previous
    file, so that a change costs reading and writing but hardly any computing.
    """

    def __init__(self, path: Path) -> None:
        self._path = path
        self._places: WeakKeyDictionary[AnySweep, tuple[int, int]] = WeakKeyDictionary()
        self._signature: FileMark | None = None

    def write(self, bench: Bench, bench_path: str | None) -> None:
        """Replace the file by one with this bench.

        Raises
        ------
        FairleadError
            If it cannot be written; the previous file is then intact.
        """
        places: WeakKeyDictionary[AnySweep, tuple[int, int]] = WeakKeyDictionary()
        header = _header(bench, bench_path)
        position = 0

        def pieces() -> Generator[bytes, None, None]:
            nonlocal position
            # Closed again before the new file replaces it: some systems require that.
            with self._old_file() as old:

                def points_text(sweep: AnySweep, rows: FloatArray) -> Iterator[bytes]:
                    # All earlier pieces have been written: the position is where the points begin.
                    start, known = position, self._places.get(sweep)
                    if old is None or known is None:
                        yield from to_text(rows)
                    else:
                        yield from _copied(old, *known)
                    places[sweep] = (start, position - start)

                yield header
                position += len(header)
                for piece in encode(bench, points_text):
                    yield piece
                    position += len(piece)

        parts = pieces()
        try:
            write_atomic(self._path, parts, never_over=(), is_private=True)
        except BaseException:
            # Whatever was wrong with the previous file is not copied again.
            self._signature = None
            raise
        finally:
            parts.close()
        self._places, self._signature = places, mark_of(self._path)

    def remove(self) -> None:
        """Delete the file, if there is one.

        Raises
        ------
        OSError
            If there is one that cannot be deleted.
        """
        self._signature = None
        self._path.unlink(missing_ok=True)

    @contextmanager
    def _old_file(self) -> Iterator[BinaryIO | None]:
        """The previous file, if there is one and it is unchanged."""
        try:
            old = None if self._signature is None else _opened(self._path)
        except OSError:
            old = None
        if old is None:
            yield None
            return
        with old:
            is_same = mark_from(os.fstat(old.fileno())) == self._signature
            yield old if is_same else None


def read_about(path: Path) -> Recovered:
    """The description in a recovery file; the bench in it is only checked for its length.

    Raises
    ------
    ReadError
        If it is not a recovery file, or not a complete one.
    """
    try:
        with _opened(path) as stream:
            header = stream.readline(_LONGEST_HEADER)
            head = stream.read(_HEAD_BYTES)
            stream.seek(-len(_END), os.SEEK_END)
            end = stream.read()
    except OSError as error:
        raise _broken(path, why_not_read(error)[0]) from error
    if not looks_like_bench(head) or end != _END:
        raise _broken(path, "the bench in it is cut short")
    return _about(path, header)


def read_bench(path: Path) -> Bench:
    """The bench in a recovery file.

    Raises
    ------
    ReadError
        If it cannot be read.
    """
    try:
        with _opened(path) as stream:
            if os.fstat(stream.fileno()).st_size > LARGEST_BYTES + _LONGEST_HEADER:
                raise _broken(path, "it is larger than any bench")
            stream.readline(_LONGEST_HEADER)
            content = stream.read(LARGEST_BYTES + 1)
    except OSError as error:
        raise _broken(path, why_not_read(error)[0]) from error
    return bench_from_bytes(content, str(path))


def summary(bench: Bench) -> str:
    """The contents of a bench: ``3 sweeps: dry, wet, iced``; longer lists are cut."""
    names = [" ".join(entry.label.split())[:_LONGEST_NAME] for entry in bench.entries]
    if not names:
        return "no sweeps"
    shown = ", ".join(names[:_MOST_NAMES])
    more = f" and {len(names) - _MOST_NAMES} more" if len(names) > _MOST_NAMES else ""
    return f"{len(names)} {'sweep' if len(names) == 1 else 'sweeps'}: {shown}{more}"


def _header(bench: Bench, bench_path: str | None) -> bytes:
    header = {
        _MARK: _FORMAT,
        "saved_at": datetime.now().astimezone().isoformat(timespec="seconds"),
        "bench_path": bench_path,
        "summary": summary(bench),
    }
    return json.dumps(header).encode("ascii") + b"\n"


def _about(path: Path, header: bytes) -> Recovered:
    try:
        about = json.loads(header)
        if about[_MARK] != _FORMAT:
            raise _broken(path, "it comes from another version of Fairlead")
        saved_at = datetime.fromisoformat(about["saved_at"]).astimezone()
        bench_path, text = about["bench_path"], about["summary"]
    except (ValueError, TypeError, KeyError, OverflowError, RecursionError, OSError) as error:
        raise _broken(path, "its first line is damaged") from error
    if not isinstance(text, str) or not (bench_path is None or isinstance(bench_path, str)):
        raise _broken(path, "its first line is damaged")
    return Recovered(path, saved_at, bench_path, " ".join(text.split()))


def _opened(path: Path) -> BinaryIO:
    """Open for reading: only an ordinary file, without following links."""
    return open(open_file(path, follows_links=False), "rb")  # noqa: PTH123 - a descriptor


def _broken(path: Path, reason: str) -> ReadError:
    return ReadError(str(path), f"this recovery file cannot be used: {reason}")


def _copied(old: BinaryIO, start: int, length: int) -> Iterator[bytes]:
    old.seek(start)
    while length > 0:
        piece = old.read(min(length, _AT_ONCE))
        if not piece:
            # Its size was read a moment ago: the drive is failing.
            raise OSError(5, os.strerror(5))
        yield piece
        length -= len(piece)
