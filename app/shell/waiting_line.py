"""Listens for files that another start of the program hands over."""

from __future__ import annotations

import os
import time
from contextlib import suppress
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, QSocketNotifier, Signal

from fairlead.app.files.hand_over import LARGEST_BYTES, TAKEN, listening_socket, paths_in

if TYPE_CHECKING:
    import socket

# The other side writes all at once; a hand that holds the line must not hold the window.
_PATIENCE_S = 0.2


class WaitingLine(QObject):
    """Takes one message at a time, of a bounded size, within a bounded time."""

    offered = Signal(object)
    """Paths of files that are to be opened: a list of str."""

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._line: socket.socket | None = None
        self._path = ""
        self._notifier: QSocketNotifier | None = None

    def listen(self) -> None:
        """Begin, unless another window listens already."""
        self._line = listening_socket()
        if self._line is None:
            return
        self._path = self._line.getsockname()
        self._line.setblocking(False)
        self._notifier = QSocketNotifier(self._line.fileno(), QSocketNotifier.Type.Read, self)
        self._notifier.activated.connect(self._on_call)

    def close(self) -> None:
        """Stop, and free the place for the next window."""
        if self._line is None or self._notifier is None:
            return
        self._notifier.setEnabled(False)
        self._line.close()
        self._line = None
        with suppress(OSError):
            os.unlink(self._path)  # noqa: PTH108 - text, as the socket has it

    def _on_call(self) -> None:
        if self._line is None:
            return
        with suppress(OSError):
            call, _ = self._line.accept()
            with call:
                paths = paths_in(_message(call))
                if paths is not None:
                    call.sendall(TAKEN)
                    self.offered.emit(paths)


def _message(call: socket.socket) -> bytes:
    """What is said up to the end of the line, or as far as size and patience go."""
    until_s = time.monotonic() + _PATIENCE_S
    told = b""
    while not told.endswith(b"\n") and len(told) < LARGEST_BYTES:
        left_s = until_s - time.monotonic()
        if left_s <= 0:
            break
        call.settimeout(left_s)
        part = call.recv(65_536)
        if not part:
            break
        told += part
    return told
