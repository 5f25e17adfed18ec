"""Options for what a picture shows and says, for all verbs that make one."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from fairlead.core.document.picture_request import PictureRequest
from fairlead.core.views.registry import VIEWS

if TYPE_CHECKING:
    import argparse

    from fairlead.app.headless.arguments import VerbParser


def add_picture_words(parser: VerbParser) -> None:
    """View, grey, title and caption."""
    parser.add_argument(
        "--view",
        metavar="VIEW",
        help=f"what is plotted over frequency: {', '.join(view.id for view in VIEWS)}; default: "
        f"that of the bench, else {PictureRequest().view}",
    )
    parser.add_argument(
        "--markers",
        choices=("yes", "no"),
        help="whether the markers are drawn, with a table of their values; default: as the bench "
        "has it, else yes",
    )
    parser.add_argument("--log-frequency", action="store_true", help="a logarithmic frequency axis")
    parser.add_argument("--grey", action="store_true", help="black and greys only")
    parser.add_argument("--transparent", action="store_true", help="no paper behind the picture")
    parser.add_argument("--title", help='title above the plots ("" for none)')
    parser.add_argument("--caption", help="a line of your own")


def picture_words(options: argparse.Namespace) -> dict[str, Any]:
    """Their values; None where one was not given."""
    return {
        "view": options.view,
        "log_frequency": True if options.log_frequency else None,
        "markers": None if options.markers is None else options.markers == "yes",
        "grey": True if options.grey else None,
        "transparent": True if options.transparent else None,
        "title": options.title,
        "caption": options.caption,
    }
