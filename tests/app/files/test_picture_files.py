"""Pictures are decoded upright and within bounds; what cannot be is refused in one line."""

from __future__ import annotations

import hashlib
import struct
import zlib

import numpy as np
import pytest
from PySide6.QtCore import QBuffer, QByteArray, QIODevice
from PySide6.QtGui import QColor, QImage

from fairlead.app.files import picture_files
from fairlead.app.files.picture_files import decode_picture, read_picture
from fairlead.core.errors import ReadError


def encoded(form, quality=90, width=40, height=30, *, with_alpha=False):
    kind = QImage.Format.Format_ARGB32 if with_alpha else QImage.Format.Format_RGB32
    image = QImage(width, height, kind)
    image.fill(QColor(0, 0, 0, 0) if with_alpha else QColor(10, 20, 200))
    image.setPixelColor(3, 5, QColor(250, 240, 0))
    target = QByteArray()
    buffer = QBuffer(target)
    buffer.open(QIODevice.OpenModeFlag.WriteOnly)
    assert image.save(buffer, form, quality)
    return bytes(target.data())


def png_header(width, height):
    """A PNG of one chunk of data that says it is so large."""

    def chunk(name, data):
        return (
            struct.pack(">I", len(data)) + name + data + struct.pack(">I", zlib.crc32(name + data))
        )

    head = struct.pack(">IIBBBBB", width, height, 8, 2, 0, 0, 0)
    packed = chunk(b"IDAT", zlib.compress(b"\0" * 100))
    return b"\x89PNG\r\n\x1a\n" + chunk(b"IHDR", head) + packed + chunk(b"IEND", b"")


@pytest.mark.parametrize("form", ["PNG", "BMP"])
def test_pixels_are_those_of_the_file(form):
    data = encoded(form)
    found = decode_picture(data, "folder/plot")
    assert found.pixels.shape == (30, 40, 3)
    assert found.pixels[5, 3].tolist() == [250, 240, 0]
    assert found.pixels[0, 0].tolist() == [10, 20, 200]
    assert found.sha256 == hashlib.sha256(data).hexdigest()
    assert found.name == "plot"
    assert found.media_type == "image/png"
    assert (found.data == data) == (form == "PNG")


def test_jpeg_and_webp_are_kept_as_they_are():
    for form, media_type in (("JPEG", "image/jpeg"), ("WEBP", "image/webp")):
        data = encoded(form)
        found = decode_picture(data, "a")
        assert (found.data, found.media_type) == (data, media_type)


def test_what_is_transparent_is_on_white():
    assert decode_picture(encoded("PNG", with_alpha=True), "a").pixels[0, 0].tolist() == [255] * 3


def test_a_picture_turned_by_its_metadata_stands_upright_and_is_kept_so():
    data = encoded("JPEG")
    exif = b"Exif\0\0MM\0*\0\0\0\x08\0\x01\x01\x12\0\x03\0\0\0\x01\0\x06\0\0\0\0\0\0"
    turned = data[:2] + b"\xff\xe1" + struct.pack(">H", len(exif) + 2) + exif + data[2:]
    found = decode_picture(turned, "a.jpg")
    assert found.pixels.shape == (40, 30, 3)
    assert found.sha256 == hashlib.sha256(turned).hexdigest()
    again = decode_picture(found.data, "a.jpg")
    assert np.array_equal(again.pixels, found.pixels)


@pytest.mark.parametrize(
    ("data", "words"),
    [
        (b"", "not a picture"),
        (b"# MHz S MA R 50\n50 0.1 0\n", "not a picture"),
        (b"%PDF-1.7\n", "a PDF, which is not read here"),
        (b"<svg xmlns='http://www.w3.org/2000/svg'/>", "not a picture"),
        (encoded("PNG")[:-30], "damaged or cut off"),
        (encoded("JPEG")[:-30], "damaged or cut off"),
        (encoded("WEBP")[:-8], "damaged or cut off"),
        (encoded("BMP")[:-300], "damaged or cut off"),
        (png_header(8000, 8000), "8000 x 8000 pixels are more than 50 megapixels"),
        (png_header(900_000, 900_000), "more than 50 megapixels"),
        (png_header(300, 200), "damaged or cut off"),
    ],
)
def test_what_cannot_be_decoded_is_refused_in_one_line(data, words):
    with pytest.raises(ReadError, match=words) as caught:
        decode_picture(data, "a.png")
    assert "\n" not in str(caught.value)


def test_a_large_picture_is_recompressed_within_the_limit(monkeypatch):
    data = encoded("PNG", width=300, height=200)
    monkeypatch.setattr(picture_files, "MOST_KEPT_BYTES", len(data) - 1)
    rng = np.random.default_rng(1)
    noise = QImage(rng.integers(0, 255, 60 * 80 * 3, np.uint8).tobytes(), 80, 60, 240,
                   QImage.Format.Format_RGB888)  # fmt: skip
    target = QByteArray()
    buffer = QBuffer(target)
    buffer.open(QIODevice.OpenModeFlag.WriteOnly)
    noise.save(buffer, "PNG")
    monkeypatch.setattr(picture_files, "MOST_KEPT_BYTES", 4000)
    found = decode_picture(bytes(target.data()), "noise.png")
    assert len(found.data) <= 4000
    assert found.media_type == "image/jpeg"
    assert np.array_equal(decode_picture(found.data, "a").pixels, found.pixels)
    monkeypatch.setattr(picture_files, "MOST_KEPT_BYTES", 100)
    with pytest.raises(ReadError, match="too large to keep"):
        decode_picture(bytes(target.data()), "noise.png")


def test_a_file_is_read_and_a_missing_one_told(tmp_path):
    path = tmp_path / "plot.png"
    path.write_bytes(encoded("PNG"))
    assert read_picture(path).name == "plot.png"
    with pytest.raises(ReadError, match=r"none\.png"):
        read_picture(tmp_path / "none.png")
