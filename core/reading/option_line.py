"""The option line of Touchstone: ``# [unit] [parameter] [format] [R n ...]``.

Source: Touchstone File Format Specification 1.1 (2002) and 2.0 (2009), IBIS Open Forum; several
R values on one line come with 2.1 (TSIRD 5.1).
"""

from __future__ import annotations

import math
import re
from dataclasses import dataclass
from typing import TYPE_CHECKING

from fairlead.core.errors import ReadError
from fairlead.core.reading.number import parse_number, shown

if TYPE_CHECKING:
    from collections.abc import Sequence

UNITS_HZ = {"hz": 1.0, "khz": 1e3, "mhz": 1e6, "ghz": 1e9}
UNIT_NAMES = {1.0: "Hz", 1e3: "kHz", 1e6: "MHz", 1e9: "GHz"}
PARAMETERS = ("s", "y", "z", "h", "g")
FORMATS = ("db", "ma", "ri")
# "# MHz SWR" and "# GHz dB deg" stand above the columns of tables.
_COLUMN_WORDS = {
    *("freq", "frequency", "swr", "vswr", "rl", "rho"),
    *("mag", "phase", "deg", "rad", "re", "im", "real", "imag"),
}
EXAMPLE = "# MHz S RI R 50"

_GLUED_R = re.compile(r"r=?([0-9.+-].*)")
_ALLOWED = "allowed are Hz kHz MHz GHz, S Y Z H G, DB MA RI and R with a number"
_REAL_ONLY = "give a real reference resistance: renormalise the file to 50 ohm and export it again"


@dataclass(frozen=True, slots=True)
class Options:
    """What an option line says; what it leaves out is filled with the standard's defaults.

    Attributes
    ----------
    unit_hz : float
        Hz in one unit of frequency; default GHz.
    parameter : str
        One of "s", "y", "z", "h", "g"; default "s".
    form : str
        "db", "ma" or "ri"; default "ma".
    references_ohm : tuple of float
        Reference resistance of each port, or one for all; default 50.
    missing : tuple of str
        The defaults that were filled in, as people write them: ``("GHz", "R 50")``.
    line : int or None
        Line of the option line; None where the file has none.
    """

    unit_hz: float = 1e9
    parameter: str = "s"
    form: str = "ma"
    references_ohm: tuple[float, ...] = (50.0,)
    missing: tuple[str, ...] = ("GHz", "S", "MA", "R 50")
    line: int | None = None

    @property
    def meaning(self) -> tuple[object, ...]:
        """What it says of the numbers."""
        return self.unit_hz, self.parameter, self.form, self.references_ohm


def words_of(text: str) -> list[str]:
    """Lower-case words of an option line without its ``#``."""
    return text.lstrip("#").lower().split()


def is_option_line(text: str) -> bool:
    """Whether a line that starts with ``#`` is an option line, if perhaps a faulty one.

    Programs also write comments behind a ``#``: at least half of the words have to be options or
    numbers, and none may head a column of a table. A bare ``#`` is an option line (all defaults).
    """
    words = words_of(text)
    # Runs once a line where a file has a million lines of comments: no more than is needed.
    options = sum(map(_is_option, words))
    if options == 0 or not _COLUMN_WORDS.isdisjoint(words):
        return not words
    numbers = sum(map(_looks_numeric, words))
    return 2 * (options + numbers) >= len(words)


def _is_option(word: str) -> bool:
    return word in UNITS_HZ or word in PARAMETERS or word in FORMATS or _starts_reference(word)


def _looks_numeric(word: str) -> bool:
    return word[0] in "0123456789+-.("


def _starts_reference(word: str) -> bool:
    return word[0] == "r" and (word == "r" or _GLUED_R.fullmatch(word) is not None)


def parse_option_line(text: str, file: str, line: int) -> Options:
    """Read an option line; words in any order and case.

    Parameters
    ----------
    text : str
        The line from ``#`` on, without comment.
    file, line
        For error messages.

    Raises
    ------
    ReadError
        Unknown or contradicting words; a reference that is no positive real number.
    """
    given: dict[str, str] = {}
    references: tuple[float, ...] | None = None
    words = words_of(text)
    at = 0
    while at < len(words):
        word = words[at]
        at += 1
        if _starts_reference(word):
            if references is not None:
                raise ReadError(file, "R is given twice", "keep one of them", line)
            tokens, at = _reference_tokens(words, at, word)
            references = parse_references(tokens, file, line)
            continue
        kind = _kind_of(word)
        if kind is None:
            raise ReadError(file, f"unknown word {shown(word)} in the option line", _ALLOWED, line)
        if given.setdefault(kind, word) != word:
            raise ReadError(
                file,
                f"the option line says both {given[kind].upper()} and {word.upper()}",
                "keep the one that is right for the numbers",
                line,
            )
    missing = [name for kind, name in _DEFAULTS if kind not in given]
    if references is None:
        missing.append("R 50")
    return Options(
        unit_hz=UNITS_HZ[given.get("unit", "ghz")],
        parameter=given.get("parameter", "s"),
        form=given.get("form", "ma"),
        references_ohm=references or (50.0,),
        missing=tuple(missing),
        line=line,
    )


_DEFAULTS = (("unit", "GHz"), ("parameter", "S"), ("form", "MA"))


def _kind_of(word: str) -> str | None:
    if word in UNITS_HZ:
        return "unit"
    if word in PARAMETERS:
        return "parameter"
    return "form" if word in FORMATS else None


def _reference_tokens(words: list[str], at: int, word: str) -> tuple[list[str], int]:
    """Words that belong to the R in ``word``: one, and further numbers for the other ports."""
    glued = _GLUED_R.fullmatch(word)
    tokens = [glued[1]] if glued else []
    while at < len(words) and (_looks_numeric(words[at]) or not tokens):
        if _is_option(words[at]):
            break
        tokens.append(words[at])
        at += 1
    return tokens, at


def parse_references(tokens: Sequence[str], file: str, line: int) -> tuple[float, ...]:
    """Positive real reference resistances in ohm, one a token.

    Raises
    ------
    ReadError
        Where one is missing, complex, zero, negative or no number.
    """
    if not tokens:
        raise ReadError(file, "R without a number", "give the reference in ohm: R 50", line)
    return tuple(_reference(token, file, line) for token in tokens)


def _reference(token: str, file: str, line: int) -> float:
    value = parse_number(token)
    if value is None:
        if _is_complex(token):
            raise ReadError(file, f"complex reference impedance {shown(token)}", _REAL_ONLY, line)
        raise ReadError(
            file,
            f"reference resistance {shown(token)} is not a number",
            "give the reference in ohm with a decimal point: R 50",
            line,
        )
    if value <= 0:
        raise ReadError(
            file,
            f"reference resistance {value:g} ohm is not positive",
            "give the reference in ohm: R 50",
            line,
        )
    return value


def _is_complex(token: str) -> bool:
    try:
        value = complex(token.replace("i", "j"))
    except ValueError:
        return False
    # "nan" and "inf" are no complex impedances, only no numbers.
    return math.isfinite(value.real) and math.isfinite(value.imag)
