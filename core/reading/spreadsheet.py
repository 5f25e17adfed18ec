"""The sheets of a spreadsheet as lines of text: Office Open XML (.xlsx) and OpenDocument (.ods).

Only what a table of readings needs: numbers and texts, as they were stored. Formulas count by the
value that was stored with them; dates stay numbers.

Sources: ECMA-376 part 1 (SpreadsheetML, 18.3 and 18.4; parts of the package by their relations,
part 2); OASIS OpenDocument 1.3 part 3 (9.1, 19.385, 19.675).
"""

from __future__ import annotations

import io
import posixpath
import re
from itertools import islice
from typing import TYPE_CHECKING
from xml.etree import ElementTree as ET

from fairlead.core.errors import ReadError

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Iterator
    from xml.etree.ElementTree import Element

_Row = dict[int, str]
WIDEST = 4096
MOST_ROWS = 1_048_576
MOST_CELLS = 1_000_000
MOST_SHEETS = 200
MOST_CONTENT_BYTES = 48 * 1024 * 1024
_CELL = re.compile(r"([A-Z]{1,3})([0-9]{1,7})")
_BREAKS = re.compile(r"[\t\r\n\"]+")
_WORKBOOK = "xl/workbook.xml"
_CONTENT = "content.xml"
_RELATIONS = "xl/_rels/workbook.xml.rels"
_STRINGS = "xl/sharedStrings.xml"
_ENTITY = re.compile(rb"<!\s*(?:DOCTYPE|ENTITY)", re.IGNORECASE)


def sheets_of(
    names: Iterable[str], read: Callable[[str], bytes], file: str
) -> list[tuple[str, tuple[str, ...]]] | None:
    """Names and lines of all sheets that hold something; None where it is no spreadsheet.

    Parameters
    ----------
    names : iterable of str
        Members of the archive.
    read : callable
        Content of a member.
    file : str
        Name for messages.

    Raises
    ------
    ReadError
        Where it is damaged or too large.
    """
    members = set(names)
    if _WORKBOOK in members:
        sheets = _of_workbook(members, read, file)
    elif _CONTENT in members and "mimetype" in members:
        sheets = _of_document(read, file)
    else:
        return None
    budget = _Budget(file)
    try:
        found = [(name, tuple(budget.lines(rows))) for name, rows in islice(sheets, MOST_SHEETS)]
    except ET.ParseError as error:
        raise ReadError(file, "the spreadsheet is damaged", "export it again") from error
    return [(name, lines) for name, lines in found if lines]


class _Budget:
    """Makes lines of rows as long as all sheets together stay within the bounds."""

    def __init__(self, file: str) -> None:
        self._file = file
        self._rows = 0
        self._cells = 0

    def lines(self, rows: Iterable[_Row]) -> Iterator[str]:
        """Rows as lines with tabs; empty ones only where others follow."""
        empty = 0
        for row in rows:
            self._rows += 1
            if self._rows > MOST_ROWS * 2:
                raise _too_large(self._file)
            if not row:
                empty += 1
                continue
            width = max(row) + 1
            self._cells += width + empty
            if width > WIDEST or self._cells > MOST_CELLS:
                raise _too_large(self._file)
            yield from [""] * empty
            empty = 0
            yield "\t".join(row.get(column, "") for column in range(width))


def _too_large(file: str) -> ReadError:
    return ReadError(
        file, f"more than {WIDEST} columns or {MOST_CELLS} cells", "export fewer points"
    )


def _elements(data: bytes, file: str, ends: str) -> Iterator[Element]:
    """Elements of a name as they end; the content of each is forgotten afterwards."""
    # Entities can blow a small file up, and neither format needs them.
    if _ENTITY.search(data) or b"\0" in data[:4]:
        raise ReadError(file, "the spreadsheet defines entities, as none should", "export it again")
    for _, element in ET.iterparse(io.BytesIO(data), ("end",)):  # noqa: S314 - see above
        if _name(element) == ends:
            yield element
            element.clear()


def _name(element: Element) -> str:
    return str(element.tag).rpartition("}")[2]


def _attribute(element: Element, name: str) -> str:
    """An attribute by its local name; empty where it is missing."""
    return next((v for k, v in element.attrib.items() if k.rpartition("}")[2] == name), "")


def _text(pieces: Iterable[str]) -> str:
    # A quote would open a quoted cell.
    return _BREAKS.sub(" ", "".join(pieces)).strip()


# Office Open XML


def _of_workbook(
    members: set[str], read: Callable[[str], bytes], file: str
) -> Iterator[tuple[str, Iterator[_Row]]]:
    texts: list[str] = []
    if _STRINGS in members:
        texts = [_text(_shown(item)) for item in _elements(read(_STRINGS), file, "si")]
    targets = {}
    if _RELATIONS in members:
        for relation in _elements(read(_RELATIONS), file, "Relationship"):
            target = _attribute(relation, "Target")
            # Relative to the workbook, or from the root of the package.
            targets[_attribute(relation, "Id")] = posixpath.normpath(
                posixpath.join("/xl", target)
            ).lstrip("/")
    for element in _elements(read(_WORKBOOK), file, "sheet"):
        place = targets.get(_attribute(element, "id"), "")
        if place in members:
            yield _attribute(element, "name"), _rows(_elements(read(place), file, "row"), texts)


def _shown(item: Element) -> Iterator[str]:
    """Texts of a string, without the hints how to read it aloud."""
    for element in item:
        if _name(element) == "t":
            yield element.text or ""
        elif _name(element) == "r":
            yield from _shown(element)


def _rows(rows: Iterable[Element], texts: list[str]) -> Iterator[_Row]:
    done = 0
    for row in rows:
        number = _attribute(row, "r")
        place = int(number) if number.isdecimal() and len(number) <= 7 else done + 1
        for _ in range(done + 1, place):
            yield {}
        done = max(place, done + 1)
        cells: dict[int, str] = {}
        column = -1
        for cell in row:
            match = _CELL.fullmatch(_attribute(cell, "r"))
            column = _column(match[1]) if match else column + 1
            value = _value(cell, texts)
            if value:
                cells[column] = value
        yield cells


def _column(letters: str) -> int:
    """Index of a column from its letters: A is 0, AA is 26."""
    index = 0
    for letter in letters:
        index = 26 * index + ord(letter) - ord("A") + 1
    return index - 1


def _value(cell: Element, texts: list[str]) -> str:
    kind = _attribute(cell, "t")
    for element in cell:
        if _name(element) == "is":
            return _text(_shown(element))
        if _name(element) == "v":
            value = (element.text or "").strip()
            if kind == "s":
                is_known = value.isdecimal() and len(value) < 10 and int(value) < len(texts)
                return texts[int(value)] if is_known else ""
            return _text([value])
    return ""


# OpenDocument


def _of_document(read: Callable[[str], bytes], file: str) -> Iterator[tuple[str, Iterator[_Row]]]:
    data = read(_CONTENT)
    # A sheet is taken apart as a whole here, at ten times its size.
    if len(data) > MOST_CONTENT_BYTES:
        raise _too_large(file)
    for table in _elements(data, file, "table"):
        yield _attribute(table, "name"), _document_rows(table)


def _document_rows(table: Element) -> Iterator[_Row]:
    for row in table.iter():
        if _name(row) != "table-row":
            continue
        cells: dict[int, str] = {}
        column = 0
        for cell in row:
            if _name(cell) not in ("table-cell", "covered-table-cell"):
                continue
            times = _times(cell, "number-columns-repeated")
            value = _document_value(cell)
            if value:
                # Beyond the bound one cell is enough to be refused.
                for index in range(column, column + min(times, WIDEST + 1)):
                    cells[index] = value
            column += times
        for _ in range(_times(row, "number-rows-repeated")):
            yield cells


def _times(element: Element, name: str) -> int:
    text = _attribute(element, name)
    return min(int(text), MOST_ROWS) if text.isdecimal() and len(text) <= 9 else 1


def _document_value(cell: Element) -> str:
    if _attribute(cell, "value-type") in ("float", "percentage", "currency"):
        return _text([_attribute(cell, "value")])
    lines = ("".join(part.itertext()) for part in cell if _name(part) == "p")
    return _text([" ".join(lines)])
