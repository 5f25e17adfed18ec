"""Standard output and error as the contract wants them: UTF-8, one line an error, quiet ends."""

from __future__ import annotations

import io
import os
import sys
from contextlib import contextmanager
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

DONE, UNREAD, WRONG_USAGE, SUSPECT = 0, 1, 2, 3
_INTERRUPTED = 130


def use_utf8() -> None:
    """UTF-8 on both streams, whatever the locale; what is no text in a file's name is escaped."""
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, io.TextIOWrapper):
            stream.reconfigure(encoding="utf-8", errors="backslashreplace")


def printable(text: str) -> str:
    """The text on one line, without what a terminal would obey: names of files may hold it.

    Bytes of a name that are no text are kept; the streams escape them.
    """
    return "".join(c if c.isprintable() or _is_stray_byte(c) else "\ufffd" for c in text)


def _is_stray_byte(character: str) -> bool:
    return "\udc80" <= character <= "\udcff"


def say(error: object) -> None:
    """One line on standard error, also where a name has line ends or control characters in it."""
    if sys.stderr is not None:
        print(printable(str(error)), file=sys.stderr)


def say_all(errors: Iterable[object]) -> None:
    """One line for each error."""
    for error in errors:
        say(error)


class Interrupted(SystemExit):
    """The user pressed Ctrl-C: the shell learns it by the usual status."""

    def __init__(self) -> None:
        super().__init__(_INTERRUPTED)


@contextmanager
def quiet_end() -> Iterator[None]:
    """End without a traceback when the reader of our output has gone, or on Ctrl-C."""
    try:
        yield
        if sys.stdout is not None:
            sys.stdout.flush()
    except BrokenPipeError:
        # Python flushes once more at exit; that must not fail again.
        null = os.open(os.devnull, os.O_WRONLY)
        os.dup2(null, sys.stdout.fileno())
        os.close(null)
    except KeyboardInterrupt:
        raise Interrupted from None
