"""Whether Qt would find a screen: it aborts the whole process where it does not.

Asked before Qt is loaded: which libraries its plugin for the screen lacks, and whether anybody
answers at the display.
"""

from __future__ import annotations

import ctypes
import importlib.util
import os
import socket
import sys
from contextlib import suppress
from pathlib import Path

from fairlead.core.paths import is_file

_NONE = "there is no screen for a window"
_WAYLAND_PATIENCE_S = 2.0
# What the plugins are called in their folder.
_PLUGINS = {"xcb": "libqxcb.so", "wayland": "libqwayland.so"}


def why_no_screen() -> str:
    """Why no window can be shown, for people; empty if one can, or nobody can tell.

    Qt takes the first of several platforms that works.
    """
    if sys.platform in ("win32", "darwin"):
        return ""
    reasons = [_problem(name) for name in _platforms()]
    return "" if "" in reasons else next(iter(reasons), _NONE)


def missing_library(text: str) -> str | None:
    """The library that a loader's message names, or None if it says something else."""
    library, found, _ = text.partition(": cannot open shared object file")
    return library if found else None


def _platforms() -> list[str]:
    chosen = os.environ.get("QT_QPA_PLATFORM", "")
    if chosen:
        return [one.partition(":")[0].partition("-")[0] for one in chosen.split(";")]
    has = {"wayland": "WAYLAND_DISPLAY", "xcb": "DISPLAY"}
    return [name for name, variable in has.items() if os.environ.get(variable)]


def _problem(platform: str) -> str:
    """Why a platform does not work; empty for those that need no display."""
    if platform not in _PLUGINS:
        return ""
    display = os.environ.get("DISPLAY" if platform == "xcb" else "WAYLAND_DISPLAY", "")
    if not display:
        return _NONE
    library = _missing_of_plugin(_PLUGINS[platform])
    if library is not None:
        return f"the system library {library} is missing"
    answers = _x11_answers() if platform == "xcb" else _wayland_answers(display)
    return "" if answers else f"the display {display} does not answer"


def _missing_of_plugin(name: str) -> str | None:
    """The library that a plugin of Qt lacks; None if none, or if that cannot be found out."""
    package = importlib.util.find_spec("PySide6")
    for folder in [] if package is None else package.submodule_search_locations or []:
        plugin = Path(folder) / "Qt" / "plugins" / "platforms" / name
        if is_file(plugin):
            try:
                # Qt will load it anyhow, so this takes no time of its own.
                ctypes.CDLL(str(plugin))
            except OSError as error:
                return missing_library(str(error))
    return None


def _x11_answers() -> bool:
    try:
        xcb = ctypes.CDLL("libxcb.so.1")
    except OSError:
        return True  # no way to ask
    xcb.xcb_connect.restype = ctypes.c_void_p
    xcb.xcb_connect.argtypes = [ctypes.c_char_p, ctypes.c_void_p]
    xcb.xcb_connection_has_error.argtypes = [ctypes.c_void_p]
    xcb.xcb_disconnect.argtypes = [ctypes.c_void_p]
    connection = xcb.xcb_connect(None, None)
    answers = xcb.xcb_connection_has_error(connection) == 0
    xcb.xcb_disconnect(connection)
    return bool(answers)


def _wayland_answers(display: str) -> bool:
    path = Path(os.environ.get("XDG_RUNTIME_DIR", "")) / display
    with suppress(OSError), socket.socket(socket.AF_UNIX) as asked:
        asked.settimeout(_WAYLAND_PATIENCE_S)
        asked.connect(os.fspath(path))
        return True
    return False
