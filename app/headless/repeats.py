"""``--before``, ``--during``, ``--after``: what came and went, told apart from drift."""

from __future__ import annotations

from typing import TYPE_CHECKING, cast

from fairlead.app.headless.gathering import find_reference
from fairlead.core.errors import FairleadError

if TYPE_CHECKING:
    import argparse
    from collections.abc import Callable, Sequence

    from fairlead.app.headless.arguments import VerbParser
    from fairlead.core.comparison.repeats.answer import Answer
    from fairlead.core.comparison.repeats.words import Kind
    from fairlead.core.comparison.rows import Row
    from fairlead.core.document.bench import Bench
    from fairlead.core.errors import ReadError

_KINDS = ("weather", "cable", "cable-length")


def add_repeats(parser: VerbParser) -> None:
    """The sweeps, what differed, and when they were taken."""
    for option, meaning in (
        ("--before", "the sweep taken before it changed (dry; cable choked)"),
        ("--during", "the sweep taken while it was different (soaked, iced; cable held)"),
        (
            "--after",
            "the sweep taken when that was over (dry again); without it, drift cannot be separated",
        ),
    ):
        parser.add_argument(option, metavar="LABEL", help=meaning)
    parser.add_argument(
        "--differs",
        choices=_KINDS,
        default="weather",
        help="what differed during: weather (water, ice; the default), cable (choked or "
        "held by hand), cable-length (another length, with its line removed)",
    )
    parser.add_argument(
        "--minutes",
        metavar="TIMES",
        help='when the three were taken, "0,25,70"; if not given, by the dates in their files',
    )


def asked_repeats(
    parser: VerbParser,
    options: argparse.Namespace,
    bench: Bench,
    rows: Callable[[], Sequence[Row]],
    unread: Sequence[ReadError],
) -> Answer | None:
    """The answer, or None if nothing was asked; wrong usage leaves with status 2.

    ``rows`` gives those of the bench with all that is known of them.
    """
    names = options.before, options.during, options.after
    if names == (None, None, None):
        if options.minutes is not None or options.differs != _KINDS[0]:
            parser.error("--minutes and --differs need --before and --during")
        return None
    if options.before is None or options.during is None:
        parser.error("give --before and --during, and --after if there is a sweep afterwards")
    # Few ask, and a picture starts without them.
    from fairlead.core.comparison.repeats.answer import Question, answer  # noqa: PLC0415
    from fairlead.core.comparison.repeats.times import parse_minutes  # noqa: PLC0415

    try:
        minutes = () if options.minutes is None else parse_minutes(options.minutes)
        if options.minutes is not None and (len(minutes) != 3 or options.after is None):
            parser.error("--minutes takes a time for each of --before, --during and --after")
        if not bench.entries:
            return None
        keys = [None if name is None else find_reference(bench, name, unread).key for name in names]
    except FairleadError as error:
        parser.refuse(error)
    before, during, after = keys
    kind = cast("Kind", options.differs)
    return answer(rows(), Question(cast("int", before), cast("int", during), after, kind, minutes))
