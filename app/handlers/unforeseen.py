"""Errors that nobody caught: a line in the bar with all details to copy, and a log file.

The window goes on: Qt calls each slot by itself, so the one that failed is the only one that did
not do its work.
"""

from __future__ import annotations

import platform
import sys
import threading
import traceback
from contextlib import suppress
from datetime import UTC, datetime
from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, QStandardPaths, Signal, qVersion
from PySide6.QtGui import QGuiApplication

from fairlead.app.panels.message_bar import Message, Offer
from fairlead.app.version import version
from fairlead.core.atomic_file import write_atomic
from fairlead.core.errors import FairleadError, ReadError
from fairlead.core.file_bytes import file_bytes

if TYPE_CHECKING:
    from types import TracebackType

    from fairlead.app.panels.message_bar import MessageBar

_LARGEST_BYTES = 1024 * 1024
# Of an error that comes back at every move of the mouse, only the first ones are written down.
_MOST_LOGGED = 50


def log_file() -> str:
    """Where errors are written down; empty if the system names no folder."""
    place = QStandardPaths.writableLocation(QStandardPaths.StandardLocation.AppLocalDataLocation)
    return str(Path(place) / "errors.log") if place else ""


class UnforeseenErrors(QObject):
    """Takes what `sys.excepthook` and `threading.excepthook` are called with.

    Parameters
    ----------
    messages : MessageBar
    path : str
        The log file; empty for none.
    """

    _failed = Signal(str, str)
    """Summary and details; from any thread."""

    def __init__(self, messages: MessageBar, path: str, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._messages = messages
        self._path = path
        self._logged = 0
        self._before = sys.excepthook
        self._failed.connect(self._show)

    def install(self) -> None:
        """From now on errors come here, and still go to standard error."""
        self._before = sys.excepthook
        sys.excepthook = self.take
        threading.excepthook = self._take_of_thread

    def take(
        self, kind: type[BaseException], error: BaseException, trace: TracebackType | None
    ) -> None:
        """Show and write down one error."""
        self._before(kind, error, trace)
        if not issubclass(kind, Exception):
            return  # Ctrl-C and the like
        text = "".join(traceback.format_exception(kind, error, trace))
        head = (
            f"fairlead {version()}, Python {platform.python_version()}, Qt {qVersion()}, "
            f"{platform.platform()}, {datetime.now(UTC):%Y-%m-%d %H:%M:%S} UTC"
        )
        what = " ".join(f"{kind.__name__}: {error}".split())
        self._failed.emit(what, f"{head}\n{text}")

    def _take_of_thread(self, failed: threading.ExceptHookArgs) -> None:
        error = failed.exc_value or failed.exc_type()
        self.take(failed.exc_type, error, failed.exc_traceback)

    def _show(self, what: str, details: str) -> None:
        place = self._log(details)
        where = f"; written to {place}" if place else ""
        offer = Offer(
            "Copy details",
            "Copy the details for an error report; they contain file paths, but no data",
            lambda: QGuiApplication.clipboard().setText(details),
        )
        text = f"Something went wrong ({what}). Please report it{where}"
        self._messages.say_all([Message("error", text, (offer,), f"unforeseen:{what}")])

    def _log(self, details: str) -> str:
        """Add to the log; its path, or empty if it could not be written."""
        self._logged += 1
        if not self._path or self._logged > _MOST_LOGGED:
            return ""
        old = b""
        with suppress(ReadError):
            too_large = ReadError(self._path, "too large", "remove it")
            old = file_bytes(self._path, "", too_large, _LARGEST_BYTES)
        with suppress(FairleadError, OSError):
            Path(self._path).parent.mkdir(parents=True, exist_ok=True)
            parts = [old, details.encode("utf-8", "backslashreplace"), b"\n"]
            write_atomic(self._path, parts, never_over=(), is_private=True)
            return self._path
        return ""
