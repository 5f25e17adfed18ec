"""What is suspect about the sweeps of a bench taken together."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Iterable

    from fairlead.core.document.bench import Entry
    from fairlead.core.sweep import AnySweep


def duplicates(entries: Iterable[Entry]) -> dict[int, str]:
    """Entries that hold the very numbers of an earlier one.

    Parameters
    ----------
    entries : iterable of Entry
        In the order of the list.

    Returns
    -------
    dict of int to str
        Key of the later entry, label of the first one with equal points and reference impedance.
    """
    first: dict[AnySweep, str] = {}
    found: dict[int, str] = {}
    for entry in entries:
        if entry.sweep in first:
            found[entry.key] = first[entry.sweep]
        else:
            first[entry.sweep] = entry.label
    return found
