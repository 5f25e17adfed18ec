"""Pictures of curves, painted for the tests: a frame, a grid, and curves that are known."""

from __future__ import annotations

import numpy as np
from circuits import SeriesCircuit
from PySide6.QtCore import QPointF
from PySide6.QtGui import QColor, QImage, QPainter, QPen, QPolygonF

from fairlead.core.reflection import swr

WIDTH, HEIGHT = 400, 300
LEFT, RIGHT, TOP, BOTTOM = 50.5, 350.5, 20.5, 260.5
LOW_HZ, HIGH_HZ = 50e6, 53e6
HIGHEST_SWR = 4.0
BLUE, RED = "#0050c0", "#d02020"


def x_of(frequency_hz):
    """Where a frequency is, in pixels."""
    return LEFT + (frequency_hz - LOW_HZ) / (HIGH_HZ - LOW_HZ) * (RIGHT - LEFT)


def y_of(ratio):
    """Where an SWR is, in pixels."""
    return BOTTOM - (ratio - 1) / (HIGHEST_SWR - 1) * (BOTTOM - TOP)


def ratio_of(frequency_hz, f0_hz=51.6e6):
    """SWR of the invented antenna that the curves show."""
    return swr(np.abs(SeriesCircuit(f0_hz, 60.0, 8.0).reflection(np.asarray(frequency_hz))))


def place_on(frequency_hz, f0_hz=51.6e6):
    """Where the curve runs at a frequency, in pixels."""
    return QPointF(x_of(frequency_hz), y_of(float(ratio_of([frequency_hz], f0_hz)[0])))


def painted(*f0_hz, colours=(BLUE, RED)):
    """A picture with a grid of three by three and one curve for each best match."""
    image = QImage(WIDTH, HEIGHT, QImage.Format.Format_RGB32)
    image.fill(QColor("white"))
    painter = QPainter(image)
    painter.setPen(QPen(QColor("#b0b0b0"), 1))
    for place in range(4):
        x, y = LEFT + place * (RIGHT - LEFT) / 3, TOP + place * (BOTTOM - TOP) / 3
        painter.drawLine(QPointF(x, TOP), QPointF(x, BOTTOM))
        painter.drawLine(QPointF(LEFT, y), QPointF(RIGHT, y))
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    frequency_hz = np.linspace(LOW_HZ, HIGH_HZ, 200)
    for best_hz, colour in zip(f0_hz, colours, strict=False):
        y = y_of(ratio_of(frequency_hz, best_hz))
        line = zip(x_of(frequency_hz).tolist(), y.tolist(), strict=True)
        painter.setPen(QPen(QColor(colour), 2))
        painter.drawPolyline(QPolygonF([QPointF(*at) for at in line]))
    painter.end()
    return image
