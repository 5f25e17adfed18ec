"""One pass over the lines of a Touchstone file: header facts apart, rows of numbers apart.

No number of a row is converted here; that is the work of `fairlead.core.reading.rows`.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from fairlead.core.errors import ReadError
from fairlead.core.notice import Notice
from fairlead.core.reading import keywords
from fairlead.core.reading.kind import block_header
from fairlead.core.reading.number import parse_number, shown
from fairlead.core.reading.option_line import (
    FORMATS,
    Options,
    is_option_line,
    parse_option_line,
    parse_references,
    words_of,
)
from fairlead.core.reading.rows import PLAIN

if TYPE_CHECKING:
    from collections.abc import Sequence

    from fairlead.core.reading.keywords import Keyword

_ROW_STARTS = frozenset("0123456789+-.")
_PORT_IMPEDANCE = re.compile(r"\s*port\s+impedance(.*)", re.IGNORECASE)
_SPLIT_BLOCKS = "split the file: one sweep per file"


@dataclass(frozen=True, slots=True)
class Restart:
    """A further option line.

    Attributes
    ----------
    line : int
        Its line, counted from 1.
    row : int
        Rows of numbers in front of it; 0 as well for one that cannot be understood.
    differs : bool
        Whether it says something else than the first one.
    """

    line: int
    row: int
    differs: bool = False


@dataclass(slots=True)
class Scan:
    """What the lines of one file say, rows of numbers still as text.

    Attributes
    ----------
    rows : list of str
        Rows of network data without comments; the first is not blank, later ones may be.
    row_lines : list of int
        Line number of each row, counted from 1.
    options : Options or None
        First option line; None where the file has none.
    lone_format : str or None
        "db", "ma" or "ri" where a line holds nothing but that word (some instruments do so).
    lone_format_line : int
        Line of that word; 0 without it.
    is_version_2 : bool
        Values are in ohm and siemens; False: normalised to the reference.
    ports, frequencies : int or None
        What [Number of Ports] and [Number of Frequencies] say.
    references_ohm : tuple of float
        What [Reference] says; empty without it.
    reference_line : int
        Line of [Reference]; 0 without it.
    matrix_format : str
        "full", "lower" or "upper".
    mixed_mode_line : int
        Line of [Mixed-Mode Order]; 0 without it.
    noise_rows : int
        Rows behind [Noise Data], which were skipped.
    port_impedances : list of complex
        Port impedances that a simulator wrote into comments, port 1 only.
    restarts : list of Restart
        Further option lines, each of which may begin another sweep.
    notices : list of Notice
    """

    rows: list[str] = field(default_factory=list)
    row_lines: list[int] = field(default_factory=list)
    options: Options | None = None
    lone_format: str | None = None
    lone_format_line: int = 0
    is_version_2: bool = False
    ports: int | None = None
    frequencies: int | None = None
    references_ohm: tuple[float, ...] = ()
    reference_line: int = 0
    matrix_format: str = "full"
    mixed_mode_line: int = 0
    noise_rows: int = 0
    port_impedances: list[complex] = field(default_factory=list)
    restarts: list[Restart] = field(default_factory=list)
    notices: list[Notice] = field(default_factory=list)


def scan(lines: Sequence[str], file: str, first_line: int = 1) -> Scan:
    """Sort the lines of a Touchstone file into header facts and rows.

    Parameters
    ----------
    lines : sequence of str
        As `fairlead.core.reading.text.to_lines` gives them.
    file : str
        Name for error messages.
    first_line : int
        Number of the first of the lines in its file.

    Raises
    ------
    ReadError
        For a line that has no place in the file, naming it.
    """
    scanner = _Scanner(lines, file, first_line)
    rows, row_lines = scanner.scan.rows, scanner.scan.row_lines
    # This loop runs once a line: what is rare is left to the scanner's methods.
    for number, line in enumerate(lines, first_line):
        text, mark, comment = line.partition("!")
        text = text.strip()
        if mark and "mpedance" in comment:
            scanner.take_comment(comment)
        if not text:
            continue
        if not (scanner.in_data and text[0] in _ROW_STARTS):
            scanner.take(number, text)
            continue
        if not rows and _is_plain(lines[number - first_line :]):
            # Most files are a header and then nothing but numbers.
            rows += lines[number - first_line :]
            while not rows[-1].strip():
                rows.pop()
            row_lines += range(number, number + len(rows))
            break
        rows.append(text)
        row_lines.append(number)
    return scanner.finish()


def _is_plain(lines: Sequence[str]) -> bool:
    """Whether lines hold only what plain numbers and blanks are made of."""
    return not "\n".join(lines).encode().translate(None, PLAIN)


class _Scanner:
    """State while going through the lines; `take` sees every line but plain rows of data."""

    def __init__(self, lines: Sequence[str], file: str, first_line: int) -> None:
        self.scan = Scan()
        self._first_line = first_line
        self.in_data = True
        self._lines = lines
        self._file = file
        self._section = "data"  # "data", "information", "reference", "noise" or "end"
        self._seen: dict[str, int] = {}
        self._references: list[float] = []
        self._has_header = False
        self._hash_comments: list[int] = []
        self._unknown: list[str] = []
        self._begin_line = 0
        self._option_text = ""

    def take(self, number: int, text: str) -> None:
        """Handle one line that is no plain row of network data."""
        if self._section == "information":
            if text.lower().startswith("[end information]"):
                self._enter("data")
        elif text[0] == "[":
            self._take_keyword(keywords.parse_keyword(text, self._file, number))
        elif text[0] == "#":
            self._take_hash(number, text)
        elif text.lower() in ("begin", "end"):
            self._take_wrapper(number, text.lower())
        elif text.lower() in FORMATS:
            self.scan.lone_format = text.lower()
            self.scan.lone_format_line = number
        elif text[0] in _ROW_STARTS:
            self._take_row_elsewhere(number, text)
        else:
            raise self._error(
                number,
                f"{shown(text)} is neither a row of numbers nor a comment",
                "put ! in front of text, or remove the line",
            )

    def take_comment(self, comment: str) -> None:
        """Note the port impedance of port 1 that a simulator wrote into a comment."""
        match = _PORT_IMPEDANCE.match(comment)
        values = [parse_number(word) for word in match[1].split()[:2]] if match else []
        if len(values) == 2 and values[0] is not None and values[1] is not None:
            self.scan.port_impedances.append(complex(values[0], values[1]))

    def finish(self) -> Scan:
        """Check what only the whole file can tell and hand over the result."""
        scan, seen = self.scan, self._seen
        scan.references_ohm = tuple(self._references)
        if scan.options is None and self._hash_comments:
            number = self._hash_comments[0]
            raise self._error(
                number,
                "this line has no unit, parameter or format, and no other option line follows",
                "write an option line such as '# MHz S RI R 50'",
            )
        if seen and "version" not in seen:
            self._allow_missing_version()
        if scan.is_version_2:
            self._note_missing_keywords()
        self._note_references()
        self._note_ignored_lines()
        return scan

    # -- lines -----------------------------------------------------------------------------

    def _take_row_elsewhere(self, number: int, text: str) -> None:
        if self._section == "reference":
            self._take_references(number, text)
        elif self._section == "end":
            raise self._error(
                number, "numbers after [End]", "remove them, or split the file: one sweep per file"
            )
        else:
            self.scan.noise_rows += 1

    def _take_wrapper(self, number: int, word: str) -> None:
        if word == "begin":
            if self._begin_line:
                raise self._error(number, "a second block begins", _SPLIT_BLOCKS)
            self._begin_line = number

    def _take_hash(self, number: int, text: str) -> None:
        header = block_header(text)
        if header is not None:
            count, text = header
            self._check_block_size(number, count)
            if not text:
                return
            if text[0] == "[":
                self.take(number, text)
                return
        # The line that is there already, again and again: it is known for what it is.
        if text != self._option_text and not is_option_line(text):
            self._hash_comments.append(number)
        elif self.scan.options is not None:
            # A bare "#" between rows is an empty comment to the programs that write it.
            if words_of(text):
                self.scan.restarts.append(self._restart(number, text))
        elif self.scan.rows:
            raise self._error(
                number,
                "the option line comes after the first numbers",
                "move it before the numbers",
            )
        else:
            self.scan.options = parse_option_line(text, self._file, number)
            self._option_text = text

    def _restart(self, number: int, text: str) -> Restart:
        if text == self._option_text:
            return Restart(number, len(self.scan.rows))
        first = self.scan.options
        try:
            own = parse_option_line(text, self._file, number)
        except ReadError:
            # Ignored, as all further ones are by the standard.
            return Restart(number, 0)
        differs = first is not None and own.meaning != first.meaning
        return Restart(number, len(self.scan.rows), differs=differs)

    def _check_block_size(self, number: int, announced: int | None) -> None:
        if announced is None or self._has_header:
            return
        # Only the first one counts all that follows: a file of such headers must not take a day.
        self._has_header = True
        rest = self._lines[number - self._first_line :]
        # The block may have been stored with CR LF, so each line may count one byte more.
        size = sum(len(line.encode("utf-8", "surrogatepass")) + 2 for line in rest)
        if size < announced:
            self._note(
                "block-cut-short",
                f"the instrument announces a block of {announced} bytes and at most {size} follow: "
                "the sweep may be cut short",
            )

    # -- keywords --------------------------------------------------------------------------

    def _take_keyword(self, keyword: Keyword) -> None:
        name = keyword.name
        if self._section == "end":
            raise self._error(keyword.line, "a keyword after [End]", _SPLIT_BLOCKS)
        if name not in keywords.KNOWN:
            self._unknown.append(f"{shown(keyword.title)} in line {keyword.line}")
            return
        if name in self._seen:
            raise self._error(keyword.line, f"{keyword.title} is given twice", _SPLIT_BLOCKS)
        if not name.endswith("information"):
            self._seen[name] = keyword.line
        if keyword.misprinted:
            self._note(
                "keyword-misprint",
                f"line {keyword.line}: the value is inside the bracket; "
                f"read as {keyword.title} {keyword.argument}",
            )
        self._note_fact(keyword)
        self._enter_section_of(keyword)

    def _note_fact(self, keyword: Keyword) -> None:
        file, scan, name = self._file, self.scan, keyword.name
        if name == "version":
            scan.is_version_2 = keywords.parse_version(keyword, file)
        elif name == "number of ports":
            scan.ports = keywords.parse_count(keyword, file)
        elif name == "number of frequencies":
            scan.frequencies = keywords.parse_count(keyword, file)
        elif name == "matrix format":
            scan.matrix_format = keywords.parse_matrix_format(keyword, file)
        elif name == "mixed-mode order":
            keywords.check_mixed_mode(keyword, file)
            scan.mixed_mode_line = keyword.line

    def _enter_section_of(self, keyword: Keyword) -> None:
        name = keyword.name
        if name == "network data" and self.scan.rows:
            raise self._error(
                self.scan.row_lines[0],
                "numbers before [Network Data]",
                "remove them or put ! in front of them",
            )
        if name == "reference":
            self._enter("reference")
            self.scan.reference_line = keyword.line
            if keyword.argument:
                self._take_references(keyword.line, keyword.argument)
        elif name == "begin information":
            self._enter("information")
        elif name == "noise data":
            self._enter("noise")
        elif name == "end":
            self._enter("end")
        else:
            self._enter("data")

    def _enter(self, section: str) -> None:
        self._section = section
        self.in_data = section == "data"

    def _take_references(self, number: int, text: str) -> None:
        self._references.extend(parse_references(text.split(), self._file, number))
        # One value a port; without a number of ports one line has to do.
        if len(self._references) >= (self.scan.ports or 1):
            self._enter("data")

    # -- the whole file --------------------------------------------------------------------

    def _allow_missing_version(self) -> None:
        scan, line = self.scan, min(self._seen.values())
        if scan.options is not None and scan.options.parameter != "s":
            raise self._error(
                line,
                "keywords of version 2 without [Version]: values may be in ohm or normalised",
                "write [Version] 2.0 as the first line, or remove the keywords",
            )
        scan.is_version_2 = True
        self._note("version-missing", f"line {line}: keywords without [Version]; read as 2.0")

    def _note_missing_keywords(self) -> None:
        missing = [name for name in keywords.REQUIRED if name not in self._seen]
        if missing:
            titles = ", ".join(keywords.Keyword(name, "", 0).title for name in missing)
            self._note("keyword-missing", f"version 2 requires {titles}; read without")

    def _note_references(self) -> None:
        scan = self.scan
        if scan.reference_line and not scan.references_ohm:
            raise self._error(
                scan.reference_line,
                "[Reference] without a number",
                "give the reference in ohm for each port",
            )
        if scan.reference_line and scan.ports and len(scan.references_ohm) != scan.ports:
            raise self._error(
                scan.reference_line,
                f"[Reference] gives {len(scan.references_ohm)} values for {scan.ports} ports",
                "give one value in ohm for each port",
            )

    def _note_ignored_lines(self) -> None:
        if self._hash_comments:
            self._note(
                "hash-comment",
                f"not an option line, taken as a comment: {line_list(self._hash_comments)}",
            )
        if self._unknown:
            self._note("unknown-keyword", f"ignored: {', '.join(self._unknown[:3])}")

    def _note(self, code: str, text: str) -> None:
        self.scan.notices.append(Notice(code, text))

    def _error(self, line: int, reason: str, advice: str) -> ReadError:
        return ReadError(self._file, reason, advice, line)


def line_list(numbers: list[int]) -> str:
    """``line 3`` or ``lines 3, 4, 5 and 7 more``."""
    shown_numbers = ", ".join(str(number) for number in numbers[:3])
    more = f" and {len(numbers) - 3} more" if len(numbers) > 3 else ""
    return f"{'line' if len(numbers) == 1 else 'lines'} {shown_numbers}{more}"
