"""Passes the end of the session to the window: SIGTERM, a closed terminal, Ctrl-C, a log-out.

None of them is a crash, and there is nobody to answer a question. Python runs its signal handlers
only between two of its own steps, which may be long in coming while Qt waits for events: the signal
is sent through a socket that Qt listens to.

A log-out comes in two parts. First the session manager asks every program to save its state. Any of
them can still cancel the log-out, and then everything continues as before. The session ends only
when the program is told to quit.
"""

from __future__ import annotations

import signal
import socket
from contextlib import suppress
from typing import TYPE_CHECKING, Protocol

from PySide6.QtCore import QEvent, QObject, QSocketNotifier, Signal
from PySide6.QtWidgets import QApplication

if TYPE_CHECKING:
    from fairlead.core.document.bench import Bench

_ENDING = tuple(
    getattr(signal, name) for name in ("SIGTERM", "SIGHUP", "SIGINT") if hasattr(signal, name)
)


class SessionEnd(QObject):
    """Listens for the signals that end a session, from `listen` to `close`."""

    wanted = Signal()
    """The program is to end now."""

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
        """Install the signal handlers; only on the main thread."""
        self._before_fd = signal.set_wakeup_fd(self._far.fileno(), warn_on_full_buffer=False)
        for number in _ENDING:
            # Ignored on purpose by whoever started the program (nohup): left alone.
            if signal.getsignal(number) is not signal.SIG_IGN:
                self._before[number] = signal.signal(number, _do_nothing)

    def close(self) -> None:
        """Restore the previous signal handlers."""
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


class Application(QApplication):
    """Reports that the program is told to quit, before the windows are asked to close."""

    quit_wanted = Signal()

    def event(self, event: QEvent) -> bool:
        """Pass everything on."""
        if event.type() == QEvent.Type.Quit:
            self.quit_wanted.emit()
        return super().event(event)


class Ending(Protocol):
    """What a log-out needs of the window."""

    def save_for_session(self) -> Bench:
        """Store unsaved edits without closing; returns the bench that is safe now."""

    def is_still(self, bench: Bench) -> bool:
        """Whether nothing has changed since then."""

    def end_session(self) -> None:
        """Close without asking, storing unsaved edits."""


class LogOut(QObject):
    """Saves when the session manager asks, and closes without asking when told to.

    Parameters
    ----------
    application : Application
    window : Ending
    """

    def __init__(self, application: Application, window: Ending) -> None:
        super().__init__(application)
        self._window = window
        self._kept: Bench | None = None
        application.commitDataRequest.connect(self._save)
        application.quit_wanted.connect(self._quit)
        # On Windows this is the only message.
        application.aboutToQuit.connect(window.end_session)

    def _save(self) -> None:
        self._kept = self._window.save_for_session()

    def _quit(self) -> None:
        # Work done after a cancelled log-out is asked about as usual.
        if self._kept is not None and self._window.is_still(self._kept):
            self._window.end_session()


def _do_nothing(_number: int, _frame: object) -> None:
    """The number arrives through the socket."""
