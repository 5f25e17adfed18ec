"""Paints a laid-out picture: one painter for PNG, SVG, PDF and the clipboard; decides nothing."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import (
    QBrush,
    QColor,
    QFont,
    QPainter,
    QPainterPath,
    QPen,
    QPolygonF,
    QTextLayout,
)

from fairlead.app.drawing.marks import CORNERS, STROKES
from fairlead.app.printing.fonts import UNITS_PER_MM, make_font
from fairlead.app.printing.shapes import (
    Area,
    Box,
    CircleArc,
    Clipped,
    Fill,
    Line,
    Mark,
    Pen,
    StraightLine,
    Text,
)

if TYPE_CHECKING:
    from collections.abc import Iterable

    from fairlead.app.printing.shapes import Shape, Sheet

_WHITE = "#ffffff"
_MARK_LINE_MM = 0.28
_CROSS_LINE_MM = 0.45
_HALO_MM = 0.25


def paint_picture(
    painter: QPainter,
    picture: Sheet,
    families: tuple[str, ...],
    *,
    outline_text: bool = False,
    paper: str = _WHITE,
    is_transparent: bool = False,
) -> None:
    """Paint the whole picture.

    Parameters
    ----------
    painter : QPainter
        Active; its unit is 1 / `UNITS_PER_MM` mm.
    picture : Sheet
    families : tuple of str
        Font families to request, the same as for the layout.
    outline_text : bool
        Letters as outlines, for files that do not carry their fonts.
    paper : str
        Colour of the page, and inside hollow markers.
    is_transparent : bool
        The page is left as it is; hollow markers are filled all the same, or they would not hide
        the curve.
    """
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    painter.setRenderHint(QPainter.RenderHint.TextAntialiasing)
    page = Box(0, 0, picture.width_mm, picture.height_mm)
    if not is_transparent:
        painter.fillRect(_rect(page), QColor(paper))
    brush = _ShapePainter(painter, families, outline_text=outline_text, paper=paper)
    for shape in picture.shapes:
        brush.paint(shape)


class _ShapePainter:
    def __init__(
        self,
        painter: QPainter,
        families: tuple[str, ...],
        *,
        outline_text: bool,
        paper: str = _WHITE,
    ) -> None:
        self._painter = painter
        self._paper = paper
        self._outline_text = outline_text
        self._families = families
        self._fonts: dict[tuple[float, bool], QFont] = {}

    def paint(self, shape: Shape) -> None:
        match shape:
            case Line():
                self._use(shape.pen)
                self._painter.drawPolyline(_polygon(shape.points.tolist()))
            case StraightLine():
                self._use(shape.pen)
                self._painter.drawLine(_point(shape.x1, shape.y1), _point(shape.x2, shape.y2))
            case Fill():
                self._painter.fillRect(_rect(shape.box), QColor(shape.colour))
            case Area():
                self._painter.setPen(Qt.PenStyle.NoPen)
                colour = QColor(shape.colour)
                colour.setAlphaF(shape.opacity)
                self._painter.setBrush(QBrush(colour))
                self._painter.drawPolygon(_polygon(shape.points.tolist()))
            case CircleArc():
                self._use(shape.pen)
                self._painter.drawPath(_arc_path(shape))
            case Mark():
                self._mark(shape)
            case Text():
                self._text(shape)
            case Clipped():
                self._painter.save()
                self._painter.setClipRect(_rect(shape.box))
                for inner in shape.shapes:
                    self.paint(inner)
                self._painter.restore()

    def _use(self, pen: Pen, brush: str | None = None) -> None:
        made = QPen(QColor(pen.colour), pen.width_mm * UNITS_PER_MM)
        # Flat caps keep dashes at their true length.
        made.setCapStyle(Qt.PenCapStyle.FlatCap)
        made.setJoinStyle(Qt.PenJoinStyle.RoundJoin)
        if pen.dash_mm:
            made.setDashPattern([part / pen.width_mm for part in pen.dash_mm])
        self._painter.setPen(made)
        self._painter.setBrush(
            QBrush(Qt.BrushStyle.NoBrush) if brush is None else QBrush(QColor(brush))
        )

    def _mark(self, mark: Mark) -> None:
        half = mark.size_mm / 2
        inside = self._paper if mark.is_hollow else mark.colour
        if mark.shape in STROKES:
            if mark.is_hollow:
                self._use(Pen(mark.colour, _MARK_LINE_MM), self._paper)
                self._circle(mark, 1.15 * half)
            width_mm = _MARK_LINE_MM if mark.is_hollow else _CROSS_LINE_MM
            self._use(Pen(mark.colour, width_mm))
            for first, second in STROKES[mark.shape]:
                self._painter.drawLine(_around(mark, half, first), _around(mark, half, second))
            return
        self._use(Pen(mark.colour, _MARK_LINE_MM), inside)
        if mark.shape == "circle":
            self._circle(mark, half)
        else:
            corners = [_around(mark, half, corner) for corner in CORNERS[mark.shape]]
            self._painter.drawPolygon(QPolygonF(corners))

    def _circle(self, mark: Mark, radius_mm: float) -> None:
        radius = radius_mm * UNITS_PER_MM
        self._painter.drawEllipse(_point(mark.x, mark.y), radius, radius)

    def _text(self, text: Text) -> None:
        if text.halo:
            self._painter.fillRect(_rect(text.box.grown(_HALO_MM)), QColor(self._paper))
        key = (text.size_pt, text.is_bold)
        if key not in self._fonts:
            self._fonts[key] = make_font(
                text.size_pt, is_bold=text.is_bold, families=self._families
            )
        font = self._fonts[key]
        self._painter.setPen(QColor(text.colour))
        if not text.is_upright:
            self._letters(_point(text.x, text.y), font, text)
            return
        self._painter.save()
        self._painter.translate(_point(text.x, text.y))
        self._painter.rotate(-90)
        self._letters(QPointF(0, 0), font, text)
        self._painter.restore()

    def _letters(self, at: QPointF, font: QFont, text: Text) -> None:
        if not self._outline_text:
            self._painter.setFont(font)
            self._painter.drawText(at, text.text)
            return
        layout = QTextLayout(text.text, font)
        layout.beginLayout()
        line = layout.createLine()
        layout.endLayout()
        baseline = QPointF(0, -line.ascent())
        for run in layout.glyphRuns():
            raw = run.rawFont()
            for index, place in zip(run.glyphIndexes(), run.positions(), strict=True):
                outline = raw.pathForGlyph(index)
                outline.setFillRule(Qt.FillRule.WindingFill)
                self._painter.save()
                self._painter.translate(at + place + baseline)
                self._painter.fillPath(outline, QBrush(QColor(text.colour)))
                self._painter.restore()


def _point(x: float, y: float) -> QPointF:
    return QPointF(x * UNITS_PER_MM, y * UNITS_PER_MM)


def _polygon(points: Iterable[tuple[float, float]]) -> QPolygonF:
    return QPolygonF([_point(x, y) for x, y in points])


def _around(mark: Mark, half: float, offset: tuple[float, float]) -> QPointF:
    return _point(mark.x + half * offset[0], mark.y + half * offset[1])


def _rect(box: Box) -> QRectF:
    return QRectF(_point(box.left, box.top), _point(box.right, box.bottom))


def _arc_path(arc: CircleArc) -> QPainterPath:
    square = _rect(
        Box(
            arc.x - arc.radius_mm,
            arc.y - arc.radius_mm,
            arc.x + arc.radius_mm,
            arc.y + arc.radius_mm,
        )
    )
    path = QPainterPath()
    path.arcMoveTo(square, arc.start_deg)
    path.arcTo(square, arc.start_deg, arc.span_deg)
    return path
