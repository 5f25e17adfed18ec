"""A first guess which sweeps of a bench were taken before, during and after."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

from fairlead.core.comparison.repeats.answer import Question

if TYPE_CHECKING:
    from collections.abc import Collection, Sequence

    from fairlead.core.document.bench import Bench
    from fairlead.core.document.entry import Entry

# Words of conditions and names; an underscore or a hyphen parts words as a blank does.
_DRY = re.compile(r"\b(dry|dried|choked?)\b", re.IGNORECASE)
_AGAIN = re.compile(r"\b(again|after|afterwards|dried)\b", re.IGNORECASE)
_DURING = re.compile(r"\b(wet|soaked|rain|rained|iced?|icy|snow|frost|held|hand)\b", re.IGNORECASE)


def likely_question(bench: Bench, selection: Collection[int] = ()) -> Question | None:
    """Roles from conditions and names, or from the order where those say nothing.

    The selected sweep is the one during, if it may be. None on a bench of fewer than two sweeps.

    Parameters
    ----------
    bench : Bench
    selection : collection of int
        Keys of the selected sweeps.
    """
    entries = [entry for entry in bench.entries if entry.is_visible]
    if len(entries) < 2:
        entries = list(bench.entries)
    # "After heavy rain" is wet.
    again = [one for one in entries if _says(one, _AGAIN) and not _says(one, _DURING)]
    dry = [one for one in entries if one not in again and _says(one, _DRY)]
    during = [one for one in entries if one not in again and one not in dry]
    # Of several dry ones the plainest name: others say through what, or of what, it is.
    dry.sort(key=lambda one: len(one.label))
    before = _first(dry, [bench.reference_key]) or _first(entries, [bench.reference_key])
    rest = [one for one in during if one is not before]
    wet = [one for one in rest if _says(one, _DURING)]
    middle = _first([one for one in rest if one.key in selection], ()) or _first(wet or rest, ())
    middle = middle or _first([one for one in entries if one is not before], ())
    after = _first([one for one in again if one not in (before, middle)], ())
    if before is None or middle is None:
        return None
    return Question(before.key, middle.key, None if after is None else after.key)


def _first(entries: Sequence[Entry], wanted: Sequence[int | None]) -> Entry | None:
    """One with a wanted key, else the first; None without any."""
    return next((one for one in entries if one.key in wanted), entries[0] if entries else None)


def _says(entry: Entry, words: re.Pattern[str]) -> bool:
    return bool(words.search(f"{entry.condition} {entry.label}".replace("_", " ")))
