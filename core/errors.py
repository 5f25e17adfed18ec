"""The one error tree of Fairlead.

    FairleadError               anything reported to the user in one line
      ReadError                 a file, or a part of it, cannot be read
      SweepError                arrays that are not a sweep (shape, NaN, order, sign)
      ValueTextError            typed text that is not a frequency, band or number

Every error says what is wrong (``reason``) and what to do about it (``advice``).
"""

from __future__ import annotations


class FairleadError(Exception):
    """Base of all errors that are shown to the user.

    Parameters
    ----------
    reason : str
        What is wrong, one line, no full stop.
    advice : str
        What the user can do about it, one line, no full stop; may be empty.
    """

    def __init__(self, reason: str, advice: str = "") -> None:
        super().__init__(reason)
        self.reason = reason
        self.advice = advice

    def __str__(self) -> str:
        """One line: ``reason; advice``."""
        return f"{self.reason}; {self.advice}" if self.advice else self.reason


class SweepError(FairleadError):
    """Arrays that are not a sweep."""


class ValueTextError(FairleadError):
    """Typed text that cannot be understood."""


class ReadError(FairleadError):
    """A file that cannot be read as a sweep.

    Parameters
    ----------
    file : str
        The file's path or name as given by the user.
    reason, advice : str
        See `FairleadError`.
    line : int, optional
        Line in the file, counted from 1, where there is one.

    Attributes
    ----------
    asks_for_columns : bool
        A table that could be read if its columns were identified (known without the table reader).
    """

    asks_for_columns = False

    def __init__(self, file: str, reason: str, advice: str = "", line: int | None = None) -> None:
        super().__init__(reason, advice)
        self.file = file
        self.line = line

    def __str__(self) -> str:
        """One line: ``FILE:LINE: reason; advice`` (no line number: ``FILE: reason; advice``)."""
        where = self.file if self.line is None else f"{self.file}:{self.line}"
        return f"{where}: {super().__str__()}"
