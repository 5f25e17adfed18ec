"""Readings typed from a meter, and edited later."""

from __future__ import annotations

from typing import TYPE_CHECKING

from fairlead.app.handlers.desk import PanelHandler
from fairlead.core.document.entry import Typed

if TYPE_CHECKING:
    from fairlead.core.document.entry import Entry
    from fairlead.core.sweep import ScalarSweep


class TypedHandler(PanelHandler):
    """Opens the panel, and puts the readings on the bench."""

    def type_new(self) -> None:
        """Type readings that become a new sweep."""
        self._show(None)

    def edit(self) -> None:
        """Edit the readings of the selected sweep."""
        keys = self._view_state.selection
        chosen = [entry for entry in self._document.bench.entries if entry.key in keys]
        if len(chosen) == 1 and chosen[0].typed.rows:
            self._show(chosen[0])

    def _show(self, entry: Entry | None) -> None:
        # Imported here: it needs the readers, which the start avoids.
        from fairlead.app.panels.typed_panel import TypedPanel  # noqa: PLC0415

        if self._panel is not None:
            return
        panel = TypedPanel(
            Typed() if entry is None else entry.typed,
            self._free_label() if entry is None else entry.label,
            self._document.bench.z0_ohm if entry is None else entry.sweep.z0_ohm,
            self._view_state,
            self._window,
            is_new=entry is None,
        )
        key = None if entry is None else entry.key
        panel.typed_wanted.connect(lambda sweep, typed, label: self._take(key, sweep, typed, label))
        self._open(panel)

    def _take(self, key: int | None, sweep: ScalarSweep, typed: Typed, label: str) -> None:
        from fairlead.core.reading import Reading  # noqa: PLC0415 - see _show

        if key is None:
            self._edits.add_typed(Reading(sweep, label, ""), typed)
            self._view_state.set_selection(frozenset({self._document.bench.entries[-1].key}))
        elif any(entry.key == key for entry in self._document.bench.entries):
            self._edits.set_typed(key, sweep, typed, label)

    def _free_label(self) -> str:
        used = {entry.label for entry in self._document.bench.entries}
        number = 1
        while f"meter {number}" in used:
            number += 1
        return f"meter {number}"
