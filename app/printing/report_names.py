"""Formats of a report, and the name of the picture beside it; no Qt."""

from __future__ import annotations

import os
from itertools import chain, count
from pathlib import PurePath

from fairlead.core.errors import FairleadError
from fairlead.core.paths import status_of

REPORT_ENDINGS = (".pdf", ".md")


def is_page(path: str) -> bool:
    """Whether a report's file is a page, and not Markdown.

    Raises
    ------
    FairleadError
        If the extension is neither.
    """
    ending = PurePath(path).suffix.lower()
    if ending not in REPORT_ENDINGS:
        raise FairleadError(
            f'a report cannot be written as "{PurePath(path).name}"',
            "use a name ending in .pdf or .md",
        )
    return ending == ".pdf"


def picture_name(path: str) -> str:
    """Where the picture of a report in Markdown goes.

    A picture of that name belongs to the report that is being replaced; without one it is somebody
    else's, and ours gets a number.
    """
    start = os.path.splitext(path)[0]  # noqa: PTH122 - odd names stay as they are
    names = chain([f"{start}.png"], (f"{start}-{number}.png" for number in count(2)))
    if status_of(path) is not None:
        return next(names)
    return next(name for name in names if status_of(name) is None)
