"""Paints what is marked and found over the picture; legible on any picture, light or dark."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QPainter, QPen, QPolygonF, QTransform

from fairlead.app.panels.tracing.grips import grips
from fairlead.core.units import format_mhz

if TYPE_CHECKING:
    from collections.abc import Sequence

    from fairlead.app.look.palette import Theme
    from fairlead.app.panels.tracing.draft import Draft, KnownPoint
    from fairlead.app.panels.tracing.grips import Grip, Tool
    from fairlead.app.panels.tracing.lifted import Lifted
    from fairlead.app.panels.tracing.looking import Looking
    from fairlead.core.picture_trace.raster import Rectangle

_ARM_PX = 7.0
_CASING = QColor(255, 255, 255, 220)
_BAND_ALPHA = 70
_LIFTED = QColor("#c400c4")
"""Magenta: no theme's curve has it, and few plots do."""


@dataclass(frozen=True, slots=True)
class Marks:
    """What there is to paint.

    Attributes
    ----------
    draft : Draft
    tool : Tool
    curve : int
        The curve that is worked on.
    active : Grip or None
    lifted : sequence of (Lifted or None)
        One for each curve.
    stretch : (QPointF, QPointF) or None
        Opposite corners of a rectangle that is being drawn.
    """

    draft: Draft
    tool: Tool = "known"
    curve: int = 0
    active: Grip | None = None
    lifted: Sequence[Lifted | None] = ()
    stretch: tuple[QPointF, QPointF] | None = None


def paint_marks(painter: QPainter, looking: Looking, marks: Marks, theme: Theme) -> None:
    """Paint them over a picture as it is looked at."""
    painter.save()
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    for index, found in enumerate(marks.lifted):
        if found is not None:
            _paint_lifted(painter, looking, found, is_chosen=index == marks.curve)
    _paint_areas(painter, looking, marks, theme)
    if marks.draft.corners is not None:
        corners = [looking.spot(QPointF(*at)) for at in marks.draft.corners]
        _paint_outline(painter, QPolygonF([*corners, corners[0]]), QColor(theme.accent))
    if marks.tool != "known":
        for one in marks.draft.known:
            _paint_cross(painter, looking.spot(QPointF(one.x, one.y)), QColor(theme.accent), 0.6)
    for grip, at in grips(marks.draft, marks.tool, marks.curve):
        is_active = grip == marks.active
        spot = looking.spot(QPointF(*at))
        _paint_cross(painter, spot, QColor(theme.limit if is_active else theme.accent), 1.0)
        if is_active:
            painter.setPen(QPen(QColor(theme.limit), 2))
            painter.drawEllipse(spot, 1.6 * _ARM_PX, 1.6 * _ARM_PX)
        if grip.kind == "known":
            _paint_words(painter, spot, known_words(marks.draft.known[grip.index]), theme)
    painter.restore()


def known_words(point: KnownPoint) -> str:
    """What is known of a point, as text."""
    words = []
    if point.frequency_hz is not None:
        mhz = format_mhz(point.frequency_hz, 6).rstrip("0").rstrip(".")
        words.append(f"{mhz} MHz")
    if point.value is not None:
        words.append(f"{VALUE_WORDS[point.kind]} {point.value:.6g}{UNITS[point.kind]}")
    return ", ".join(words) or "not typed yet"


VALUE_WORDS = {
    "swr": "SWR",
    "return_loss_db": "return loss",
    "magnitude": "|G|",
    "phase_deg": "phase",
    "resistance_ohm": "R",
    "reactance_ohm": "X",
}
"""The quantities of a value axis, as short as they are said."""
UNITS = {
    "swr": "",
    "return_loss_db": " dB",
    "magnitude": "",
    "phase_deg": "°",
    "resistance_ohm": " Ω",
    "reactance_ohm": " Ω",
}


def _paint_lifted(painter: QPainter, looking: Looking, found: Lifted, *, is_chosen: bool) -> None:
    painter.save()
    origin = looking.spot(QPointF(0, 0))
    painter.setTransform(
        QTransform.fromTranslate(origin.x(), origin.y()).scale(looking.scale, looking.scale), True
    )
    fill = QColor(_LIFTED)
    fill.setAlpha(_BAND_ALPHA)
    painter.setPen(Qt.PenStyle.NoPen)
    painter.setBrush(fill)
    for band in found.bands:
        painter.drawPolygon(band)
    painter.setBrush(Qt.BrushStyle.NoBrush)
    for colour, width in ((_CASING, 3.0), (_LIFTED, 1.5 if is_chosen else 1.0)):
        pen = QPen(colour, width)
        pen.setCosmetic(True)
        painter.setPen(pen)
        for line in found.lines:
            painter.drawPolyline(line)
    painter.restore()


def _paint_areas(painter: QPainter, looking: Looking, marks: Marks, theme: Theme) -> None:
    draft = marks.draft
    if draft.region is not None:
        _paint_outline(painter, _box(looking, draft.region), QColor(theme.muted))
    if 0 <= marks.curve < len(draft.curves):
        hatch = QColor(theme.limit)
        for box in draft.curves[marks.curve].erased:
            polygon = _box(looking, box)
            painter.fillRect(polygon.boundingRect(), _brush(hatch))
            _paint_outline(painter, polygon, hatch)
    if marks.stretch is not None:
        one, other = (looking.spot(place) for place in marks.stretch)
        stretched = QPolygonF(QRectF(one, other).normalized())
        _paint_outline(painter, stretched, QColor(theme.limit))


def _brush(colour: QColor) -> QColor:
    faint = QColor(colour)
    faint.setAlpha(40)
    return faint


def _box(looking: Looking, box: Rectangle) -> QPolygonF:
    one, other = looking.spot(QPointF(*box[:2])), looking.spot(QPointF(*box[2:]))
    return QPolygonF(QRectF(one, other))


def _paint_outline(painter: QPainter, polygon: QPolygonF, colour: QColor) -> None:
    for pen in (QPen(_CASING, 3), QPen(colour, 1.4, Qt.PenStyle.DashLine)):
        painter.setPen(pen)
        painter.drawPolyline(polygon)


def _paint_cross(painter: QPainter, spot: QPointF, colour: QColor, size: float) -> None:
    """A cross with an open middle, so that what it stands on is seen."""
    for pen in (QPen(_CASING, 4), QPen(colour, 2)):
        painter.setPen(pen)
        for x, y in ((1, 0), (-1, 0), (0, 1), (0, -1)):
            way = QPointF(x, y)
            painter.drawLine(spot + way * 2.0, spot + way * _ARM_PX * size)


def _paint_words(painter: QPainter, spot: QPointF, words: str, theme: Theme) -> None:
    metrics = painter.fontMetrics()
    box = QRectF(0, 0, metrics.horizontalAdvance(words) + 8, metrics.height() + 2)
    box.moveTopLeft(spot + QPointF(_ARM_PX + 2, _ARM_PX))
    base = QColor(theme.base)
    base.setAlpha(215)
    painter.fillRect(box, base)
    painter.setPen(QColor(theme.text))
    painter.drawText(box, Qt.AlignmentFlag.AlignCenter, words)
