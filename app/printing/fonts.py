"""The font of the picture, at true size, and its measures."""

from __future__ import annotations

from dataclasses import dataclass, field

from PySide6.QtGui import QFont, QFontInfo, QFontMetricsF, QRawFont

from fairlead.app.printing.shapes import MM_PER_PT
from fairlead.core.errors import FairleadError

UNITS_PER_MM = 100
"""Everything is painted in hundredths of a millimetre, because font sizes are whole numbers."""

FAMILIES = (
    "Noto Sans",
    "Liberation Sans",
    "Arial",
    "Helvetica",
    "DejaVu Sans Condensed",
    "DejaVu Sans",
    "Verdana",
)


def make_font(size_pt: float, *, is_bold: bool = False, families: tuple[str, ...]) -> QFont:
    """A font at true size in `UNITS_PER_MM`, unhinted, without colour fringes."""
    font = QFont()
    font.setFamilies(list(families))
    font.setPixelSize(max(1, round(size_pt * MM_PER_PT * UNITS_PER_MM)))
    font.setBold(is_bold)
    font.setHintingPreference(QFont.HintingPreference.PreferNoHinting)
    font.setStyleStrategy(QFont.StyleStrategy.NoSubpixelAntialias)
    return font


def chosen_families() -> tuple[str, ...]:
    """The font families to request: first the one that this machine has, then the others.

    Raises
    ------
    FairleadError
        If no font is installed at all.
    """
    font = make_font(10, families=FAMILIES)
    if not QRawFont.fromFont(font).isValid():
        raise FairleadError(
            "no font is installed, so the picture cannot have text",
            "install one, for example fonts-dejavu-core on Debian",
        )
    first = QFontInfo(font).family()
    return (first, *(name for name in FAMILIES if name != first))


@dataclass(slots=True)
class FontMeasure:
    """Measures text with the real font; caches fonts."""

    families: tuple[str, ...]
    _metrics: dict[tuple[float, bool], QFontMetricsF] = field(default_factory=dict)

    def width_mm(self, text: str, size_pt: float, *, is_bold: bool = False) -> float:
        """Width of one line in mm."""
        key = (size_pt, is_bold)
        if key not in self._metrics:
            font = make_font(size_pt, is_bold=is_bold, families=self.families)
            self._metrics[key] = QFontMetricsF(font)
        return self._metrics[key].horizontalAdvance(text) / UNITS_PER_MM
