"""Finds icons and samples, in a checkout and in an installed wheel; icons in any colour."""

from __future__ import annotations

from functools import lru_cache
from pathlib import Path
from typing import Literal

from PySide6.QtCore import QByteArray, QRectF, Qt
from PySide6.QtGui import QIcon, QImage, QPainter, QPixmap
from PySide6.QtSvg import QSvgRenderer

PLACEHOLDER = "#808080"
"""The one colour of our icons, replaced before drawing: Qt draws ``currentColor`` black."""

_HERE = Path(__file__).resolve().parents[1]
_SAMPLE_ENDINGS = (".s1p", ".s2p", ".ts")
# Sizes that menus and buttons use, at device pixel ratios of 1 and 2.
_SIZES = (16, 20, 32, 40)


def data_folder(name: Literal["icons", "samples"]) -> Path:
    """The folder of icons or samples: in the package when installed, else beside it."""
    installed = _HERE / "data" / name
    return installed if installed.is_dir() else _HERE.parent / name


def sample_files() -> list[Path]:
    """The invented sample sweeps, by name; nothing else of that folder."""
    folder = data_folder("samples")
    if not folder.is_dir():
        return []
    return sorted(path for path in folder.iterdir() if path.suffix in _SAMPLE_ENDINGS)


def demo_bench() -> Path:
    """The invented demo bench; it may not be there."""
    return data_folder("samples") / "club.fairlead"


def icon(name: str, colour: str) -> QIcon:
    """One of our icons in a colour ("#rrggbb"); an unknown name gives an empty icon."""
    made = QIcon()
    for size in _SIZES:
        image = icon_image(name, colour, size)
        if not image.isNull():
            made.addPixmap(QPixmap.fromImage(image))
    return made


@lru_cache(maxsize=512)
def icon_image(name: str, colour: str, size: int) -> QImage:
    """One of our icons as a square image with a transparent background, in pixels; cached."""
    text = _svg_text(name)
    if not text:
        return QImage()
    renderer = QSvgRenderer(QByteArray(text.replace(PLACEHOLDER, colour).encode()))
    image = QImage(size, size, QImage.Format.Format_ARGB32_Premultiplied)
    image.fill(Qt.GlobalColor.transparent)
    painter = QPainter(image)
    renderer.render(painter, QRectF(0, 0, size, size))
    painter.end()
    return image


@lru_cache(maxsize=64)
def _svg_text(name: str) -> str:
    path = data_folder("icons") / f"{name}.svg"
    return path.read_text(encoding="utf-8") if path.is_file() else ""
