"""PNG files as ISO/IEC 15948 (W3C, "PNG Specification") has them, read back by Qt's own reader."""

from __future__ import annotations

import struct
import zlib

import pytest
from PySide6.QtGui import QColor, QImage

from fairlead.app.printing.png import png_of


def chunks(data):
    assert data[:8] == bytes((137, 80, 78, 71, 13, 10, 26, 10))  # 5.2, PNG signature
    at = 8
    while at < len(data):
        (size,) = struct.unpack(">I", data[at : at + 4])
        kind, body = data[at + 4 : at + 8], data[at + 8 : at + 8 + size]
        (check,) = struct.unpack(">I", data[at + 8 + size : at + 12 + size])
        assert check == zlib.crc32(kind + body)
        yield kind.decode(), body
        at += 12 + size


@pytest.mark.parametrize("width", [1, 2, 3, 5])
@pytest.mark.parametrize(
    "format_", [QImage.Format.Format_RGB32, QImage.Format.Format_Grayscale8], ids=["rgb", "grey"]
)
def test_every_pixel_comes_back_whatever_the_length_of_a_line(width, format_):
    image = QImage(width, 3, format_)
    for x in range(width):
        for y in range(3):
            image.setPixelColor(x, y, QColor(40 * x, 255 - 60 * y, 10 * x * y))
    image.setDotsPerMeterX(11811)
    image.setDotsPerMeterY(5906)
    data = png_of(image, {"Title": "Ω", "Software": "two\nlines\0"})
    back = QImage.fromData(data, "png")
    assert (back.width(), back.height()) == (width, 3)
    assert (back.dotsPerMeterX(), back.dotsPerMeterY()) == (11811, 5906)
    assert (back.text("Title"), back.text("Software")) == ("Ω", "two\nlines")
    assert back.isGrayscale() or format_ == QImage.Format.Format_RGB32
    assert all(
        back.pixelColor(x, y) == image.pixelColor(x, y) for x in range(width) for y in range(3)
    )


def test_the_parts_stand_in_the_order_of_the_standard():
    image = QImage(4, 2, QImage.Format.Format_RGB32)
    image.fill(QColor("#0072b2"))
    found = list(chunks(png_of(image, {"Title": "t"})))
    assert [kind for kind, _ in found] == ["IHDR", "pHYs", "iTXt", "IDAT", "IEND"]
    # 11.2.2: width, height, bit depth 8, colour type 2 (truecolour), the only methods there are.
    assert found[0][1] == struct.pack(">IIBBBBB", 4, 2, 8, 2, 0, 0, 0)
    # 9.2: filter type 0 before each line.
    assert zlib.decompress(found[3][1]) == 2 * (b"\0" + 4 * bytes.fromhex("0072b2"))
