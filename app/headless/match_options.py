"""Options for a matching network, for the verbs that design or draw one."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from fairlead.core.document.advice_request import NETWORKS, SERIES_NAMES
from fairlead.core.errors import FairleadError
from fairlead.core.units import parse_frequency_hz

if TYPE_CHECKING:
    import argparse

    from fairlead.app.headless.arguments import VerbParser

_BAND, _NONE = "band", "none"


def add_match(parser: VerbParser, use: str) -> None:
    """Where to match, at which end of the line, and with which standard values."""
    parser.add_argument("--match", metavar="FREQ", help=use)
    parser.add_argument(
        "--match-at",
        choices=("feed", "radio"),
        default="feed",
        help="where the network goes (feed if not given)",
    )
    parser.add_argument(
        "--parts", choices=SERIES_NAMES, default="E24", help="standard values (E24 if not given)"
    )


def match_hz(text: str) -> float | None:
    """The frequency to match at; None for the whole band.

    Raises
    ------
    FairleadError
        If it is neither a frequency nor "band".
    """
    return None if text == _BAND else parse_frequency_hz(text)


def add_match_in_picture(parser: VerbParser) -> None:
    """A network whose way is drawn over the Smith chart."""
    add_match(
        parser,
        'draw a network that matches the reference sweep there, or over the "band", on the Smith '
        'chart, and say what to build; "none" leaves out the one that a bench asks for',
    )
    parser.add_argument(
        "--network",
        metavar="KIND",
        help=f"its kind: {'; '.join(NETWORKS)}; default: the one with the lowest worst SWR",
    )


def match_in_picture(parser: VerbParser, options: argparse.Namespace) -> dict[str, Any]:
    """What of a bench's `AdviceRequest` is replaced; wrong usage ends here."""
    if options.match is None:
        if options.network is not None:
            parser.error("--network needs --match")
        return {}
    if options.match == _NONE:
        return {"in_picture": False}
    if options.network not in (None, *NETWORKS):
        parser.error(f'no network "{options.network}"; choose one of: {"; ".join(NETWORKS)}')
    try:
        at_hz = match_hz(options.match)
    except FairleadError as error:
        parser.refuse(error)
    return {
        "in_picture": True,
        "match_at": "" if at_hz is None else f"{at_hz:.12g} Hz",
        "match_end": options.match_at,
        "series": options.parts,
        "network": options.network or "",
    }
