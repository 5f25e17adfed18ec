"""``fairlead trend``: figures of one antenna against the dates of its sweeps."""

from __future__ import annotations

import json
from dataclasses import replace
from typing import TYPE_CHECKING

from fairlead.app.headless.arguments import VerbParser, add_comparison, add_files
from fairlead.app.headless.comparing import compared
from fairlead.app.headless.feed_line import add_feed_line
from fairlead.app.headless.groups import meant
from fairlead.app.headless.output import DONE, UNREAD, printable, say, say_all
from fairlead.app.headless.painting import painting
from fairlead.app.printing.formats import ending_of
from fairlead.app.version import version
from fairlead.core.comparison.knowledge import compare_known
from fairlead.core.errors import FairleadError
from fairlead.core.over_time.output import trends_as_csv, trends_as_json
from fairlead.core.over_time.table_text import trends_as_text
from fairlead.core.over_time.trends import choices_beside, over_time, trend_specs

if TYPE_CHECKING:
    import argparse
    from collections.abc import Sequence

    from fairlead.core.comparison.rows import Row
    from fairlead.core.document.bench import Bench
    from fairlead.core.errors import ReadError
    from fairlead.core.figure_table import FigureSpec
    from fairlead.core.over_time.beside import Beside
    from fairlead.core.over_time.trends import OverTime


def run(arguments: Sequence[str]) -> int:
    """Print the trends of the files' figures; exit status."""
    parser = make_parser()
    options = parser.read(arguments)
    spec = _figure(parser, options)
    _check_picture(parser, options)
    bench, unread, is_whole = compared(parser, options)
    say_all(unread)
    rows = _chosen(parser, options, bench, unread)
    found = over_time(rows, _beside(parser, options, rows))
    if options.out is not None:
        if found.why_not:
            say(f"{options.out}: not written, because {found.why_not}")
            return UNREAD
        try:
            _draw(bench, spec, found, options)
        except FairleadError as error:
            say(f"{parser.prog}: {error}")
            return UNREAD
    elif options.form == "json":
        told = trends_as_json(bench, found, unread, program=f"fairlead {version()}")
        print(json.dumps(told, ensure_ascii=False, indent=2, allow_nan=False))
    elif options.form == "csv":
        print(trends_as_csv(found), end="")
    elif bench.entries:
        text = trends_as_text(bench, spec, found, as_markdown=options.form == "markdown")
        for line in text.splitlines():
            print(printable(line))
    return UNREAD if unread or not is_whole else DONE


def make_parser() -> VerbParser:
    """The options of the verb."""
    parser = VerbParser(
        "trend",
        "Print what the figures of one antenna do over the dates of its sweeps, which come from "
        "the files or from a bench.",
    )
    add_files(parser)
    parser.add_argument(
        "--sweeps",
        metavar="SWEEPS",
        help="only these: labels or names of files among those given, with commas between, where "
        '* stands for anything: "roof-*"',
    )
    parser.add_argument(
        "--figure",
        metavar="KEY",
        default="best_match_hz",
        help="the figure that is put into a sentence: a key of the JSON object, "
        "such as worst_swr or q (default best_match_hz)",
    )
    parser.add_argument(
        "--beside",
        metavar="WHAT",
        help="something noted with the sweeps to read the trend beside: temperature, or a unit "
        'that stands in weather, condition, height or DC resistance, such as "%%" or "m/s"',
    )
    add_comparison(parser)
    add_feed_line(parser)
    parser.add_argument(
        "-o", "--out", metavar="OUT", help="draw the figure to this file: .png, .svg or .pdf"
    )
    parser.add_argument("--title", help='title of that picture ("" for none)')
    parser.add_argument("--grey", action="store_true", help="that picture in black and greys only")
    parser.add_argument(
        "--as",
        dest="form",
        choices=("text", "json", "csv", "markdown"),
        default="text",
        help="form of the output (default text)",
    )
    return parser


def _figure(parser: VerbParser, options: argparse.Namespace) -> FigureSpec:
    specs = {spec.key: spec for spec in trend_specs()}
    if options.figure not in specs:
        known = ", ".join(specs)
        parser.error(f"--figure {options.figure}: there is no such figure; it can be {known}")
    return specs[options.figure]


def _check_picture(parser: VerbParser, options: argparse.Namespace) -> None:
    """Wrong usage ends before any file is read."""
    if options.out is None:
        if options.title is not None or options.grey:
            parser.error("--title and --grey need -o")
        return
    try:
        ending_of(options.out)
    except FairleadError as error:
        parser.refuse(error)


def _draw(bench: Bench, spec: FigureSpec, found: OverTime, options: argparse.Namespace) -> None:
    with painting():
        from fairlead.app.printing.trend_export import write_trend  # noqa: PLC0415 - needs Qt

        request = replace(
            bench.picture, title=options.title, caption="", grey=options.grey or bench.picture.grey
        )
        write_trend(bench, spec, found, request, options.out, frozenset(options.files))


def _chosen(
    parser: VerbParser, options: argparse.Namespace, bench: Bench, unread: Sequence[ReadError]
) -> list[Row]:
    """The rows asked for, with all that is known of them."""
    rows = compare_known(bench)
    if options.sweeps is None or not bench.entries:
        return list(rows)
    try:
        keys = {
            entry.key
            for pattern in options.sweeps.split(",")
            for entry in meant(bench, pattern.strip(), unread)
        }
    except FairleadError as error:
        parser.refuse(error)
    return [row for row in rows if row.entry.key in keys]


def _beside(parser: VerbParser, options: argparse.Namespace, rows: Sequence[Row]) -> Beside | None:
    if options.beside is None or not rows:
        return None
    known = choices_beside(rows)
    meant = [one for one in known if options.beside in (one.name, one.unit, one.title)]
    listed = ", ".join(f'"{one.title}"' for one in known) or "nothing"
    if not meant:
        parser.error(
            f"--beside {options.beside}: three dated sweeps at least have to state it, with "
            f"different values; they state {listed}"
        )
    return meant[0]
