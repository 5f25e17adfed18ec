"""What all versions of the format share: name, size limits, checksum, recognition."""

from __future__ import annotations

import hashlib
import json
import re
from typing import TYPE_CHECKING, Any

import numpy as np

if TYPE_CHECKING:
    from collections.abc import Mapping

    from fairlead.core.arrays import FloatArray

SUFFIX = ".fairlead"
VERSION_KEY = "fairlead"
CHECKSUM_KEY = "checksum"
VERSION = 3

LARGEST_BYTES = 256 * 1024 * 1024
"""About four million points. Saving refuses what opening would refuse."""

# Bounds against files made to fill the memory or to exhaust the parser.
# The outline of a thousand sweeps with all their texts is about 2 MB. A file of another layout is
# its own outline: these bounds then allow half a million points, in less than 1 GB of memory.
LARGEST_OUTLINE = 64 * 1024 * 1024
MOST_LISTS = 2_000_000
MOST_VALUES = 8_000_000
MOST_TEXTS = 2_000_000
DEEPEST = 16

_TEXT = re.compile(rb'"[^"\\]*+(?:\\.[^"\\]*+)*+"', re.DOTALL)
_HEAD_BYTES = 4096
# By byte: one deeper, one up again, or neither.
_STEPS = np.zeros(256, dtype=np.int8)
_STEPS[list(b"[{")], _STEPS[list(b"]}")] = 1, -1
_BEGINNING = re.compile(rb"(?:\xef\xbb\xbf)?\s*\{")
_VERSION = re.compile(rb'"fairlead"\s*:\s*-?[0-9]')


def looks_like_bench(data: bytes) -> bool:
    """Whether these bytes are a bench, whatever the file's name.

    Parameters
    ----------
    data : bytes
        A whole file, or the first few KiB of one.
    """
    head = data[:_HEAD_BYTES]
    return _BEGINNING.match(head) is not None and _VERSION.search(head) is not None


def excess(outline: bytes) -> str | None:
    """The limit that is exceeded, as text; None if none is."""
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
    """How deep lists and objects are nested; exact up to the first error in the JSON."""
    steps = _STEPS[np.frombuffer(_TEXT.sub(b"", outline), dtype=np.uint8)]
    return int(np.cumsum(steps[steps != 0], dtype=np.int64).max(initial=0))


# The checksum distinguishes damage from reformatting: a flipped bit in a digit would otherwise pass
# as another measurement. Line ends, blanks, order of keys and spelling of numbers do not count.


def checksum(document: Mapping[str, Any]) -> str:
    """Checksum of a document whose numbers are normalised and whose points are arrays.

    Returns
    -------
    str
        "sha256:" and 64 hexadecimal digits: SHA-256 of the document as JSON without blanks, keys
        sorted, all characters beyond ASCII escaped, the checksum itself left out; in place of
        points stands the SHA-256 of their numbers, row after row, as little-endian IEEE 754.
    """
    rest = {key: value for key, value in document.items() if key != CHECKSUM_KEY}
    text = json.dumps(rest, sort_keys=True, separators=(",", ":"), default=_digest)
    return f"sha256:{hashlib.sha256(text.encode()).hexdigest()}"


def _digest(points: FloatArray) -> str:
    return hashlib.sha256(points.astype("<f8").tobytes()).hexdigest()
