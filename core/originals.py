"""The files that sweeps were read from in this run of the program: never written over.

A bench knows the files of its own sweeps. This also remembers those of sweeps that were removed
since, which undo brings back, and of sweeps that only described something, such as a feed line.
"""

from __future__ import annotations

import os
from collections import OrderedDict
from threading import Lock

_MOST_REMEMBERED = 20_000


class Originals:
    """Paths of files that sweeps were read from; any thread may ask.

    Paths and not inodes: the system gives the inode of a removed file to the next one. Filled
    where files are read, so that no reader can forget it; the oldest are forgotten.
    """

    def __init__(self, most: int = _MOST_REMEMBERED) -> None:
        self._most = most
        self._paths: OrderedDict[str, None] = OrderedDict()
        self._lock = Lock()

    def note(self, path: str) -> None:
        """Sweeps were read from this file."""
        # Another working folder later must not lead elsewhere.
        whole = os.path.abspath(path)  # noqa: PTH100 - resolve() would follow links
        with self._lock:
            self._paths[whole] = None
            self._paths.move_to_end(whole)
            while len(self._paths) > self._most:
                self._paths.popitem(last=False)

    def paths(self) -> tuple[str, ...]:
        """All of them, the oldest first."""
        with self._lock:
            return tuple(self._paths)


ORIGINALS = Originals()
