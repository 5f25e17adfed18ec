"""``--same-radiation``: what only the user can say, and what an added loss needs."""

from __future__ import annotations

from typing import TYPE_CHECKING

from fairlead.app.headless.groups import meant
from fairlead.core.errors import FairleadError

if TYPE_CHECKING:
    import argparse
    from collections.abc import Sequence

    from fairlead.app.headless.arguments import VerbParser
    from fairlead.core.document.bench import Bench
    from fairlead.core.errors import ReadError


def add_radiation(parser: VerbParser) -> None:
    """The option; it may be given several times."""
    parser.add_argument(
        "--same-radiation",
        action="append",
        default=[],
        metavar="SWEEPS",
        help="sweeps whose radiation is the reference's: same height, surroundings and shape. Only "
        "then is a lower Q reported as added loss, and only with the line removed and one "
        "calibration",
    )


def with_said_radiation(
    parser: VerbParser, options: argparse.Namespace, bench: Bench, unread: Sequence[ReadError]
) -> Bench:
    """The bench with what was said; wrong usage exits with status 2."""
    from fairlead.core.document.radiation import with_same_radiation  # noqa: PLC0415 - rarely asked

    for text in getattr(options, "same_radiation", ()):  # not every verb has it
        for pattern in text.split(","):
            try:
                keys = {entry.key for entry in meant(bench, pattern.strip(), unread)}
            except FairleadError as error:
                parser.refuse(error)
            bench = with_same_radiation(bench, keys, is_same=True)
    return bench
