"""The end of the session reaches the window: SIGTERM, a closed terminal, Ctrl-C, a log-out.

None of them is a crash, and nobody can be asked anything. Python runs its signal handlers only
between two of its own steps, which may be long in coming while Qt waits for events: the signal is
sent through a socket that Qt listens to.
"""

from __future__ import annotations

import signal
import socket
from contextlib import suppress

from PySide6.QtCore import QObject, QSocketNotifier, Signal

_ENDING = tuple(
    getattr(signal, name) for name in ("SIGTERM", "SIGHUP", "SIGINT") if hasattr(signal, name)
)


class SessionEnd(QObject):
    """Listens for the signals that end a session, from `listen` to `close`."""

    wanted = Signal()
    """The program shall end now."""

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._before: dict[signal.Signals, object] = {}
        self._before_fd = -1
        self._near, self._far = socket.socketpair()
        self._near.setblocking(False)
        self._far.setblocking(False)
        self._notifier = QSocketNotifier(self._near.fileno(), QSocketNotifier.Type.Read, self)
        self._notifier.activated.connect(self._on_signal)

    def listen(self) -> None:
        """Take the signals over; only on the main thread."""
        self._before_fd = signal.set_wakeup_fd(self._far.fileno(), warn_on_full_buffer=False)
        for number in _ENDING:
            # Ignored on purpose by whoever started us (nohup): left so.
            if signal.getsignal(number) is not signal.SIG_IGN:
                self._before[number] = signal.signal(number, _do_nothing)

    def close(self) -> None:
        """Give the signals back."""
        for number, handler in self._before.items():
            signal.signal(number, handler)  # type: ignore[arg-type]
        self._before.clear()
        signal.set_wakeup_fd(self._before_fd)
        self._notifier.setEnabled(False)
        self._near.close()
        self._far.close()

    def _on_signal(self) -> None:
        with suppress(OSError):
            received = self._near.recv(64)
            if any(number in _ENDING for number in received):
                self.wanted.emit()


def _do_nothing(_number: int, _frame: object) -> None:
    """The number arrives through the socket."""
