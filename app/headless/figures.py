"""``fairlead figures``: the table of figures as text, JSON, CSV or Markdown."""

from __future__ import annotations

import json
from typing import TYPE_CHECKING

from fairlead.app.headless.arguments import VerbParser, add_comparison, add_files
from fairlead.app.headless.comparing import compared
from fairlead.app.headless.feed_line import add_feed_line
from fairlead.app.headless.groups import add_groups
from fairlead.app.headless.markers import add_markers
from fairlead.app.headless.output import DONE, UNREAD, printable, say_all, terminal_width
from fairlead.app.headless.radiation import add_radiation
from fairlead.app.headless.repeats import add_repeats, asked_repeats
from fairlead.app.version import version
from fairlead.core import report
from fairlead.core.comparison.changes import changes_of
from fairlead.core.comparison.findings import findings_of
from fairlead.core.comparison.knowledge import compare_known

if TYPE_CHECKING:
    from collections.abc import Sequence

    from fairlead.core.comparison.repeats.answer import Answer
    from fairlead.core.comparison.rows import Row
    from fairlead.core.document.bench import Bench


def run(arguments: Sequence[str]) -> int:
    """Print the figures of the files; exit status."""
    parser = make_parser()
    options = parser.read(arguments)
    bench, unread, is_whole = compared(parser, options)
    say_all(unread)
    rows = compare_known(bench)
    repeats = asked_repeats(parser, options, bench, lambda: rows, unread)
    if options.form == "json":
        found = report.as_json(
            bench, unread, program=f"fairlead {version()}", rows=rows, repeats=repeats
        )
        print(json.dumps(found, ensure_ascii=False, indent=2, allow_nan=False))
    elif options.form == "csv":
        print(report.as_csv(bench, rows), end="")
    elif bench.entries:
        _print_table(
            bench,
            rows,
            repeats,
            as_markdown=options.form == "markdown",
            is_quiet=options.quiet,
        )
    return UNREAD if unread or not is_whole else DONE


def make_parser() -> VerbParser:
    """What the verb takes."""
    parser = VerbParser("figures", "Print what each sweep does in a band, and what changed.")
    add_files(parser)
    add_comparison(parser)
    add_feed_line(parser)
    add_groups(parser)
    add_markers(parser)
    add_radiation(parser)
    add_repeats(parser)
    parser.add_argument(
        "--as",
        dest="form",
        choices=("text", "json", "csv", "markdown"),
        default="text",
        help="form of the output (default text)",
    )
    return parser


def _print_table(
    bench: Bench, rows: Sequence[Row], repeats: Answer | None, *, as_markdown: bool, is_quiet: bool
) -> None:
    """The table, and below it what came and went, the readers' notices and the checks' findings."""
    changes = changes_of(bench, rows)
    if as_markdown:
        text = report.as_markdown(bench, rows, changes)
    else:
        text = report.as_text(bench, rows, changes, width=terminal_width())
    said = {} if is_quiet else findings_of(bench, rows)
    notes = [
        f"{'- ' if as_markdown else ''}{entry.label}: {found.text}"
        for entry in bench.entries
        for found in said.get(entry.key, ())
    ]
    if notes:
        notes = ["", *notes]
    if repeats is not None:
        from fairlead.core.comparison.repeats.output import lines_of  # noqa: PLC0415 - few ask

        said_of_repeats = report.repeats_as_markdown if as_markdown else lines_of
        notes = ["", *said_of_repeats(repeats), *notes]
    for line in (*text.splitlines(), *notes):
        print(printable(line))
