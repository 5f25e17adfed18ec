"""``fairlead picture``: the printed picture as PNG, SVG or PDF."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Any

from fairlead.app.headless.arguments import VerbParser, add_comparison, add_files, number
from fairlead.app.headless.comparing import compared
from fairlead.app.headless.feed_line import add_feed_line
from fairlead.app.headless.groups import add_groups
from fairlead.app.headless.markers import add_markers
from fairlead.app.headless.match_options import add_match_in_picture, match_in_picture
from fairlead.app.headless.output import DONE, UNREAD, say, say_all
from fairlead.app.headless.painting import painting
from fairlead.app.headless.picture_options import add_picture_words, picture_words
from fairlead.app.headless.radiation import add_radiation
from fairlead.app.headless.repeats import add_repeats, asked_repeats
from fairlead.app.printing.formats import ending_of
from fairlead.core.document.picture_request import CHANGES_SHOWN, PictureRequest
from fairlead.core.errors import FairleadError

if TYPE_CHECKING:
    import argparse
    from collections.abc import Mapping, Sequence

    from fairlead.core.comparison.repeats.answer import Answer
    from fairlead.core.comparison.rows import Row
    from fairlead.core.document.bench import Bench


def run(arguments: Sequence[str]) -> int:
    """Draw a picture of the sweeps in the files; exit status."""
    parser = make_parser()
    options = parser.read(arguments)
    changes = _changes(parser, options)
    network = match_in_picture(parser, options)
    bench, unread, is_whole = compared(parser, options)
    say_all(unread)
    if not bench.entries:
        say(f"{options.out}: not written, because no sweep could be read")
        return UNREAD
    bench = bench.with_advice(replace(bench.advice, **network))
    try:
        request = _request(bench.picture, changes, options.out)
        answer = asked_repeats(parser, options, bench, lambda: _rows(bench), unread)
        if options.drying:
            reason = _draw_drying(bench, answer, request, options)
            if reason:
                say(f"{options.out}: not written, because {reason}")
                return UNREAD
        else:
            besides = () if answer is None else answer.sentences
            missing = _draw(bench, request, options.out, frozenset(options.files), besides)
            if missing:
                say(f"{options.out}: {missing}")
    except FairleadError as error:
        say(f"{parser.prog}: {error}")
        return UNREAD
    return UNREAD if unread or not is_whole else DONE


def make_parser() -> VerbParser:
    """What the verb takes."""
    parser = VerbParser(
        "picture",
        "Draw a plot over frequency, the Smith chart and the figures of sweeps at true size.",
    )
    add_files(parser)
    parser.add_argument(
        "-o", "--out", required=True, metavar="OUT", help="file to write: .png, .svg or .pdf"
    )
    add_comparison(parser)
    add_feed_line(parser)
    add_groups(parser)
    add_markers(parser)
    add_radiation(parser)
    add_repeats(parser)
    parser.add_argument(
        "--drying",
        action="store_true",
        help="draw the drying curve from --during to --after in place of the sweeps",
    )
    usual = PictureRequest()
    for side in ("width", "height"):
        parser.add_argument(
            f"--{side}-mm",
            metavar="MM",
            help=f"{side} on paper; default: that of the bench, else "
            f"{getattr(usual, f'{side}_mm'):g}",
        )
    parser.add_argument("--dpi", type=int, help=f"pixels per inch (default {usual.dpi})")
    parser.add_argument(
        "--changes",
        choices=CHANGES_SHOWN,
        help="whether it says in words what changed; if-room: of one or two sweeps, if all fits",
    )
    add_picture_words(parser)
    add_match_in_picture(parser)
    return parser


def _changes(parser: VerbParser, options: argparse.Namespace) -> dict[str, Any]:
    """The picture settings given as options; wrong usage ends here, before any file is read."""
    asked: dict[str, Any] = {
        "width_mm": _side(parser, options.width_mm, "the width"),
        "height_mm": _side(parser, options.height_mm, "the height"),
        "dpi": options.dpi,
        "changes": options.changes,
        **picture_words(options),
    }
    changes = {name: value for name, value in asked.items() if value is not None}
    try:
        _request(PictureRequest(), changes, options.out)
    except FairleadError as error:
        parser.refuse(error)
    return changes


def _request(usual: PictureRequest, changes: Mapping[str, Any], path: str) -> PictureRequest:
    """The default settings or those of the bench, with the changes; FairleadError if impossible."""
    ending = ending_of(path)
    request = replace(usual, **changes)
    if ending == ".png":
        request.check_bitmap()
    return request


def _side(parser: VerbParser, text: str | None, what: str) -> float | None:
    return None if text is None else number(parser, text, what)


def _rows(bench: Bench) -> Sequence[Row]:
    # Few ask, and the picture works them out again, with its own bench.
    from fairlead.core.comparison.knowledge import compare_known  # noqa: PLC0415

    return compare_known(bench)


def _draw_drying(
    bench: Bench, answer: Answer | None, request: PictureRequest, options: argparse.Namespace
) -> str:
    """Draw the drying curve; the reason if there is none."""
    from fairlead.core.comparison.repeats.drying import Drying  # noqa: PLC0415 - few ask
    from fairlead.core.comparison.repeats.words import drying_sentence  # noqa: PLC0415 - as above

    drying = "--before, --during and --after are needed" if answer is None else answer.drying
    if not isinstance(drying, Drying):
        return drying or "there is no drying curve of these sweeps"
    with painting():
        from fairlead.app.printing.trend_export import write_drying  # noqa: PLC0415

        said = [drying_sentence(drying), request.caption]
        write_drying(bench, drying, said, request, options.out, frozenset(options.files))
    return ""


def _draw(
    bench: Bench,
    request: PictureRequest,
    path: str,
    originals: frozenset[str],
    besides: Sequence[str],
) -> str:
    with painting():
        # Wrong usage needs no Qt.
        from fairlead.app.printing.export import write_picture  # noqa: PLC0415

        return write_picture(bench, request, path, originals=originals, besides=besides)
