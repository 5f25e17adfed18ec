"""Bounds against files made to fill the memory or to exhaust the parser."""

from __future__ import annotations

import re

import numpy as np

# The outline of a thousand sweeps with all their words is about 2 MB. A file of another layout is
# its own outline: these bounds then allow half a million points, in less than 1 GB of memory.
LARGEST_OUTLINE = 64 * 1024 * 1024
MOST_LISTS = 2_000_000
MOST_VALUES = 8_000_000
MOST_TEXTS = 2_000_000
DEEPEST = 16

_TEXT = re.compile(rb'"[^"\\]*+(?:\\.[^"\\]*+)*+"', re.DOTALL)


def excess(outline: bytes) -> str | None:
    """What is too much of it, for people; None if nothing is."""
    if len(outline) > LARGEST_OUTLINE:
        return f"more than {LARGEST_OUTLINE // 1024 // 1024} MiB without the points"
    if outline.count(b"[") + outline.count(b"{") > MOST_LISTS:
        return f"more than {MOST_LISTS} lists"
    if outline.count(b",") > MOST_VALUES:
        return f"more than {MOST_VALUES} values"
    if outline.count(b'"') > 2 * MOST_TEXTS:
        return f"more than {MOST_TEXTS} texts"
    if _depth(outline) > DEEPEST:
        return f"lists more than {DEEPEST} deep"
    return None


def _depth(outline: bytes) -> int:
    """How deep lists and objects are nested; right up to the first fault of the JSON."""
    marks = np.frombuffer(_TEXT.sub(b"", outline), dtype=np.uint8)
    marks = marks[np.isin(marks, np.frombuffer(b"[]{}", dtype=np.uint8))]
    steps = np.where(np.isin(marks, np.frombuffer(b"[{", dtype=np.uint8)), 1, -1)
    return int(np.cumsum(steps).max(initial=0))
