"""Which file name makes which kind of picture; no Qt, so that wrong usage costs nothing."""

from __future__ import annotations

from pathlib import PurePath

from fairlead.core.errors import FairleadError

ENDINGS = (".png", ".svg", ".pdf")


def ending_of(path: str) -> str:
    """The ending of a picture's file, in lower case.

    Raises
    ------
    FairleadError
        If it is none of `ENDINGS`.
    """
    ending = PurePath(path).suffix.lower()
    if ending not in ENDINGS:
        raise FairleadError(
            f'a picture cannot be written as "{PurePath(path).name}"',
            "let its name end in .png, .svg or .pdf",
        )
    return ending
