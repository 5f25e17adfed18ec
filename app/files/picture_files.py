"""Pictures of sweeps: decoded by Qt within bounds, and recompressed for the bench.

A picture comes from anywhere, so its size is checked before it is decoded, by its header, and what
is cut off or of another type is refused: in one line each.
"""

from __future__ import annotations

import hashlib
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, cast

import numpy as np
from PySide6.QtCore import QBuffer, QByteArray, QIODevice, Qt
from PySide6.QtGui import QImage, QImageReader, QPainter

from fairlead.core.errors import ReadError
from fairlead.core.file_bytes import file_bytes

if TYPE_CHECKING:
    import os

    from fairlead.core.document.session import MediaType
    from fairlead.core.picture_trace.straighten import Picture

LARGEST_BYTES = 64 * 1024 * 1024
MOST_PIXELS = 50_000_000
MOST_KEPT_BYTES = 8 * 1024 * 1024
"""A bench keeps a picture as it is up to this size, and recompresses a larger one."""

_ALLOCATION_MB = 400
_MOST_SCANS = 300
_QUALITIES = (90, 75, 60, 45, 30)
_TYPES: dict[str, MediaType] = {
    "png": "image/png",
    "jpeg": "image/jpeg",
    "webp": "image/webp",
    "bmp": "image/png",
}
_KINDS = "PNG, JPEG, WebP and BMP can be traced"


@dataclass(frozen=True, slots=True, eq=False)
class DecodedPicture:
    """A picture, upright.

    Attributes
    ----------
    pixels : uint8 array, shape (h, w, 3)
        RGB; what is transparent is on white.
    sha256 : str
        Of the file that was opened.
    name : str
        Of that file, without its folder.
    data : bytes
        A file with these pixels (of a lossy type: about these).
    media_type : {"image/png", "image/jpeg", "image/webp"}
        Of ``data``.
    """

    pixels: Picture
    sha256: str
    name: str
    data: bytes
    media_type: MediaType


def read_picture(path: str | os.PathLike[str]) -> DecodedPicture:
    """Read and decode a picture's file.

    Raises
    ------
    ReadError
        One line: it cannot be opened, or see `decode_picture`.
    """
    file = str(path)
    too_large = ReadError(
        file, f"larger than {LARGEST_BYTES // 1024 // 1024} MiB", "crop it to the plot"
    )
    return decode_picture(file_bytes(file, "save it as a file", too_large, LARGEST_BYTES), file)


def decode_picture(data: bytes, file: str) -> DecodedPicture:
    """Decode the bytes of a picture's file.

    Parameters
    ----------
    data : bytes
    file : str
        Its path or name, for messages.

    Raises
    ------
    ReadError
        One line: another type, damaged or cut off, or larger than 50 megapixels.
    """
    source = QByteArray(data)
    buffer = QBuffer(source)
    buffer.open(QIODevice.OpenModeFlag.ReadOnly)
    QImageReader.setAllocationLimit(_ALLOCATION_MB)
    reader = QImageReader(buffer)
    reader.setDecideFormatFromContent(True)
    reader.setAutoTransform(True)
    kind = bytes(reader.format().data()).decode("ascii", "replace").replace("jpg", "jpeg")
    if kind not in _TYPES or not reader.canRead():
        what = "a PDF, which is not read here" if data.startswith(b"%PDF") else "not a picture"
        raise ReadError(file, what, f"{_KINDS}; save the page or the plot as one of them")
    size = reader.size()
    if size.width() * size.height() > MOST_PIXELS:
        raise ReadError(
            file,
            f"{size.width()} x {size.height()} pixels are more than "
            f"{MOST_PIXELS // 1_000_000} megapixels",
            "crop it to the plot, or scale it down",
        )
    damaged = ReadError(file, "the picture is damaged or cut off", "save or copy it again")
    if _is_cut_off(data, kind):
        raise damaged
    image = reader.read()
    if image.isNull():
        raise damaged
    is_turned = reader.transformation().value != 0
    name = file.replace("\\", "/").rsplit("/", 1)[-1]
    found = DecodedPicture(
        _pixels(image), hashlib.sha256(data).hexdigest(), name, data, _TYPES[kind]
    )
    if kind == "bmp" or is_turned or len(data) > MOST_KEPT_BYTES:
        return _recompressed(found, file, is_lossy=kind == "jpeg")
    return found


def _recompressed(picture: DecodedPicture, file: str, *, is_lossy: bool) -> DecodedPicture:
    """The same as an upright file within the limit; its pixels are those that come out again."""
    height, width = picture.pixels.shape[:2]
    image = QImage(picture.pixels.data, width, height, 3 * width, QImage.Format.Format_RGB888)
    tries = [("JPEG", quality) for quality in _QUALITIES]
    for form, quality in tries if is_lossy else [("PNG", 50), *tries]:
        data = _written(image, form, quality)
        if len(data) <= MOST_KEPT_BYTES:
            again = QImage.fromData(data)
            media_type = cast("MediaType", f"image/{form.lower()}")
            return replace(picture, pixels=_pixels(again), data=data, media_type=media_type)
    raise ReadError(file, "the picture is too large to keep", "crop it to the plot")


def _written(image: QImage, form: str, quality: int) -> bytes:
    target = QByteArray()
    buffer = QBuffer(target)
    buffer.open(QIODevice.OpenModeFlag.WriteOnly)
    image.save(buffer, form, quality)  # type: ignore[call-overload]
    return bytes(target.data())


def _pixels(image: QImage) -> Picture:
    if image.hasAlphaChannel():
        paper = QImage(image.size(), QImage.Format.Format_RGB32)
        paper.fill(Qt.GlobalColor.white)
        painter = QPainter(paper)
        painter.drawImage(0, 0, image)
        painter.end()
        image = paper
    image = image.convertToFormat(QImage.Format.Format_RGB888)
    rows = np.frombuffer(image.constBits(), dtype=np.uint8).reshape(image.height(), -1)
    return rows[:, : 3 * image.width()].reshape(image.height(), image.width(), 3).copy()


def _is_cut_off(data: bytes, kind: str) -> bool:
    """Whether the end is missing, which decoders fill with grey without saying so."""
    if kind == "jpeg":
        # So many scans only take time.
        return data.rfind(b"\xff\xd9") < 2 or data.count(b"\xff\xda") > _MOST_SCANS
    if kind == "png":
        return b"IEND" not in data[-64:] and b"IEND" not in data
    if kind == "webp":
        return int.from_bytes(data[4:8], "little") + 8 > len(data)
    return int.from_bytes(data[2:6], "little") > len(data)
