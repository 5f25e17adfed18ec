"""Hands files over to a window that runs already, through a socket that only this user can reach.

The socket is in a private folder of the user's (mode 0700, checked), so that nobody else can stand
there in place of the window and read which files are opened. There is one window at each screen
that listens; systems without such sockets have none, and every start opens a window.

This module needs no Qt: it is asked before anything is loaded.
"""

from __future__ import annotations

import hashlib
import json
import os
import socket
from contextlib import suppress
from pathlib import Path
from typing import TYPE_CHECKING

from fairlead.core.paths import is_private_folder

if TYPE_CHECKING:
    from collections.abc import Sequence

_PATIENCE_S = 1.0
# The longest name that every system takes, with its end.
_LONGEST = 100
LARGEST_BYTES = 1_000_000
MOST_PATHS = 1000
TAKEN = b"taken\n"


def socket_path() -> str | None:
    """Where the window of this user and screen listens; None if there can be no such place."""
    if not hasattr(socket, "AF_UNIX"):
        return None
    base = os.environ.get("XDG_RUNTIME_DIR") or os.path.expanduser("~/.cache")  # noqa: PTH111
    folder = Path(base) / "fairlead"
    screen = "|".join(os.environ.get(name, "") for name in ("WAYLAND_DISPLAY", "DISPLAY"))
    path = str(folder / hashlib.sha256(screen.encode()).hexdigest()[:12])
    try:
        folder.mkdir(mode=0o700, parents=True, exist_ok=True)
    except OSError:
        return None
    return path if is_private_folder(folder) and len(path) < _LONGEST else None


def hand_over(paths: Sequence[str]) -> bool:
    """Offer files to a running window; whether it has taken them."""
    path = socket_path()
    if not paths or path is None or not os.path.lexists(path):
        return False
    # Another program has another working folder.
    whole = [os.path.abspath(name) for name in paths]  # noqa: PTH100 - resolve() follows links
    try:
        with socket.socket(socket.AF_UNIX) as line:
            line.settimeout(_PATIENCE_S)
            line.connect(path)
            line.sendall(json.dumps({"paths": whole}).encode() + b"\n")
            return line.recv(len(TAKEN)) == TAKEN
    except OSError:
        return False


def listening_socket() -> socket.socket | None:
    """A socket at the place; None where another window has it or there is no place."""
    path = socket_path()
    if path is None:
        return None
    line = socket.socket(socket.AF_UNIX)
    try:
        if os.path.lexists(path):
            if _answers(path):
                line.close()
                return None
            # Left by a window that was killed.
            os.unlink(path)  # noqa: PTH108 - the rest of it is text, too
        line.bind(path)
        line.listen(4)
    except OSError:
        line.close()
        return None
    return line


def _answers(path: str) -> bool:
    with socket.socket(socket.AF_UNIX) as line, suppress(OSError):
        line.settimeout(_PATIENCE_S)
        line.connect(path)
        return True
    return False


def paths_in(message: bytes) -> list[str] | None:
    """The files that a message offers; None if it is none of ours."""
    try:
        told = json.loads(message)
    except (ValueError, RecursionError):
        return None
    paths = told.get("paths") if isinstance(told, dict) else None
    if not isinstance(paths, list) or not 0 < len(paths) <= MOST_PATHS:
        return None
    is_whole = all(isinstance(path, str) and os.path.isabs(path) for path in paths)  # noqa: PTH117
    return paths if is_whole else None
