"""A checksum over what a document says, whatever its layout: it tells damage from reformatting.

A flipped bit in a digit would otherwise pass as another measurement. Line ends, blanks, the order
of keys and the spelling of numbers do not count.
"""

from __future__ import annotations

import hashlib
import json
from typing import TYPE_CHECKING, Any

from fairlead.core.bench_file.format import CHECKSUM_KEY

if TYPE_CHECKING:
    from collections.abc import Mapping

    from fairlead.core.arrays import FloatArray


def checksum(document: Mapping[str, Any]) -> str:
    """Checksum of a document whose numbers are settled and whose points are arrays.

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
