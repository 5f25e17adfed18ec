"""Colours, dashes and markers of sweeps, and the colours of the two themes: data, no Qt.

Five curve colours per theme, each at least 3:1 against its background (W3C, WCAG 2.1, criterion
1.4.11) and distinct for colour-blind readers; where they would look alike in grey print, dash and
marker distinguish them.
"""

from __future__ import annotations

from dataclasses import dataclass

# After M. Okabe and K. Ito, "Color Universal Design" (2008), from memory: those of the eight that
# reach 3:1 on white; on dark their lighter ones.
LIGHT_CURVES = ("#0072b2", "#d55e00", "#007a5a", "#000000", "#a8477f")
DARK_CURVES = ("#56b4e9", "#e69f00", "#2fc59a", "#f0f0f0", "#e28dbb")

# On and off, in widths of the line. Solid first.
DASHES: tuple[tuple[float, ...], ...] = ((), (6.0, 2.5), (1.5, 2.0), (7.0, 2.0, 1.5, 2.0))
MARKERS = ("circle", "square", "triangle", "diamond", "cross", "plus")


@dataclass(frozen=True, slots=True)
class Theme:
    """Colours of one theme as "#rrggbb".

    Attributes
    ----------
    name : str
    window, base, text, muted, border : str
        Panels; plots and tables; text; secondary text and icons; lines between areas.
    grid_major, grid_minor : str
        Lines of both plots.
    band, limit : str
        Band edges with their fill, and the limit line.
    accent : str
        Selection and focus.
    warning, error : str
        Backgrounds of the message bar.
    curves : tuple of str
    """

    name: str
    window: str
    base: str
    text: str
    muted: str
    border: str
    grid_major: str
    grid_minor: str
    band: str
    limit: str
    accent: str
    warning: str
    error: str
    curves: tuple[str, ...]


LIGHT = Theme(
    name="light",
    window="#f3f4f6",
    base="#ffffff",
    text="#1b1f24",
    muted="#57606a",
    border="#c4cad1",
    grid_major="#c3c8ce",
    grid_minor="#e4e7ea",
    band="#6f5b00",
    limit="#b3261e",
    accent="#1f5fa8",
    warning="#fff2cc",
    error="#fde2e0",
    curves=LIGHT_CURVES,
)
DARK = Theme(
    name="dark",
    window="#202429",
    base="#15181c",
    text="#e8eaed",
    muted="#a3abb5",
    border="#3b424a",
    grid_major="#454c55",
    grid_minor="#2a2f36",
    band="#d8bf5a",
    limit="#ff8a80",
    accent="#5ea0ef",
    warning="#4a3f14",
    error="#52201d",
    curves=DARK_CURVES,
)
