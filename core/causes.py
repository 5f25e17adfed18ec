"""Plain reasons and advice for errors of the system: one table for reading and for writing."""

from __future__ import annotations

import errno

_ELSEWHERE = "save it somewhere else"
_HANDLES = "close other programs and try again"
_NO_ANSWER = "the drive does not respond"
_OUT_OF_HANDLES = "too many files are open at once"
_IN_A_CIRCLE = "the links in the path form a loop"

# Error number -> reason, what to do when reading, what to do when writing; empty where it
# cannot happen in that direction.
_MEANINGS: dict[int, tuple[str, str, str]] = {
    errno.ENOSPC: ("the drive is full", "", f"free some space, or {_ELSEWHERE}"),
    errno.EDQUOT: (
        "your disk quota is used up",
        "",
        f"free some space, or {_ELSEWHERE}",
    ),
    errno.EFBIG: ("the file is too large for this drive", "", _ELSEWHERE),
    errno.EROFS: ("the drive is read-only", "", _ELSEWHERE),
    errno.ENOTDIR: (
        "part of the path is a file, not a folder",
        "check the name and the folder",
        "choose another folder",
    ),
    errno.ENAMETOOLONG: ("the name is too long", "choose a shorter name", "choose a shorter name"),
    errno.ELOOP: (_IN_A_CIRCLE, "open the file itself", "choose another folder"),
    errno.EMFILE: (_OUT_OF_HANDLES, _HANDLES, _HANDLES),
    errno.ENFILE: (_OUT_OF_HANDLES, _HANDLES, _HANDLES),
    errno.ENOMEM: ("memory is full", _HANDLES, _HANDLES),
    errno.EBUSY: ("another program is using it", "try again", f"try again, or {_ELSEWHERE}"),
    **dict.fromkeys(
        (errno.EIO, errno.ENODEV, errno.ENXIO, errno.ENOTCONN, errno.ESTALE, errno.ETIMEDOUT),
        (_NO_ANSWER, "connect it again", f"connect it again, or {_ELSEWHERE}"),
    ),
}
_WHEN_READING = {
    errno.ENOENT: ("no such file", "check the name and the folder"),
    errno.EACCES: ("no permission to read it", "change its permissions"),
    errno.EPERM: ("no permission to read it", "change its permissions"),
}
_NO_PERMISSION = ("no permission to write there", f"change the permissions, or {_ELSEWHERE}")
_WHEN_WRITING = {
    errno.ENOENT: ("the folder no longer exists", f"create it again, or {_ELSEWHERE}"),
    errno.EACCES: _NO_PERMISSION,
    errno.EPERM: _NO_PERMISSION,
}


def why_not_read(error: OSError) -> tuple[str, str]:
    """Reason and advice, one line each, for a file or folder that could not be read."""
    code = error.errno or 0
    if code in _WHEN_READING:
        return _WHEN_READING[code]
    reason, advice, _ = _MEANINGS.get(code, ("", "", ""))
    return reason or _own_words(error), advice or "check the name"


def why_not_written(error: OSError) -> tuple[str, str]:
    """Reason and advice, one line each, for a file that could not be written."""
    code = error.errno or 0
    if code in _WHEN_WRITING:
        return _WHEN_WRITING[code]
    reason, _, advice = _MEANINGS.get(code, ("", "", ""))
    return reason or _own_words(error), advice or _ELSEWHERE


def _own_words(error: OSError) -> str:
    return error.strerror or type(error).__name__
