"""Findings about each sweep, kept while they hold, and worked out again after changes."""

from __future__ import annotations

import time
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, QTimer, Signal

from fairlead.core.soundness.duplicates import duplicates
from fairlead.core.soundness.reported import reported, reported_of

if TYPE_CHECKING:
    from fairlead.app.document.document import Document
    from fairlead.core.document.bench import Bench
    from fairlead.core.soundness.finding import Finding

# A dragged edge changes the band sixty times a second.
_PAUSE_MS = 120
# Curves that move with the hand are other sweeps at every step; the checks of twenty take longer
# than a frame, so they wait until the hand rests.
_HURRIED_PAUSE_MS = 400
_SLICE_S = 0.012


class Concerns(QObject):
    """Findings by the key of the entry; until the checks have run, the reader's notices."""

    changed = Signal(object)
    """Frozenset of the keys whose findings have changed."""

    def __init__(self, document: Document, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._document = document
        self._findings: dict[int, tuple[Finding, ...]] = {}
        self._waiting: list[int] = []
        self._repeats: dict[int, str] | None = None
        self._timer = QTimer(self)
        self._timer.setSingleShot(True)
        self._timer.timeout.connect(self._work)
        document.changed.connect(self._on_changed)
        self._begin(document.bench)

    def of(self, key: int) -> tuple[Finding, ...]:
        """The findings about a sweep of the bench."""
        return self._findings.get(key, ())

    @property
    def is_up_to_date(self) -> bool:
        """Whether all findings belong to the current bench."""
        return not self._waiting

    def _on_changed(self, old: Bench, new: Bench) -> None:
        of_band = (old.band, old.limit_swr, old.z0_ohm), (new.band, new.limit_swr, new.z0_ohm)
        if new.entries is not old.entries or of_band[0] != of_band[1]:
            self._begin(new, _HURRIED_PAUSE_MS if self._document.is_hurried else _PAUSE_MS)

    def _begin(self, bench: Bench, pause_ms: int = _PAUSE_MS) -> None:
        keys = [entry.key for entry in bench.entries]
        known = self._findings
        self._findings = {
            entry.key: known[entry.key] if entry.key in known else reported(entry.notices, ())
            for entry in bench.entries
        }
        self._waiting = keys
        self._repeats = None
        self._timer.start(pause_ms)

    def _work(self) -> None:
        """Do part of the work, so that the window stays responsive."""
        bench = self._document.bench
        entries = {entry.key: entry for entry in bench.entries}
        if self._repeats is None:
            self._repeats = duplicates(bench.entries)
        until = time.perf_counter() + _SLICE_S
        other: set[int] = set()
        while self._waiting and time.perf_counter() < until:
            key = self._waiting.pop(0)
            found = reported_of(
                entries[key], bench, self._document.analyses, self._repeats.get(key, "")
            )
            if found != self._findings[key]:
                self._findings[key] = found
                other.add(key)
        if self._waiting:
            self._timer.start(0)
        if other:
            self.changed.emit(frozenset(other))
