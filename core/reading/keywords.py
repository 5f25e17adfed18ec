"""Bracketed keywords of Touchstone 2.0 and 2.1: ``[Name] argument``.

Source: Touchstone File Format Specification 2.0 (2009), IBIS Open Forum.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import TYPE_CHECKING

from fairlead.core.errors import ReadError
from fairlead.core.reading.number import shown

if TYPE_CHECKING:
    from typing import Final

KNOWN: Final = (
    "version",
    "number of ports",
    "two-port data order",
    "number of frequencies",
    "number of noise frequencies",
    "reference",
    "matrix format",
    "mixed-mode order",
    "network data",
    "noise data",
    "begin information",
    "end information",
    "end",
)
REQUIRED: Final = ("number of ports", "number of frequencies", "network data", "end")
MATRIX_FORMATS: Final = ("full", "lower", "upper")

_KEYWORD = re.compile(r"\[([^\[\]]*)\](.*)")
_COUNT = re.compile(r"[0-9]{1,9}")


@dataclass(frozen=True, slots=True)
class Keyword:
    """One keyword line.

    Attributes
    ----------
    name : str
        Lower case, single blanks: ``"number of ports"``.
    argument : str
        What follows the bracket.
    line : int
    misprinted : bool
        The argument stood inside the bracket (``[Version 2.0]``, printed so in an example of the
        2.0 specification).
    """

    name: str
    argument: str
    line: int
    misprinted: bool = False

    @property
    def title(self) -> str:
        """The keyword as the standard writes it."""
        words = (word if word == "of" else word.title() for word in self.name.split())
        return f"[{' '.join(words)}]"


def parse_keyword(text: str, file: str, line: int) -> Keyword:
    """Read a line that starts with ``[``.

    Raises
    ------
    ReadError
        Where the bracket is not closed.
    """
    match = _KEYWORD.fullmatch(text)
    if match is None:
        raise ReadError(
            file,
            f"keyword without its closing bracket: {shown(text)}",
            "write keywords as [Version] 2.0",
            line,
        )
    name = " ".join(match[1].lower().replace("_", " ").split())
    argument = match[2].strip()
    for known in KNOWN:
        if not argument and name.startswith(known + " ") and name not in KNOWN:
            return Keyword(known, name[len(known) :].strip(), line, misprinted=True)
    return Keyword(name, argument, line)


def parse_version(keyword: Keyword, file: str) -> bool:
    """Whether the version is 2.x (values in ohm and siemens); False for 1.x.

    Raises
    ------
    ReadError
        For a version that nobody has published.
    """
    if keyword.argument in ("2.0", "2.1", "2"):
        return True
    if keyword.argument in ("1.0", "1.1", "1"):
        return False
    raise ReadError(
        file,
        f"unknown version {shown(keyword.argument)}",
        "versions 1.0, 1.1, 2.0 and 2.1 are read",
        keyword.line,
    )


def parse_count(keyword: Keyword, file: str) -> int:
    """Positive whole number that a keyword gives.

    Raises
    ------
    ReadError
        For anything else.
    """
    count = int(keyword.argument) if _COUNT.fullmatch(keyword.argument) else 0
    if count == 0:
        raise ReadError(
            file,
            f"{keyword.title} {shown(keyword.argument)} is not a positive whole number",
            "write the count after the keyword",
            keyword.line,
        )
    return count


def parse_matrix_format(keyword: Keyword, file: str) -> str:
    """One of "full", "lower", "upper".

    Raises
    ------
    ReadError
        For anything else.
    """
    form = keyword.argument.lower()
    if form not in MATRIX_FORMATS:
        raise ReadError(
            file,
            f"unknown matrix format {shown(keyword.argument)}",
            "Full, Lower and Upper are read",
            keyword.line,
        )
    return form


def check_mixed_mode(keyword: Keyword, file: str) -> None:
    """Accept a mixed-mode file only where its first entry is port 1 on its own.

    Raises
    ------
    ReadError
        Where the first entry is a differential or common mode.
    """
    order = keyword.argument.upper().split()
    if not order or order[0] != "S1":
        raise ReadError(
            file,
            "mixed-mode data: the first entry is not the reflection of port 1",
            "export single-ended S-parameters",
            keyword.line,
        )
