"""How lines of the plots are drawn: widths, dashes that line up, paler shades of a colour."""

from __future__ import annotations

from functools import lru_cache
from typing import TYPE_CHECKING

from PySide6.QtCore import Qt
from PySide6.QtGui import QColor, QPen

from fairlead.app.look.palette import DASHES

if TYPE_CHECKING:
    from fairlead.app.look.palette import Theme
    from fairlead.core.document.entry import Style

# Dashes are given in line widths; this is the width they refer to, so that a thin and a thick
# stroke of one curve are broken at the same points.
_DASH_UNIT = 2.0


@lru_cache(maxsize=512)
def mix(colour: str, background: str, share: float) -> QColor:
    """``share`` of a colour, the rest background: paler, yet opaque where strokes overlap."""
    front, back = QColor(colour), QColor(background)
    return QColor(
        *(
            round(share * a + (1 - share) * b)
            for a, b in zip(front.getRgb()[:3], back.getRgb()[:3], strict=True)  # type: ignore[index]  # PySide6 says object, it is a tuple
        )
    )


def curve_colour(theme: Theme, style: Style, share: float = 1.0) -> QColor:
    """The colour of a sweep in a theme; a smaller share is paler."""
    return mix(theme.curves[style.colour % len(theme.curves)], theme.base, share)


def curve_pen(colour: QColor, width: float, style: Style, *, is_hasty: bool = False) -> QPen:
    """The pen of a sweep's curve; dashes have the same length at every width.

    A hasty one is a pixel wide, which is drawn ten times as fast as anything wider.
    """
    if is_hasty:
        width = 1.0
    pen = QPen(colour, width)
    pen.setCosmetic(is_hasty)
    pen.setJoinStyle(Qt.PenJoinStyle.RoundJoin)
    dash = DASHES[style.dash % len(DASHES)]
    if dash:
        pen.setCapStyle(Qt.PenCapStyle.FlatCap)
        pen.setDashPattern([part * _DASH_UNIT / width for part in dash])
    else:
        pen.setCapStyle(Qt.PenCapStyle.RoundCap)
    return pen


def thin_pen(colour: str | QColor, width: float = 1.0) -> QPen:
    """A plain line that stays as thick at every zoom."""
    pen = QPen(QColor(colour), width)
    pen.setCosmetic(True)
    return pen
