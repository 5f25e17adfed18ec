"""The table of figures for other programs: all rows, or some of them."""

from __future__ import annotations

from html import escape
from typing import TYPE_CHECKING

from PySide6.QtCore import QLocale, QMimeData

from fairlead.core.comparison.knowledge import compare_known
from fairlead.core.figure_table import shown
from fairlead.core.report import as_csv, as_markdown, harmless, interval_columns

if TYPE_CHECKING:
    from collections.abc import Callable, Collection, Sequence

    from fairlead.core.comparison.rows import Row
    from fairlead.core.document.bench import Bench

# More digits than any analyzer has, and none that come only from binary fractions.
_DIGITS = 12


def markdown(bench: Bench, keys: Collection[int] = (), rows: Sequence[Row] | None = None) -> str:
    """As Markdown; only the sweeps with these keys, or all if none is named.

    Here and below: ``rows`` of the whole bench, or None to work them out now.
    """
    return as_markdown(bench, _rows(bench, keys, rows))


def csv_table(bench: Bench, keys: Collection[int] = (), rows: Sequence[Row] | None = None) -> str:
    """As CSV with numbers in full; only the sweeps with these keys, or all if none is named."""
    return as_csv(bench, _rows(bench, keys, rows))


def markdown_data(
    bench: Bench, keys: Collection[int] = (), rows: Sequence[Row] | None = None
) -> QMimeData:
    """The same as text for the clipboard."""
    data = QMimeData()
    data.setText(markdown(bench, keys, rows))
    return data


def table_data(
    bench: Bench, keys: Collection[int] = (), rows: Sequence[Row] | None = None
) -> QMimeData:
    """The table for a spreadsheet, a letter or a script; only these sweeps, or all if none.

    As text with tabs and as an HTML table: the figures of the window with all their digits and the
    decimal sign of the system's locale, one number per column, because a spreadsheet reads pasted
    text as if it had been typed. As CSV: the same as the exported file, with decimal points.
    """
    chosen = _rows(bench, keys, rows)
    lines = _lines(bench, chosen)
    data = QMimeData()
    data.setText("".join("\t".join(line) + "\n" for line in lines))
    data.setHtml(_html(lines))
    data.setData("text/csv", as_csv(bench, chosen).encode())
    return data


def _rows(bench: Bench, keys: Collection[int], rows: Sequence[Row] | None) -> tuple[Row, ...]:
    every = compare_known(bench) if rows is None else rows
    return tuple(row for row in every if not keys or row.entry.key in keys)


def _lines(bench: Bench, rows: tuple[Row, ...]) -> list[list[str]]:
    """Titles, then one line per sweep."""
    write = _writer(QLocale())
    columns = [
        (part.title or spec.title(bench), part)
        for spec in shown("window")
        for part in (*spec.columns(), *interval_columns(spec, rows))
    ]
    body = [
        [
            # A lower bound as a bare number would pass for a value.
            ("> " if part.header in row.figures.at_least else "")
            + write(part.value(row), part.scale)
            for _, part in columns
        ]
        for row in rows
    ]
    return [[title for title, _ in columns], *body]


def _writer(locale: QLocale) -> Callable[[object, float], str]:
    """A function that writes a value, divided by a scale, as one would type it in this locale."""
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
