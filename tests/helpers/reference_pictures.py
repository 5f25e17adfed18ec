"""Pictures kept in tests/data/pictures, and how a new one is held against them.

Nothing is lettered: letters differ from machine to machine, lines do not. `no_letters` gives every
text the same measure and paints none.
"""

from __future__ import annotations

import os
from pathlib import Path

import numpy as np
import pyqtgraph as pg
import pytest
from PySide6.QtCore import QPointF, QRectF
from PySide6.QtGui import QColor, QImage, QPainter

FOLDER = Path(__file__).parents[1] / "data" / "pictures"
RENEW = "FAIRLEAD_RENEW_PICTURES"

# Sum over red, green and blue. The palest line stands 72 above the ground.
_TOLERANCE = 40
# Qt's versions differ at some smooth edges; one line of the palest grid has hundreds of pixels.
_MOST_PIXELS = 25
_LETTER_PX, _LINE_PX = 6.0, 15.0


class FixedMetrics:
    """Stands for QFontMetricsF: the same on every machine."""

    def __init__(self, _font):
        pass

    def horizontalAdvance(self, text):
        return _LETTER_PX * len(text)

    def height(self):
        return _LINE_PX

    def lineSpacing(self):
        return _LINE_PX

    def ascent(self):
        return 12.0

    def elidedText(self, text, _mode, width):
        return text[: int(width / _LETTER_PX)]


def no_letters(monkeypatch):
    """Let plots measure with `FixedMetrics` and write nothing."""
    for name in (
        *("line_handle", "marker_flags", "smith_grid", "corner_text"),
        *("hover_marker", "plot_axes"),
    ):
        monkeypatch.setattr(f"fairlead.app.plots.{name}.QFontMetricsF", FixedMetrics)
    monkeypatch.setattr(QPainter, "drawText", lambda *_: None)
    monkeypatch.setattr(pg.LabelItem, "paint", lambda *_: None)


def check(image: QImage, name: str, scratch: Path) -> None:
    """Fail unless the picture is the one that is kept; no line may be missing, none may be new."""
    kept = FOLDER / f"{name}.png"
    if os.environ.get(RENEW):
        FOLDER.mkdir(exist_ok=True)
        assert image.convertToFormat(QImage.Format.Format_RGB888).save(str(kept), quality=0)
        pytest.skip(f"renewed {kept.name}: look at it before it is committed")
    wanted, got = pixels(QImage(str(kept))), pixels(image)
    if wanted.shape == got.shape:
        wrong = unlike(wanted, got) | unlike(got, wanted)
        if np.count_nonzero(wrong) <= _MOST_PIXELS:
            return
        what = f"{np.count_nonzero(wrong)} pixels differ"
        shown = np.where(wrong[..., np.newaxis], (255, 0, 0), got // 2 + 127).astype(np.uint8)
        height, width = wrong.shape
        row_bytes = 3 * width
        QImage(shown.tobytes(), width, height, row_bytes, QImage.Format.Format_RGB888).copy().save(
            str(scratch / f"{name}-difference.png")
        )
    else:
        what = f"its size is {got.shape[1::-1]}, not {wanted.shape[1::-1]}"
    image.save(str(scratch / f"{name}-result.png"))
    pytest.fail(f"{name}: {what}; result and difference are in {scratch}")


def pixels(image: QImage) -> np.ndarray:
    """Red, green and blue, shape (height, width, 3)."""
    image = image.convertToFormat(QImage.Format.Format_RGB888)
    rows = np.frombuffer(image.constBits(), np.uint8).reshape(image.height(), image.bytesPerLine())
    return rows[:, : 3 * image.width()].reshape(image.height(), image.width(), 3).astype(np.int16)


def unlike(picture: np.ndarray, other: np.ndarray) -> np.ndarray:
    """Pixels of a picture that the other has not, nor next to them; shape (height, width)."""
    least = np.full(picture.shape[:2], 999)
    padded = np.pad(other, ((1, 1), (1, 1), (0, 0)), mode="edge")
    height, width = least.shape
    for dy in range(3):
        for dx in range(3):
            shifted = padded[dy : dy + height, dx : dx + width]
            least = np.minimum(least, np.abs(picture - shifted).sum(axis=2))
    return least > _TOLERANCE


def with_line(image: QImage, colour: str, width: float = 1.0) -> QImage:
    """A copy with one line too many across its middle."""
    copy = QImage(image)
    painter = QPainter(copy)
    painter.setPen(QColor(colour))
    at = QPointF(copy.width() * 0.2, copy.height() * 0.45)
    painter.fillRect(QRectF(at, QPointF(copy.width() * 0.5, at.y() + width)), QColor(colour))
    painter.end()
    return copy
