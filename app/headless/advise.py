"""``fairlead advise``: what a match costs, one tuning for all, how much to cut, how to match."""

from __future__ import annotations

import json
from typing import TYPE_CHECKING

from fairlead.app.headless.arguments import VerbParser, add_comparison, add_files
from fairlead.app.headless.comparing import compared
from fairlead.app.headless.feed_line import add_taken_at
from fairlead.app.headless.gathering import find_reference
from fairlead.app.headless.match_options import add_match, match_hz
from fairlead.app.headless.output import DONE, UNREAD, printable, say_all
from fairlead.app.version import version
from fairlead.core.advice.advice_json import as_json
from fairlead.core.advice.advice_report import as_markdown, as_text
from fairlead.core.advice.answers import Question, TrimQuestion, advise
from fairlead.core.advice.asked import parse_length_mm, parse_station
from fairlead.core.advice.matching import Wish
from fairlead.core.analysis.analyses import Analyses
from fairlead.core.comparison.knowledge import compare_known
from fairlead.core.errors import FairleadError
from fairlead.core.units import parse_frequency_hz

if TYPE_CHECKING:
    import argparse
    from collections.abc import Sequence

    from fairlead.core.advice.budget import Station
    from fairlead.core.document.bench import Bench
    from fairlead.core.errors import ReadError


def run(arguments: Sequence[str]) -> int:
    """Print the advice on the files; exit status."""
    parser = make_parser()
    options = parser.read(arguments)
    try:
        station = parse_station(options.power, options.radio, options.line, options.transformer)
    except FairleadError as error:
        parser.refuse(error)
    # The line is the station's: where the sweeps were taken says what it does to them.
    options.line = options.line_measured = options.at = None
    options.line_for = []
    bench, unread, _ = compared(parser, options)
    say_all(unread)
    analyses = Analyses()
    rows = compare_known(bench, analyses)
    question = _question(parser, options, station, bench, unread)
    found = advise(bench, rows, analyses, question)
    if options.form == "json":
        program = f"fairlead {version()}"
        told = as_json(found, unread, program=program)
        print(json.dumps(told, ensure_ascii=False, indent=2, allow_nan=False))
    elif bench.entries:
        text = as_markdown(found) if options.form == "markdown" else as_text(found)
        for line in text.splitlines():
            print(printable(line))
    return UNREAD if unread else DONE


def make_parser() -> VerbParser:
    """What the verb takes."""
    parser = VerbParser(
        "advise",
        "Work out what the match costs, which tuning serves all sweeps, how much to cut, how to "
        "match. Local codes, your licence and qualified people come first.",
    )
    add_files(parser)
    add_comparison(parser)
    _add_station(parser)
    _add_questions(parser)
    parser.add_argument(
        "--as",
        dest="form",
        choices=("text", "json", "markdown"),
        default="text",
        help="form of the output (text if not given)",
    )
    return parser


def _add_station(parser: VerbParser) -> None:
    parser.add_argument(
        "--power", metavar="W", default="100W", help="of the transmitter (100W if not given)"
    )
    parser.add_argument(
        "--radio",
        metavar="KIND",
        default="fixed",
        help="fixed: 50 ohm without a tuner (if not given); tuner: one at the radio; fold-back: "
        "it lowers its power by a rule of thumb, or by your curve of SWR and per cent: "
        '"fold-back=1.5:100,2:70,3:25"',
    )
    parser.add_argument(
        "--line",
        metavar="LINE",
        help='the line between radio and antenna: "RG-58,12m", or its numbers: '
        '"z0=75,vf=0.82,k1=1.1,k2=0.01,40ft" (loss k1 sqrt(f) + k2 f in dB for 100 m, f in MHz)',
    )
    add_taken_at(parser, "they count as taken at the feed point")
    parser.add_argument(
        "--transformer",
        metavar="RATIO",
        help='a transformer at the feed point, the sweep taken on the radio\'s side: "49:1,0.5dB"',
    )


def _add_questions(parser: VerbParser) -> None:
    parser.add_argument(
        "--shift", action="store_true", help="the one tuning that serves all sweeps best"
    )
    parser.add_argument(
        "--trim",
        metavar="LENGTH",
        nargs="?",
        const="",
        help="how much to cut off the reference sweep's antenna: the length of what is cut "
        '("985mm", "38in"), or nothing for an answer in per cent',
    )
    parser.add_argument(
        "--part",
        action="store_true",
        help="only a part of the antenna is cut, so 1/length does not hold for the whole",
    )
    parser.add_argument(
        "--target", metavar="FREQ", help="where the best match should be (middle of the band)"
    )
    parser.add_argument(
        "--before",
        metavar="LABEL",
        help="the sweep before the last cut, to learn what a millimetre does; with --cut",
    )
    parser.add_argument("--cut", metavar="LENGTH", help='how much was cut then: "5mm"')
    add_match(parser, 'networks that match the reference sweep there, or "band"')


def _check_trim(parser: VerbParser, options: argparse.Namespace) -> None:
    """Refuse what would be silently left out."""
    if (options.before is None) != (options.cut is None):
        parser.error("--before and --cut belong together")
    if options.trim is None:
        for name in ("target", "part", "before"):
            if getattr(options, name):
                parser.error(f"--{name} belongs to --trim")


def _question(
    parser: VerbParser,
    options: argparse.Namespace,
    station: Station,
    bench: Bench,
    unread: Sequence[ReadError],
) -> Question:
    try:
        trim = None
        _check_trim(parser, options)
        if options.trim is not None:
            before_key = None
            if options.before is not None:
                before_key = find_reference(bench, options.before, unread).key
            trim = TrimQuestion(
                target_hz=None if options.target is None else parse_frequency_hz(options.target),
                length_mm=parse_length_mm(options.trim) if options.trim else None,
                what="part" if options.part else "whole",
                before_key=before_key,
                cut_mm=0.0 if options.cut is None else parse_length_mm(options.cut),
            )
        match = None
        if options.match is not None:
            match = Wish(match_hz(options.match), options.match_at, options.parts)
    except FairleadError as error:
        parser.refuse(error)
    return Question(station, options.shift, trim, match)
