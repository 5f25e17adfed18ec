"""The layout of a file: points apart from the rest, the outline, which is small.

The outline is read by a strict parser in one go, the points in pieces (`points.py`).
A line break never stands inside a text of JSON, so the marks below cannot be part of a note.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

_BEGIN = b'\n   "points": [\n'
_END = b"\n   ]\n  "
_NONE = b'\n   "points": []'
_AFTER = b"\n  "


def split(text: bytes) -> tuple[bytes, list[bytes]]:
    """Take the points out of a file.

    Returns
    -------
    outline : bytes
        The file with empty lists of points.
    blocks : list of bytes
        The points of each sweep, where they are laid out as we write them.
    """
    outline: list[bytes] = []
    blocks: list[bytes] = []
    start = 0
    while (begin := text.find(_BEGIN, start)) >= 0:
        # The brace that closes the sweep: no byte of the points, so it is found at once.
        after = text.find(b"}", begin)
        if not text.endswith(_END, begin, max(after, begin)):
            break
        outline += (text[start:begin], _NONE, _AFTER)
        blocks.append(text[begin + len(_BEGIN) : after - len(_END)])
        start = after
    outline.append(text[start:])
    return b"".join(outline), blocks


def join(outline: bytes, blocks: Iterable[Iterable[bytes]]) -> Iterator[bytes]:
    """Put points, themselves in pieces, into the empty lists of an outline."""
    first, *rest = outline.split(_NONE + _AFTER)
    yield first
    for block, after in zip(blocks, rest, strict=True):
        yield _BEGIN
        yield from block
        yield _END
        yield after
