"""The formats of a picture by file extension, and Qt's SVG made smaller.

No Qt, so that wrong usage is reported at once. In the smaller SVG each letter's outline occurs
once, without empty groups and needless digits.
"""

from __future__ import annotations

import re
from pathlib import PurePath

from fairlead.core.errors import FairleadError

ENDINGS = (".png", ".svg", ".pdf")

_EMPTY_GROUP = re.compile(rb"<g [^<>]*>\s*</g>\s*")
_FONT = re.compile(
    rb'\s*font-family="[^"]*" font-size="[^"]*" font-weight="[^"]*" font-style="[^"]*"'
)
_NEEDLESS = re.compile(
    rb' transform="matrix\(1,0,0,1,0,0\)"| vector-effect="none"| fill-opacity="1"'
    rb'| stroke-opacity="1"| stroke-dashoffset="0"'
)
_COORDINATES = re.compile(rb'(?<= )(?:d|points)="[^"]*"')
_DECIMALS = re.compile(rb"-?\d+\.\d+(?:e-?\d+)?")
_BLANKS = re.compile(rb"\n\s*\n+")
# A filled outline moved into position: a letter.
_LETTER = re.compile(
    rb'<g fill="(#[0-9a-f]{6})" stroke="none" transform="matrix\(1,0,0,1,([^,]+),([^,)]+)\)"\s*>\s*'
    rb'<path fill-rule="nonzero" (d="[^"]*")/>\s*</g>'
)


def tidied(svg: bytes) -> bytes:
    """The same drawing in fewer bytes, with coordinates to a tenth of a unit.

    Meant for drawings in hundredths of a millimetre whose letters are outlines: less than a
    micrometre is lost. Title and description are left alone.
    """
    head, end_of_head, body = svg.partition(b"</desc>")
    body = _NEEDLESS.sub(b"", _FONT.sub(b"", body))
    body = _COORDINATES.sub(lambda found: _DECIMALS.sub(_rounded, found[0]), body)
    outlines: dict[bytes, bytes] = {}
    body = _LETTER.sub(lambda found: _use(found, outlines), body)
    letters = b"".join(
        b'<path id="%s" fill-rule="nonzero" %s/>\n' % (name, outline)
        for outline, name in outlines.items()
    )
    if letters:
        body = b"\n<defs>\n" + letters + b"</defs>" + body
    while (shorter := _EMPTY_GROUP.sub(b"", body)) != body:
        body = shorter
    return head + end_of_head + _BLANKS.sub(b"\n", body)


def _use(letter: re.Match[bytes], outlines: dict[bytes, bytes]) -> bytes:
    colour, x, y, outline = letter.groups()
    name = outlines.setdefault(outline, b"letter%d" % len(outlines))
    place = b'x="%s" y="%s"' % tuple(_DECIMALS.sub(_rounded, number) for number in (x, y))
    return b'<use xlink:href="#%s" %s fill="%s"/>' % (name, place, colour)


def _rounded(number: re.Match[bytes]) -> bytes:
    return f"{float(number[0]):.1f}".removesuffix(".0").encode()


def ending_of(path: str) -> str:
    """The extension of a picture's file, in lower case.

    Raises
    ------
    FairleadError
        If it is none of `ENDINGS`.
    """
    ending = PurePath(path).suffix.lower()
    if ending not in ENDINGS:
        raise FairleadError(
            f'a picture cannot be written as "{PurePath(path).name}"',
            "use a name ending in .png, .svg or .pdf",
        )
    return ending
