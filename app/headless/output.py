"""Standard output and error: UTF-8, one line per error, and a quiet end when interrupted."""

from __future__ import annotations

import io
import os
import shutil
import sys
import time
from contextlib import contextmanager
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Iterator

DONE, UNREAD, WRONG_USAGE, SUSPECT = 0, 1, 2, 3
_INTERRUPTED = 130
# Progress is told after this time, and so often.
_SILENT_S, _EVERY_S = 1.0, 0.1


def use_utf8() -> None:
    """Use UTF-8 on both streams; undecodable bytes of file names are escaped."""
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, io.TextIOWrapper):
            stream.reconfigure(encoding="utf-8", errors="backslashreplace")


def printable(text: str) -> str:
    """The text on one line, without control sequences, which file names may contain.

    Undecodable bytes of a name are kept; the streams escape them.
    """
    return "".join(c if c.isprintable() or _is_stray_byte(c) else "\ufffd" for c in text)


def _is_stray_byte(character: str) -> bool:
    return "\udc80" <= character <= "\udcff"


def terminal_width() -> int | None:
    """Columns of the terminal that reads standard output; None if none does."""
    if sys.stdout is None or not sys.stdout.isatty():
        return None
    return shutil.get_terminal_size().columns


def say(error: object) -> None:
    """Print one line on standard error; line breaks and control characters are removed."""
    if sys.stderr is not None:
        print(printable(str(error)), file=sys.stderr)


def say_all(errors: Iterable[object]) -> None:
    """Print one line for each error."""
    for error in errors:
        say(error)


@contextmanager
def progress(*, is_quiet: bool = False) -> Iterator[Callable[[int, int, str], None]]:
    """A line on the terminal that says how far reading is, once it has taken a second.

    Yields what to call with the number of files done, of all, and the next one. Nothing is printed
    where standard error is no terminal.
    """
    is_shown = not is_quiet and sys.stderr is not None and sys.stderr.isatty()
    started_s = time.monotonic()
    last_s = started_s
    has_line = False

    def tell(done: int, steps: int, what: str) -> None:
        nonlocal last_s, has_line
        now_s = time.monotonic()
        if not is_shown or now_s - started_s < _SILENT_S or now_s - last_s < _EVERY_S:
            return
        last_s, has_line = now_s, True
        text = printable(f"{done} of {steps}: {what}")[: shutil.get_terminal_size().columns - 1]
        print(f"\r\x1b[K{text}", end="", file=sys.stderr, flush=True)

    try:
        yield tell
    finally:
        if has_line:
            print("\r\x1b[K", end="", file=sys.stderr, flush=True)


class Interrupted(SystemExit):
    """The user pressed Ctrl-C: the exit status reports it to the shell."""

    def __init__(self) -> None:
        super().__init__(_INTERRUPTED)


@contextmanager
def quiet_end() -> Iterator[None]:
    """End without a traceback when the reader of our output has closed the pipe, or on Ctrl-C."""
    try:
        yield
        if sys.stdout is not None:
            sys.stdout.flush()
    except BrokenPipeError:
        # Python flushes once more at exit; that must not fail as well.
        null = os.open(os.devnull, os.O_WRONLY)
        os.dup2(null, sys.stdout.fileno())
        os.close(null)
    except KeyboardInterrupt:
        raise Interrupted from None
