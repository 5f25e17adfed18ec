"""``fairlead report``: one page as PDF, or Markdown with its picture beside it."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from fairlead.app.headless.arguments import VerbParser, add_comparison, add_files
from fairlead.app.headless.comparing import compared
from fairlead.app.headless.feed_line import add_feed_line
from fairlead.app.headless.groups import add_groups
from fairlead.app.headless.markers import add_markers
from fairlead.app.headless.match_options import add_match_in_picture, match_in_picture
from fairlead.app.headless.output import DONE, UNREAD, say, say_all
from fairlead.app.headless.painting import painting
from fairlead.app.headless.picture_options import add_picture_words, picture_words
from fairlead.app.printing.report_names import is_page
from fairlead.core.document.picture_request import PictureRequest
from fairlead.core.errors import FairleadError

if TYPE_CHECKING:
    from collections.abc import Sequence


def run(arguments: Sequence[str]) -> int:
    """Write the report on the sweeps in the files; exit status."""
    parser = make_parser()
    options = parser.read(arguments)
    asked = {name: value for name, value in picture_words(options).items() if value is not None}
    network = match_in_picture(parser, options)
    try:
        is_page(options.out)
        replace(PictureRequest(), **asked)
    except FairleadError as error:
        parser.refuse(error)
    bench, unread, is_whole = compared(parser, options)
    say_all(unread)
    if not bench.entries:
        say(f"{options.out}: not written, because no sweep could be read")
        return UNREAD
    bench = bench.with_picture(replace(bench.picture, **asked))
    bench = bench.with_advice(replace(bench.advice, **network))
    try:
        with painting():
            # Wrong usage needs no Qt.
            from fairlead.app.printing.report_files import write_report  # noqa: PLC0415

            write_report(bench, options.out, options.page, originals=frozenset(options.files))
    except FairleadError as error:
        say(f"{parser.prog}: {error}")
        return UNREAD
    return UNREAD if unread or not is_whole else DONE


def make_parser() -> VerbParser:
    """What the verb takes."""
    parser = VerbParser(
        "report",
        "Write one page with picture, table, verdict, conditions, notes and cautions, or the same "
        "as Markdown with the picture beside it.",
    )
    add_files(parser)
    parser.add_argument(
        "-o", "--out", required=True, metavar="OUT", help="file to write: .pdf, or .md"
    )
    parser.add_argument(
        "--page", choices=("a4", "letter"), default="a4", help="size of the page (a4 if not given)"
    )
    add_comparison(parser)
    add_feed_line(parser)
    add_groups(parser)
    add_markers(parser)
    add_picture_words(parser)
    add_match_in_picture(parser)
    return parser
