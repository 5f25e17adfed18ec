"""What is suspect about the sweeps of a bench taken together."""

from __future__ import annotations

from typing import TYPE_CHECKING

from fairlead.core.soundness.finding import About, Finding

if TYPE_CHECKING:
    from collections.abc import Iterable

    from fairlead.core.document.entry import Entry
    from fairlead.core.sweep import AnySweep

ABOUT = About(
    code="same-content",
    title="The same sweep twice",
    reason=(
        "Two sweeps taken one after the other differ at least in their noise. Identical "
        "numbers are one measurement under two names: nothing changed because nothing was "
        "measured again."
    ),
    threshold="every frequency and value, the kind and the reference impedance are equal",
    source="follows from the definition",
    advice="Check which of the two files was copied or overwritten, and sweep that unit again.",
)


def duplicates(entries: Iterable[Entry]) -> dict[int, str]:
    """Entries with exactly the numbers of an earlier one.

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


def repeated(first_label: str) -> Finding:
    """The finding about an entry with the numbers of an earlier one."""
    return ABOUT.found(f'has the same numbers as "{first_label}"')
