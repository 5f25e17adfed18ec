"""Colours of sweeps by what they have in common: their condition, or their group.

More kinds than there are colours share the last one; dash and marker still distinguish every sweep.
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Literal

from fairlead.core.document.edits import nth_style
from fairlead.core.document.entry import COLOUR_KINDS, DASH_KINDS, MARKER_KINDS, Style
from fairlead.core.document.groups import group_of

if TYPE_CHECKING:
    from fairlead.core.document.bench import Bench
    from fairlead.core.document.entry import Entry

ColourBy = Literal["condition", "group", "sweep"]

# Dash and marker repeat together after so many.
_ROUND = 12


def kinds_of(bench: Bench, by: ColourBy) -> dict[int, str]:
    """What each sweep counts as, by its key: condition or group; empty without one.

    Conditions that differ only in case are one.
    """
    if by == "sweep":
        return {entry.key: str(entry.key) for entry in bench.entries}
    return {entry.key: _kind(bench, entry, by) for entry in bench.entries}


def _kind(bench: Bench, entry: Entry, by: ColourBy) -> str:
    if by == "condition":
        return entry.condition.casefold()
    group = group_of(bench, entry.key)
    return "" if group is None else str(group.key)


def sharing_a_colour(bench: Bench, by: ColourBy) -> int:
    """How many kinds share the last colour; 0 where each has one of its own."""
    count = len(set(kinds_of(bench, by).values()))
    return count - COLOUR_KINDS + 1 if count > COLOUR_KINDS else 0


def with_colours(bench: Bench, by: ColourBy) -> Bench:
    """Every sweep coloured by its kind; each keeps a dash and marker of its own within it.

    ``"sweep"`` gives each sweep the style that it would have had when it was added. Groups take the
    colour of their members where those share one.
    """
    if by == "sweep":
        return _one_each(bench)
    kinds = kinds_of(bench, by)
    colours = {
        kind: min(number, COLOUR_KINDS - 1)
        for number, kind in enumerate(dict.fromkeys(kinds.values()))
    }
    # The mean of a group is solid.
    counts = dict.fromkeys(range(COLOUR_KINDS), 1 if bench.groups else 0)
    entries = []
    for entry in bench.entries:
        colour = colours[kinds[entry.key]]
        number = counts[colour]
        counts[colour] += 1
        style = Style(colour, (number + number // _ROUND) % DASH_KINDS, number % MARKER_KINDS)
        entries.append(entry if entry.style == style else replace(entry, style=style))
    changed = replace(bench, entries=tuple(entries))
    groups = []
    for group in bench.groups:
        own = {changed.entry(key).style.colour for key in group.members}
        style = Style(own.pop(), 0, 0) if len(own) == 1 else group.style
        groups.append(group if group.style == style else replace(group, style=style))
    changed = replace(changed, groups=tuple(groups))
    return bench if changed == bench else changed


def _one_each(bench: Bench) -> Bench:
    styles = [nth_style(number) for number in range(len(bench.entries) + len(bench.groups))]
    entries = tuple(
        entry if entry.style == style else replace(entry, style=style)
        for entry, style in zip(bench.entries, styles, strict=False)
    )
    groups = tuple(
        group if group.style == style else replace(group, style=style)
        for group, style in zip(bench.groups, styles[len(entries) :], strict=True)
    )
    changed = replace(bench, entries=entries, groups=groups)
    return bench if changed == bench else changed
