"""Which sweeps and groups are shown, as a whole: one shown alone, and back."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Collection

    from fairlead.core.document.bench import Bench


def shown_keys(bench: Bench) -> frozenset[int]:
    """Keys of the sweeps that are drawn, and of the groups whose envelope and mean are."""
    sweeps = {entry.key for entry in bench.entries if entry.is_visible}
    return frozenset(sweeps | {group.key for group in bench.groups if group.is_visible})


def alone_keys(bench: Bench, chosen: Collection[int]) -> frozenset[int]:
    """What is drawn when only these sweeps are shown: they, and groups of which all are chosen."""
    whole = {group.key for group in bench.groups if set(group.members) <= set(chosen)}
    return frozenset({entry.key for entry in bench.entries if entry.key in chosen} | whole)


def with_only(bench: Bench, keys: Collection[int]) -> Bench:
    """The bench showing the sweeps and groups with these keys and no others."""
    entries = tuple(
        one if one.is_visible == (one.key in keys) else replace(one, is_visible=one.key in keys)
        for one in bench.entries
    )
    groups = tuple(
        one if one.is_visible == (one.key in keys) else replace(one, is_visible=one.key in keys)
        for one in bench.groups
    )
    changed = replace(bench, entries=entries, groups=groups)
    return bench if changed == bench else changed
