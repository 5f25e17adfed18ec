"""Colours, dashes and markers of sweeps, and the colours of the themes: data, no Qt.

Five curve colours per theme, each at least 3:1 against its background (W3C, WCAG 2.1, criterion
1.4.11); any two of them, and limit and band edge, differ by a CIEDE2000 of over 10 for normal eyes
and each of the three colour-vision deficiencies. Where they would look alike in grey print, dash
and marker distinguish them.
"""

from __future__ import annotations

from dataclasses import dataclass

# After M. Okabe and K. Ito, "Color Universal Design" (2008), from memory: those of the eight that
# reach 3:1 on white, two of them moved until all differ enough; on dark their lighter ones.
LIGHT_CURVES = ("#0072b2", "#d55e00", "#0f6b4b", "#000000", "#a8477f")
# For the sun: the same hues, deeper; each at least 5:1 on white.
OUTDOOR_CURVES = ("#0d469e", "#b04400", "#006041", "#000000", "#882161")
DARK_CURVES = ("#4598d5", "#e8a000", "#26c599", "#f0f0f0", "#ce96b6")

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
    line_scale, text_scale : float
        How much thicker curves and larger texts are than usual.
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
    line_scale: float = 1.0
    text_scale: float = 1.0


LIGHT = Theme(
    name="light",
    window="#f3f4f6",
    base="#ffffff",
    text="#1b1f24",
    muted="#57606a",
    border="#c4cad1",
    grid_major="#c3c8ce",
    grid_minor="#e4e7ea",
    band="#645300",
    limit="#b93d3d",
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
    band="#dec24e",
    limit="#fd897f",
    accent="#5ea0ef",
    warning="#4a3f14",
    error="#52201d",
    curves=DARK_CURVES,
)
# Read in full sun: black on white, nothing pale, thick curves, large text.
OUTDOOR = Theme(
    name="outdoor",
    window="#ffffff",
    base="#ffffff",
    text="#000000",
    muted="#1b1f24",
    border="#4a5058",
    grid_major="#8b929a",
    grid_minor="#b9bec4",
    band="#3b2e00",
    limit="#c11b08",
    accent="#003f87",
    warning="#ffe08a",
    error="#ffb8b2",
    curves=OUTDOOR_CURVES,
    line_scale=1.8,
    text_scale=1.25,
)
