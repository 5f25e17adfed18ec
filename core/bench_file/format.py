"""What every version of the format shares: its name, its size, and how to know one."""

from __future__ import annotations

import re

SUFFIX = ".fairlead"
VERSION_KEY = "fairlead"
CHECKSUM_KEY = "checksum"
VERSION = 1

LARGEST_BYTES = 256 * 1024 * 1024
"""About four million points. Saving refuses what opening would refuse."""

_HEAD_BYTES = 4096
_BEGINNING = re.compile(rb"(?:\xef\xbb\xbf)?\s*\{")
_VERSION = re.compile(rb'"fairlead"\s*:\s*-?[0-9]')


def looks_like_bench(data: bytes) -> bool:
    """Whether these bytes are a bench, whatever the file is called.

    Parameters
    ----------
    data : bytes
        A whole file, or the first few KiB of one.
    """
    head = data[:_HEAD_BYTES]
    return _BEGINNING.match(head) is not None and _VERSION.search(head) is not None
