"""``fairlead plan``: what a measurement needs, whether sweeps meet it, and a checklist."""

from __future__ import annotations

import json
from typing import TYPE_CHECKING

from fairlead.app.headless.arguments import VerbParser, add_comparison, add_files
from fairlead.app.headless.comparing import compared
from fairlead.app.headless.output import DONE, UNREAD, printable, say, say_all
from fairlead.app.headless.painting import painting
from fairlead.app.printing.report_names import is_page
from fairlead.app.version import version
from fairlead.core.atomic_file import write_atomic
from fairlead.core.comparison.knowledge import compare_known
from fairlead.core.errors import FairleadError
from fairlead.core.planning.asked import plan_of, plan_with
from fairlead.core.planning.meets import lacking_in, lines_of
from fairlead.core.planning.needs import needs
from fairlead.core.planning.words import TITLE, as_json, as_markdown, as_text, checklist

if TYPE_CHECKING:
    import argparse
    from collections.abc import Sequence

    from fairlead.core.bands import Band
    from fairlead.core.document.bench import Bench
    from fairlead.core.document.session import Plan
    from fairlead.core.planning.needs import Needs

_WISHES = (
    ("--shift", "shift_hz", "KHZ", 'smallest shift of the best match to detect: "20kHz"'),
    ("--cover", "cover_swr", "SWR", "SWR limit at which to decide whether the band is covered"),
    ("--q", "q", "Q", "expected Q; default: that of the reference sweep"),
    ("--noise", "noise", "PERCENT", 'noise of a point: "0.2%%"; default: that of the sweep'),
    (
        "--repeatability",
        "repeatability_hz",
        "KHZ",
        "scatter of the best match when everything is put up again (standard deviation)",
    ),
    ("--line-length", "line_m", "M", 'line that is not calibrated away: "12m"'),
    ("--velocity-factor", "velocity_factor", "VF", "of that line (1 if not given)"),
    ("--line-loss", "line_loss_db", "DB", "its one-way loss in the band"),
    ("--plane", "plane", "TEXT", "for the checklist: the calibration plane"),
    ("--height", "height", "TEXT", "for the checklist: the height of the antenna"),
    ("--cable", "cable", "TEXT", "for the checklist: the cable and how it runs"),
    ("--choke", "choke", "TEXT", "for the checklist: the choke and where"),
    ("--water", "water", "TEXT", "for the checklist: how much water, where"),
    ("--time", "time", "TEXT", "for the checklist: time between water and sweep"),
)


def run(arguments: Sequence[str]) -> int:
    """Print the plan, or write its checklist; exit status."""
    parser = make_parser()
    options = parser.read(arguments)
    texts = {name: text for _, name, *_ in _WISHES if (text := getattr(options, name)) is not None}
    try:
        plan_of(texts)
        if options.out is not None:
            is_page(options.out)
    except FairleadError as error:
        parser.refuse(error)
    # Only the length of a line is asked for, because nothing is removed here.
    options.line = options.line_measured = options.at = None
    options.line_for = []
    bench, unread, _ = compared(parser, options)
    say_all(unread)
    if not bench.entries and options.band is None:
        parser.refuse(FairleadError("no band was stated", "add --band, or a sweep"))
    rows = compare_known(bench)
    reference = next((row for row in rows if row.is_reference), None)
    plan = plan_with(plan_of(texts, bench.plan), None if reference is None else reference.figures)
    try:
        found = needs(plan, bench.band)
    except FairleadError as error:
        parser.refuse(error)
    try:
        _tell(options, bench, plan, bench.band, found)
    except FairleadError as error:
        say(f"{parser.prog}: {error}")
        return UNREAD
    return UNREAD if unread else DONE


def _tell(options: argparse.Namespace, bench: Bench, plan: Plan, band: Band, found: Needs) -> None:
    lacking = lacking_in(bench, found)
    lines = lines_of(lacking) if bench.entries else None
    originals = bench.source_files | frozenset(options.files)
    if options.out is not None and is_page(options.out):
        with painting():
            # Text alone needs no Qt.
            from fairlead.app.printing.checklist import write_checklist  # noqa: PLC0415

            sections = checklist(plan, band, found)
            write_checklist(TITLE, sections, options.out, options.page, originals)
    elif options.out is not None:
        text = as_markdown(plan, band, found, lines, TITLE)
        data = text.encode("utf-8", "backslashreplace")
        write_atomic(options.out, [data], never_over=originals)
    elif options.form == "json":
        told = as_json(plan, band, found, lacking, program=f"fairlead {version()}")
        print(json.dumps(told, ensure_ascii=False, indent=2, allow_nan=False))
    else:
        is_markdown = options.form == "markdown"
        text = (
            as_markdown(plan, band, found, lines, TITLE)
            if is_markdown
            else as_text(plan, band, found, lines)
        )
        for line in text.splitlines():
            print(printable(line))


def make_parser() -> VerbParser:
    """The options of the verb."""
    parser = VerbParser(
        "plan",
        "Plan a measurement that shows a shift, or whether a band is covered: span, points, "
        "repeats, calibration. Sweeps that are given are compared with the plan.",
    )
    add_files(parser, may_be_none=True)
    add_comparison(parser)
    for option, name, metavar, words in _WISHES:
        parser.add_argument(option, dest=name, metavar=metavar, help=words)
    parser.add_argument(
        "--as",
        dest="form",
        choices=("text", "json", "markdown"),
        default="text",
        help="form of the output (text if not given)",
    )
    parser.add_argument(
        "-o", "--out", metavar="OUT", help="write a checklist to print instead: .pdf, or .md"
    )
    parser.add_argument(
        "--page", choices=("a4", "letter"), default="a4", help="size of the page (a4 if not given)"
    )
    return parser
