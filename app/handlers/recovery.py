"""Unsaved work is stored in the background, and offered again after a crash."""

from __future__ import annotations

import importlib
from functools import partial
from typing import TYPE_CHECKING

from PySide6.QtCore import QDateTime, QLocale

from fairlead.app.panels.message_bar import Message, Offer
from fairlead.app.panels.recovery_bar import RecoveryOffer

if TYPE_CHECKING:
    import os
    from collections.abc import Callable, Sequence
    from datetime import datetime

    from fairlead.app.document.document import Document
    from fairlead.app.files.jobs import Jobs
    from fairlead.app.files.recovery import Recovery
    from fairlead.app.files.recovery_file import Recovered
    from fairlead.app.handlers.bench import BenchHandler
    from fairlead.app.panels.message_bar import MessageBar
    from fairlead.app.panels.recovery_bar import RecoveryBar
    from fairlead.core.document.bench import Bench


class RecoveryHandler:
    """Connects the recovery files on disk with the bar that offers them."""

    def __init__(
        self,
        document: Document,
        benches: BenchHandler,
        worker: Jobs,
        bar: RecoveryBar,
        messages: MessageBar,
    ) -> None:
        self._document = document
        self._worker = worker
        self._benches = benches
        self._bar = bar
        self._messages = messages
        self._recovery: Recovery | None = None
        self._is_closed = False
        self._offered: dict[str, Recovered] = {}
        self._discarded: dict[str, Recovered] = {}
        bar.restore_wanted.connect(self.restore)
        bar.discard_wanted.connect(self.discard)
        bar.later_wanted.connect(lambda: bar.show_offers([]))
        document.saved_or_opened.connect(self._on_saved_or_opened)

    @property
    def recovery(self) -> Recovery | None:
        """The `Recovery` in use; None until `start`."""
        return self._recovery

    def start(self, folder: str | os.PathLike[str] | None = None) -> None:
        """Store unsaved work from now on, and offer what crashes have left behind.

        Parameters
        ----------
        folder : path-like, optional
            Where it is stored; the user's state folder if not given.
        """
        # Here, not at the top: it imports the readers; see start_soon.
        from fairlead.app.files.recovery import Recovery  # noqa: PLC0415

        if self._recovery is not None or self._is_closed:
            return
        self._recovery = Recovery(self._document, folder)
        self._recovery.failed.connect(self._on_failed)
        # `Recovery` takes the current bench for saved, but the user may have started editing.
        self._recovery.mark_saved(self._document.saved or self._document.bench, self._document.path)
        self._recovery.look(self._on_found)

    def start_soon(self) -> None:
        """Start once the modules it needs have been loaded in the background."""
        self._worker.run(
            "",
            lambda _: importlib.import_module("fairlead.app.files.recovery_file"),
            lambda _: self.start(),
            lambda error: self._on_failed(str(error)),
        )

    def restore(self, name: str) -> None:
        """Open stored work."""
        about = self._offered.get(name)
        if about is not None:
            self._benches.when_nothing_is_lost(
                "restoring other work", partial(self._restore, about)
            )

    def discard(self, name: str) -> None:
        """Stop offering it; it is deleted only when the program ends, so this can be undone."""
        about = self._offered.pop(name, None)
        if about is None:
            return
        self._discarded[name] = about
        self._show()
        offer = Offer("Keep it after all", "Offer it again", partial(self._keep, name))
        self._messages.say_all([Message("note", f"Discarded: {_line(about)}", (offer,), name)])

    def keep_now(self, wait_while: Callable[[Callable[[], bool]], None]) -> None:
        """Bring the recovery file up to date at once: unsaved edits, or none.

        Parameters
        ----------
        wait_while : callable
            Processes events as long as the function passed to it returns True.
        """
        recovery = self._recovery
        if recovery is not None:
            wait_while(lambda: recovery.is_busy)
            recovery.keep_now(holds_edits=self._document.holds_edits)
            wait_while(lambda: recovery.is_busy)

    def close(self, *, keeps: Bench | None = None) -> None:
        """End, when the window closes.

        Parameters
        ----------
        keeps : Bench, optional
            Work to be offered at the next start; see `Recovery.close`.
        """
        if self._recovery is not None:
            for about in self._discarded.values():
                self._recovery.discard(about.path)
            self._recovery.close(keeps=keeps)
        self._recovery = None
        self._is_closed = True

    def _on_found(self, found: Sequence[Recovered]) -> None:
        self._offered.update((str(about.path), about) for about in found)
        self._show()

    def _restore(self, about: Recovered) -> None:
        """Read it in the background; meanwhile it is not offered."""
        if self._recovery is None or self._offered.pop(str(about.path), None) is None:
            return
        self._show()
        before = self._document.bench
        self._recovery.take(
            about.path,
            lambda bench: self._on_taken(about, bench, before),
            lambda error: self._messages.say("error", [str(error)]),
        )

    def _on_taken(self, about: Recovered, bench: Bench, before: Bench) -> None:
        # Offered again, unless it is opened.
        self._offered[str(about.path)] = about
        if self._document.bench is before:
            self._put(about, bench)
        else:
            # The user continued working while it was read: ask again.
            put = partial(self._put, about, bench)
            self._benches.when_nothing_is_lost("restoring other work", put)
        self._show()

    def _put(self, about: Recovered, bench: Bench) -> None:
        if self._recovery is None:
            return
        self._offered.pop(str(about.path), None)
        self._show()
        self._recovery.took(about)
        self._benches.restore(bench, about.bench_path)
        self._messages.say("note", [f"Restored: {_line(about)}"])

    def _keep(self, name: str) -> None:
        about = self._discarded.pop(name, None)
        if about is not None:
            self._offered[name] = about
            self._show()

    def _show(self) -> None:
        newest_first = sorted(self._offered.items(), key=lambda item: item[1].saved_at)[::-1]
        self._bar.show_offers([RecoveryOffer(name, _line(about)) for name, about in newest_first])

    def _on_saved_or_opened(self, bench: Bench, path: str | None) -> None:
        if self._recovery is not None:
            self._recovery.mark_saved(bench, path)

    def _on_failed(self, line: str) -> None:
        self._messages.say("warning", [line])


def _line(about: Recovered) -> str:
    of = f", of {about.bench_path}" if about.bench_path else ""
    return f"{_when(about.saved_at)}, {about.summary}{of}"


def _when(moment: datetime) -> str:
    local = QDateTime.fromSecsSinceEpoch(round(moment.timestamp()))
    return QLocale().toString(local, QLocale.FormatType.ShortFormat)
