"""The table of figures for other programs: all rows, or some of them."""

from __future__ import annotations

from html import escape
from typing import TYPE_CHECKING

from PySide6.QtCore import QLocale, QMimeData

from fairlead.core.comparison.rows import compare
from fairlead.core.figure_table import shown
from fairlead.core.report import as_csv, as_markdown, harmless, interval_columns

if TYPE_CHECKING:
    from collections.abc import Callable, Collection

    from fairlead.core.comparison.rows import Row
    from fairlead.core.document.bench import Bench

# More digits than any analyzer has, and none that only the binary fraction makes.
_DIGITS = 12


def markdown(bench: Bench, keys: Collection[int] = ()) -> str:
    """As Markdown; only the sweeps with these keys, or all if none is named."""
    return as_markdown(bench, _rows(bench, keys))


def csv_table(bench: Bench, keys: Collection[int] = ()) -> str:
    """As CSV with numbers in full; only the sweeps with these keys, or all if none is named."""
    return as_csv(bench, _rows(bench, keys))


def markdown_data(bench: Bench, keys: Collection[int] = ()) -> QMimeData:
    """The same as text for the clipboard."""
    data = QMimeData()
    data.setText(markdown(bench, keys))
    return data


def table_data(bench: Bench, keys: Collection[int] = ()) -> QMimeData:
    """The table for a spreadsheet, a letter or a script; only these sweeps, or all if none.

    As text with tabs and as an HTML table: the figures of the window with all their digits and
    the decimal sign of the system's locale, one number a column, because a spreadsheet reads what
    is pasted as if it had been typed. As CSV: the file that is also exported, with points.
    """
    rows = _rows(bench, keys)
    lines = _lines(bench, rows)
    data = QMimeData()
    data.setText("".join("\t".join(line) + "\n" for line in lines))
    data.setHtml(_html(lines))
    data.setData("text/csv", as_csv(bench, rows).encode())
    return data


def _rows(bench: Bench, keys: Collection[int]) -> tuple[Row, ...]:
    return tuple(row for row in compare(bench) if not keys or row.entry.key in keys)


def _lines(bench: Bench, rows: tuple[Row, ...]) -> list[list[str]]:
    """Titles, then one line a sweep."""
    write = _writer(QLocale())
    columns = [
        (part.title or spec.title(bench), part)
        for spec in shown("window")
        for part in (*spec.columns(), *interval_columns(spec, rows))
    ]
    body = [[write(part.value(row), part.scale) for _, part in columns] for row in rows]
    return [[title for title, _ in columns], *body]


def _writer(locale: QLocale) -> Callable[[object, float], str]:
    """What writes a value, divided by a scale, as somebody would type it in this locale."""
    locale.setNumberOptions(QLocale.NumberOption.OmitGroupSeparator)

    def write(value: object, scale: float) -> str:
        if value is None:
            return ""
        if isinstance(value, bool):
            return "yes" if value else "no"
        if isinstance(value, (int, float)):
            return locale.toString(value / scale, "g", _DIGITS)
        return harmless(" ".join(str(value).split()))

    return write


def _html(lines: list[list[str]]) -> str:
    head, *body = (
        "<tr>" + "".join(f"<{tag}>{escape(text)}</{tag}>" for text in line) + "</tr>"
        for line, tag in zip(lines, ["th", *["td"] * (len(lines) - 1)], strict=True)
    )
    return f"<table><thead>{head}</thead><tbody>{''.join(body)}</tbody></table>"
