"""Plots of known sweeps painted by Qt, with where everything lies in them.

The antenna is invented: one series resonance behind no line.
"""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np
from PySide6.QtCore import QBuffer, QByteArray, QIODevice, QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QFont, QImage, QPainter, QPen, QPolygonF

LOW_HZ, HIGH_HZ = 50e6, 54e6
TOP_SWR = 5.0


def swr_of(frequency_hz, centre_hz=51.6e6, q=14.0, resistance_ohm=56.0):
    """SWR at 50 ohm of a series resonance: Z = R (1 + j Q (f/f0 - f0/f))."""
    turn = frequency_hz / centre_hz - centre_hz / frequency_hz
    z = resistance_ohm * (1 + 1j * q * turn)
    rho = np.abs((z - 50) / (z + 50))
    return (1 + rho) / (1 - rho)


@dataclass
class Look:
    """How a plot is painted."""

    width: int = 800
    height: int = 500
    colour: str = "#2060d0"
    paper: str = "#ffffff"
    ink: str = "#606060"
    thickness: float = 2.0
    dash: Qt.PenStyle = Qt.PenStyle.SolidLine
    second: str | None = "#c03020"
    legend: bool = True
    grid: bool = True
    box: tuple[float, float, float, float] = field(default=(70, 30, 770, 440))


def place(look, frequency_hz, swr):
    """Pixels of a frequency and an SWR."""
    x0, y0, x1, y1 = look.box
    x = x0 + (frequency_hz - LOW_HZ) / (HIGH_HZ - LOW_HZ) * (x1 - x0)
    return x, y1 - (swr - 1) / (TOP_SWR - 1) * (y1 - y0)


def painted(look=None, swr=swr_of, other=None):
    """The plot as uint8 array, shape (h, w, 3)."""
    look = look or Look()
    image = QImage(look.width, look.height, QImage.Format.Format_RGB888)
    image.fill(QColor(look.paper))
    painter = QPainter(image)
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    x0, y0, x1, y1 = look.box
    painter.setPen(QPen(QColor(look.ink), 1))
    if look.grid:
        for hz in np.arange(50e6, 54.1e6, 1e6):
            x = place(look, hz, 1)[0]
            painter.drawLine(QPointF(x, y0), QPointF(x, y1))
        for value in range(1, 6):
            y = place(look, LOW_HZ, value)[1]
            painter.drawLine(QPointF(x0, y), QPointF(x1, y))
    painter.drawRect(QRectF(x0, y0, x1 - x0, y1 - y0))
    painter.setFont(QFont("sans-serif", 9))
    for hz in np.arange(50e6, 54.1e6, 1e6):
        painter.drawText(QPointF(place(look, hz, 1)[0] - 8, y1 + 18), f"{hz / 1e6:.0f}")
    painter.setClipRect(QRectF(x0, y0, x1 - x0, y1 - y0))
    hz = np.linspace(LOW_HZ, HIGH_HZ, 600)
    curves = [(look.second, other or (lambda f: swr_of(f, 52.4e6, 10.0, 66.0)))]
    curves = [one for one in curves if one[0] is not None] + [(look.colour, swr)]
    for colour, of in curves:
        pen = QPen(QColor(colour), look.thickness)
        pen.setStyle(look.dash if colour == look.colour and of is swr else Qt.PenStyle.SolidLine)
        painter.setPen(pen)
        points = [QPointF(*place(look, f, s)) for f, s in zip(hz, of(hz), strict=True)]
        painter.drawPolyline(QPolygonF(points))
    if look.legend:
        painter.setPen(QPen(QColor(look.colour), look.thickness))
        painter.drawLine(QPointF(x1 - 120, y0 + 20), QPointF(x1 - 90, y0 + 20))
        painter.setPen(QPen(QColor(look.ink), 1))
        painter.drawText(QPointF(x1 - 80, y0 + 24), "dipole")
    painter.end()
    rows = np.frombuffer(image.constBits(), np.uint8).reshape(look.height, -1)
    return rows[:, : 3 * look.width].reshape(look.height, look.width, 3).copy()


def as_file(pixels, form="PNG", quality=-1):
    """The bytes of a picture's file."""
    height, width = pixels.shape[:2]
    data = np.ascontiguousarray(pixels, np.uint8)
    image = QImage(data.data, width, height, 3 * width, QImage.Format.Format_RGB888)
    target = QByteArray()
    buffer = QBuffer(target)
    buffer.open(QIODevice.OpenModeFlag.WriteOnly)
    assert image.save(buffer, form, quality)
    return bytes(target.data())


def marks(look=None):
    """Six places of known frequency and SWR: (x, y, Hz, SWR)."""
    look = look or Look()
    known = [(hz, swr) for hz in (50e6, 52e6, 54e6) for swr in (1.0, 4.0)]
    return [(*place(look, hz, swr), hz, swr) for hz, swr in known]


def axes_document(look=None, sigma_px=0.2, at_hz=50.6e6, swr=swr_of):
    """The axes file of such a plot."""
    look = look or Look()
    points = marks(look)
    return {
        "frequency": {
            "points": [{"x": x, "y": y, "hz": hz, "sigma_px": sigma_px} for x, y, hz, _ in points]
        },
        "values": [
            {
                "kind": "swr",
                "points": [
                    {"x": x, "y": y, "value": s, "sigma_px": sigma_px} for x, y, _, s in points
                ],
            }
        ],
        "curves": [{"name": "", "clicks": [list(place(look, at_hz, float(swr(at_hz))))]}],
    }
