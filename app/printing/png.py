"""A bitmap as a PNG file (ISO/IEC 15948, W3C "Portable Network Graphics", third edition).

Qt's own writer tries five filters on every line of pixels, as photographs need; without filters
flat areas and lines are no larger, in half the time.
"""

from __future__ import annotations

import struct
import zlib
from typing import TYPE_CHECKING

import numpy as np
from PySide6.QtGui import QImage

from fairlead.core.errors import FairleadError

if TYPE_CHECKING:
    from collections.abc import Mapping

_SIGNATURE = b"\x89PNG\r\n\x1a\n"
_BITS = 8
_GREY, _TRUE_COLOUR, _WITH_ALPHA = 0, 2, 6
_METRES = 1
_FAST = 1


def png_of(image: QImage, words: Mapping[str, str]) -> bytes:
    """The whole file.

    Parameters
    ----------
    image : QImage
        Its resolution is written to the file. A grey image is written in greys, one with
        transparency in colours with it, any other in colours.
    words : mapping of str to str
        Text under keywords of at most 79 ASCII letters and blanks.

    Raises
    ------
    FairleadError
        If there is not enough memory.
    """
    is_grey = image.format() == QImage.Format.Format_Grayscale8
    has_alpha = image.hasAlphaChannel()
    if not is_grey:
        formats = QImage.Format
        image = image.convertToFormat(
            formats.Format_RGBA8888 if has_alpha else formats.Format_RGB888
        )
    if image.isNull():
        raise FairleadError("no memory for the file of the picture", "choose fewer dpi")
    size = struct.pack(">II", image.width(), image.height())
    colour = _GREY if is_grey else _WITH_ALPHA if has_alpha else _TRUE_COLOUR
    dots = struct.pack(">IIB", image.dotsPerMeterX(), image.dotsPerMeterY(), _METRES)
    return b"".join(
        (
            _SIGNATURE,
            # No other compression, filter method or interlacing than the usual ones.
            _chunk(b"IHDR", size + bytes((_BITS, colour, 0, 0, 0))),
            _chunk(b"pHYs", dots),
            *(_chunk(b"iTXt", _text(*item)) for item in words.items()),
            _chunk(b"IDAT", zlib.compress(_lines(image), _FAST)),
            _chunk(b"IEND", b""),
        )
    )


def _lines(image: QImage) -> memoryview:
    """Lines of pixels, each preceded by a byte for its filter: 0, none."""
    used = image.width() * image.depth() // _BITS
    # Qt pads lines to a multiple of four bytes.
    pixels = np.frombuffer(image.constBits(), dtype=np.uint8)
    lines = np.zeros((image.height(), used + 1), dtype=np.uint8)
    lines[:, 1:] = pixels.reshape(image.height(), image.bytesPerLine())[:, :used]
    return lines.data


def _text(keyword: str, text: str) -> bytes:
    """International text: not compressed, in no stated language."""
    return keyword.encode("ascii") + b"\0\0\0\0\0" + text.replace("\0", "").encode()


def _chunk(kind: bytes, data: bytes) -> bytes:
    checked = kind + data
    return struct.pack(">I", len(data)) + checked + struct.pack(">I", zlib.crc32(checked))
