"""``fairlead figures``: the table of figures as text, JSON, CSV or Markdown."""

from __future__ import annotations

import json
from typing import TYPE_CHECKING

from fairlead.app.headless.arguments import VerbParser, add_comparison, add_files
from fairlead.app.headless.comparing import compared
from fairlead.app.headless.feed_line import add_feed_line
from fairlead.app.headless.groups import add_groups
from fairlead.app.headless.output import DONE, UNREAD, printable, say_all
from fairlead.app.version import version
from fairlead.core import report
from fairlead.core.comparison.changes import changes_of
from fairlead.core.comparison.knowledge import compare_known
from fairlead.core.comparison.said import said_of

if TYPE_CHECKING:
    from collections.abc import Sequence

    from fairlead.core.comparison.rows import Row
    from fairlead.core.document.bench import Bench


def run(arguments: Sequence[str]) -> int:
    """Print the figures of the files; exit status."""
    parser = VerbParser("figures", "Print what each sweep does in a band, and what changed.")
    add_files(parser)
    add_comparison(parser)
    add_feed_line(parser)
    add_groups(parser)
    parser.add_argument(
        "--as",
        dest="form",
        choices=("text", "json", "csv", "markdown"),
        default="text",
        help="form of the output (default text)",
    )
    options = parser.read(arguments)
    bench, unread, is_whole = compared(parser, options)
    say_all(unread)
    rows = compare_known(bench)
    if options.form == "json":
        found = report.as_json(bench, unread, program=f"fairlead {version()}", rows=rows)
        print(json.dumps(found, ensure_ascii=False, indent=2, allow_nan=False))
    elif options.form == "csv":
        print(report.as_csv(bench, rows), end="")
    elif bench.entries:
        _print_table(bench, rows, as_markdown=options.form == "markdown")
    return UNREAD if unread or not is_whole else DONE


def _print_table(bench: Bench, rows: Sequence[Row], *, as_markdown: bool) -> None:
    """The table, and below it the notices of the readers and the findings of the checks."""
    changes = changes_of(bench, rows)
    form = report.as_markdown if as_markdown else report.as_text
    text = form(bench, rows, changes)
    said = said_of(bench, rows)
    notes = [
        f"{'- ' if as_markdown else ''}{entry.label}: {found.text}"
        for entry in bench.entries
        for found in said[entry.key]
    ]
    if notes:
        notes = ["", *notes]
    for line in (*text.splitlines(), *notes):
        print(printable(line))
