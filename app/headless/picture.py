"""``fairlead picture``: the printed figure as PNG, SVG or PDF."""

from __future__ import annotations

import os
import sys
from typing import TYPE_CHECKING

from app.headless.arguments import VerbParser, add_comparison, add_files, number
from app.headless.comparing import compared
from app.headless.output import DONE, UNREAD, say, say_all
from app.printing.endings import ending_of
from core.errors import FairleadError
from core.picture_request import PictureRequest

if TYPE_CHECKING:
    import argparse
    from collections.abc import Sequence

    from core.bench import Bench


def run(arguments: Sequence[str]) -> int:
    """Draw the files into a picture; exit status."""
    parser = _parser()
    options = parser.read(arguments)
    request = _request(parser, options)
    bench, unread = compared(parser, options)
    say_all(unread)
    if not bench.entries:
        say(f"{options.out}: not written, because no sweep could be read")
        return UNREAD
    try:
        _draw(bench, request, options.out)
    except FairleadError as error:
        say(f"{parser.prog}: {error}")
        return UNREAD
    return UNREAD if unread else DONE


def _parser() -> VerbParser:
    parser = VerbParser(
        "picture", "Draw the SWR plot, the Smith chart and the figures of sweeps at true size."
    )
    add_files(parser)
    parser.add_argument(
        "-o", "--out", required=True, metavar="OUT", help="file to write: .png, .svg or .pdf"
    )
    add_comparison(parser)
    usual = PictureRequest()
    for side in ("width", "height"):
        parser.add_argument(
            f"--{side}-mm",
            metavar="MM",
            help=f"{side} on paper ({getattr(usual, f'{side}_mm'):g} if not given)",
        )
    parser.add_argument("--dpi", type=int, help=f"pixels an inch ({usual.dpi} if not given)")
    parser.add_argument("--grey", action="store_true", help="black and greys only")
    parser.add_argument("--title", help='title over the plots ("" for none)')
    parser.add_argument("--caption", default="", help="a line of your own under the table")
    return parser


def _request(parser: VerbParser, options: argparse.Namespace) -> PictureRequest:
    usual = PictureRequest()
    try:
        ending = ending_of(options.out)
        request = PictureRequest(
            width_mm=_side(parser, options.width_mm, usual.width_mm, "the width"),
            height_mm=_side(parser, options.height_mm, usual.height_mm, "the height"),
            dpi=usual.dpi if options.dpi is None else options.dpi,
            grey=options.grey,
            title=options.title,
            caption=options.caption,
        )
        if ending == ".png":
            request.check_bitmap()
    except FairleadError as error:
        parser.refuse(error)
    return request


def _side(parser: VerbParser, text: str | None, usual_mm: float, what: str) -> float:
    return usual_mm if text is None else number(parser, text, what)


def _draw(bench: Bench, request: PictureRequest, path: str) -> None:
    # Nothing is shown, so no screen is needed: Qt must not look for one and abort without it.
    if sys.platform not in ("win32", "darwin"):
        os.environ["QT_QPA_PLATFORM"] = "offscreen"
    from PySide6.QtGui import QGuiApplication  # noqa: PLC0415 - wrong usage needs no Qt

    from app.printing.export import write_picture  # noqa: PLC0415 - as above

    # Fonts exist only while there is an application.
    application = QGuiApplication.instance() or QGuiApplication(["fairlead"])
    write_picture(bench, request, path)
    del application
