"""Which sweeps a few typed words mean: by name, condition and group."""

from __future__ import annotations

from typing import TYPE_CHECKING

from fairlead.core.document.groups import group_of

if TYPE_CHECKING:
    from fairlead.core.document.bench import Bench


def matching(bench: Bench, text: str) -> frozenset[int]:
    """Keys of the sweeps that have every word of a text, and of the groups of such sweeps.

    A word may stand in the name, the condition or the name of the group, in capitals or not, and
    need not be whole. A text without words means everything.
    """
    words = text.casefold().split()
    found: set[int] = set()
    for entry in bench.entries:
        group = group_of(bench, entry.key)
        texts = [entry.label, entry.condition, "" if group is None else group.label]
        own = "\n".join(texts).casefold()
        if all(word in own for word in words):
            found.add(entry.key)
            if group is not None:
                found.add(group.key)
    return frozenset(found)
