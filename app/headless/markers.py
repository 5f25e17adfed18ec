"""``--marker``: frequencies at which all sweeps are read off."""

from __future__ import annotations

from typing import TYPE_CHECKING

from fairlead.core.errors import FairleadError

if TYPE_CHECKING:
    import argparse

    from fairlead.app.headless.arguments import VerbParser
    from fairlead.core.document.bench import Bench


def add_markers(parser: VerbParser) -> None:
    """The option; it may be given several times."""
    parser.add_argument(
        "--marker",
        dest="marker",
        action="append",
        default=[],
        metavar="[NAME=]FREQUENCY",
        help='a frequency at which all sweeps are read off: "50.2MHz", or with a name of your '
        'own "beacon=50.2MHz"; besides those of the bench',
    )


def chosen_markers(parser: VerbParser, options: argparse.Namespace) -> list[tuple[float, str]]:
    """Frequencies in Hz with their names; wrong usage exits with status 2."""
    texts = getattr(options, "marker", ())  # not every verb has markers
    if not texts:
        return []
    from fairlead.core.document.markers import parse_marker  # noqa: PLC0415 - few ask for markers

    try:
        return [parse_marker(text) for text in texts]
    except FairleadError as error:
        parser.refuse(error)


def marked(bench: Bench, wanted: list[tuple[float, str]]) -> Bench:
    """The bench with these markers besides its own."""
    if not wanted:
        return bench
    from fairlead.core.document.markers import with_marker  # noqa: PLC0415 - as above

    for frequency_hz, name in wanted:
        bench = with_marker(bench, frequency_hz, name)
    return bench
