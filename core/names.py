"""What tells similar names apart, and how to shorten the rest.

Names of sweeps from one session often begin and end alike: "roof-2026-05-14-dry" and
"roof-2026-05-14-wet". Where one has no room, what all share goes first.
"""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Mapping, Sequence

_ELLIPSIS = "…"
_WORD = re.compile(r"[^\W_]+|[\W_]+")

Parts = tuple[str, str, str]
"""What a name begins with as its likes do, its own, what it ends with as they do."""


def parts_of(names: Iterable[str]) -> dict[str, Parts]:
    """Each name in three parts: shared with names of the same first word, its own, shared again.

    A word is never divided, since half a number says something else. A name that has no like is all
    its own.
    """
    alike: dict[str, list[str]] = {}
    for name in dict.fromkeys(names):
        words = _WORD.findall(name)
        alike.setdefault(words[0] if words else "", []).append(name)
    found: dict[str, Parts] = {}
    for cluster in alike.values():
        if len(cluster) == 1:
            found[cluster[0]] = ("", cluster[0], "")
            continue
        split = [_WORD.findall(name) for name in cluster]
        first = _shared(split)
        rest = [words[first:] for words in split]
        last = _shared([words[::-1] for words in rest])
        for name, words in zip(cluster, split, strict=True):
            end = len(words) - last
            head, own, tail = words[:first], words[first:end], words[end:]
            found[name] = ("".join(head), "".join(own), "".join(tail))
    return found


def _shared(lists: Sequence[Sequence[str]]) -> int:
    """How many words all lists begin with."""
    count = 0
    for words in zip(*lists, strict=False):
        if len(set(words)) > 1:
            break
        count += 1
    return count


def shortened(name: str, parts: Mapping[str, Parts], fits: Callable[[str], bool]) -> str:
    """A name cut until it fits: in what it shares with others first, in the middle of its own last.

    Parameters
    ----------
    name : str
    parts : mapping
        From `parts_of`; a name that is not there is all its own.
    fits : callable
        Whether a text has room; a shorter text must not need more.
    """
    if fits(name):
        return name
    head, own, tail = parts.get(name, ("", name, ""))
    for before, after in _cuts(head, tail):
        text = f"{before}{own}{after}"
        if fits(text):
            return text
    if own and fits(own):
        return own
    for length in range(len(own) - 1, 1, -1):
        left = (length + 1) // 2
        text = f"{own[:left]}{_ELLIPSIS}{own[len(own) - (length - left) :]}"
        if fits(text):
            return text
    return f"{own[:1]}{_ELLIPSIS}"


def _cuts(head: str, tail: str) -> list[tuple[str, str]]:
    """What is left of both shared parts, from the most to nothing; the head is cut first."""
    cuts = [(f"{head[:kept]}{_ELLIPSIS}", tail) for kept in range(len(head) - 2, -1, -1)]
    gone = _ELLIPSIS if head else ""
    cuts += [(gone, f"{_ELLIPSIS}{tail[cut:]}") for cut in range(2, len(tail) + 1)]
    return cuts
