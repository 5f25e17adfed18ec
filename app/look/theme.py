"""Applies a theme to the whole application: palette and a small style sheet."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Literal

from PySide6.QtCore import Qt
from PySide6.QtGui import QColor, QGuiApplication, QPalette

from fairlead.app.look.palette import DARK, LIGHT, OUTDOOR

if TYPE_CHECKING:
    from PySide6.QtWidgets import QApplication

    from fairlead.app.look.palette import Theme

Choice = Literal["system", "light", "dark", "outdoor"]
CHOICES: tuple[Choice, ...] = ("system", "light", "dark", "outdoor")
_USUAL_SIZE = "usual point size"


def system_theme() -> Theme:
    """Light or dark, following the desktop; light where it states neither."""
    scheme = QGuiApplication.styleHints().colorScheme()
    return DARK if scheme == Qt.ColorScheme.Dark else LIGHT


def chosen_theme(choice: Choice, text_percent: int = 100, line_percent: int = 100) -> Theme:
    """The theme for a choice in the menu, with texts and curves of the chosen size.

    Parameters
    ----------
    choice : Choice
    text_percent, line_percent : int
        Size of texts and width of curves, in percent of the theme's own.
    """
    theme = {"light": LIGHT, "dark": DARK, "outdoor": OUTDOOR}.get(choice) or system_theme()
    if (text_percent, line_percent) == (100, 100):
        return theme
    return replace(
        theme,
        text_scale=theme.text_scale * text_percent / 100,
        line_scale=theme.line_scale * line_percent / 100,
    )


def apply_palette(application: QApplication, theme: Theme) -> None:
    """Apply a theme's palette alone, for widgets that read their colours when they are made."""
    application.setPalette(palette(theme))


def apply_theme(application: QApplication, theme: Theme) -> None:
    """Apply a theme's palette, style sheet and size of text to every window."""
    apply_palette(application, theme)
    # Before the style sheet: Qt gives widgets their fonts again only when that is set.
    is_resized = _apply_text_scale(application, theme.text_scale)
    sheet = style_sheet(theme)
    # Qt styles every widget again even if the sheet is the same: a third of a second.
    if is_resized or application.styleSheet() != sheet:
        application.setStyleSheet(sheet)


def _apply_text_scale(application: QApplication, scale: float) -> bool:
    """Set the size of text; whether it is another one than before."""
    font = application.font()
    usual_pt = application.property(_USUAL_SIZE)
    if not isinstance(usual_pt, float):
        usual_pt = font.pointSizeF()
        application.setProperty(_USUAL_SIZE, usual_pt)
    # A desktop may give its font in pixels, which has no point size.
    if usual_pt <= 0 or font.pointSizeF() == usual_pt * scale:
        return False
    font.setPointSizeF(usual_pt * scale)
    application.setFont(font)
    return True


def palette(theme: Theme) -> QPalette:
    """Qt's palette in the colours of a theme."""
    made = QPalette()
    role = QPalette.ColorRole
    tones = {
        role.Window: theme.window,
        role.WindowText: theme.text,
        role.Base: theme.base,
        role.AlternateBase: theme.window,
        role.Text: theme.text,
        role.PlaceholderText: theme.muted,
        role.Button: theme.window,
        role.ButtonText: theme.text,
        role.BrightText: theme.limit,
        role.ToolTipBase: theme.base,
        role.ToolTipText: theme.text,
        role.Highlight: theme.accent,
        role.HighlightedText: theme.base,
        role.Accent: theme.accent,
        role.Link: theme.accent,
        role.LinkVisited: theme.accent,
        role.Light: theme.base,
        role.Midlight: theme.grid_minor,
        role.Mid: theme.border,
        role.Dark: theme.border,
        role.Shadow: theme.border,
    }
    for place, tone in tones.items():
        made.setColor(place, QColor(tone))
    faded = _mix(theme.muted, theme.window, 0.6)
    for place in (role.WindowText, role.Text, role.ButtonText, role.HighlightedText):
        made.setColor(QPalette.ColorGroup.Disabled, place, faded)
    made.setColor(QPalette.ColorGroup.Disabled, role.Highlight, QColor(theme.border))
    return made


def style_sheet(theme: Theme) -> str:
    """What a palette cannot express: thin lines, the message bar, invalid fields, focus."""
    # Curve samples are drawn on it: a strong colour would hide them.
    selected = _mix(theme.accent, theme.base, 0.2).name()
    return f"""
QToolTip {{ color: {theme.text}; background: {theme.base}; border: 1px solid {theme.border};
            padding: 3px; }}
QSplitter::handle {{ background: {theme.window}; }}
QSplitter::handle:hover {{ background: {theme.border}; }}
QToolButton {{ border: 1px solid transparent; border-radius: 4px; padding: 3px; }}
QToolButton:hover {{ background: {theme.grid_minor}; }}
QToolButton:pressed, QToolButton:checked {{ background: {theme.border}; }}
QToolButton:focus {{ border-color: {theme.accent}; }}
QToolButton#offer {{ border-color: {theme.muted}; padding: 2px 8px; font-weight: 600; }}
QLabel#title {{ font-weight: 600; }}
QLabel[muted="true"] {{ color: {theme.muted}; }}
QLineEdit {{ border: 1px solid {theme.border}; border-radius: 2px; padding: 1px 3px;
    background: {theme.base}; selection-background-color: {theme.accent}; }}
QLineEdit:focus {{ border-color: {theme.accent}; }}
QAbstractSpinBox QLineEdit {{ border: none; }}
QLineEdit[refused="true"] {{ border: 2px solid {theme.limit}; border-radius: 2px;
                             background: {theme.base}; }}
QFrame#area {{ background: {theme.base}; border: 1px solid {theme.border}; border-radius: 4px; }}
QFrame#paper {{ background: {theme.grid_minor}; border: 1px solid {theme.border}; }}
QFrame#messages[level="error"] {{ background: {theme.error}; }}
QFrame#messages[level="warning"] {{ background: {theme.warning}; }}
QFrame#messages[level="note"] {{ background: {theme.grid_minor}; }}
QFrame#messages QListWidget {{ background: transparent; border: none; }}
QTableView, QListView {{ border: 1px solid {theme.border}; gridline-color: {theme.grid_minor};
    selection-background-color: {selected}; selection-color: {theme.text}; }}
QTableView:focus, QListView#sweeps:focus {{ border-color: {theme.accent}; }}
QHeaderView::section {{ background: {theme.window}; color: {theme.text}; border: none;
    border-right: 1px solid {theme.grid_minor}; border-bottom: 1px solid {theme.border};
    padding: 2px 6px; }}
QTableCornerButton::section {{ background: {theme.window}; border: none;
    border-bottom: 1px solid {theme.border}; }}
"""


def _mix(one: str, other: str, share: float) -> QColor:
    """A colour between two, with a share of the first."""
    a, b = QColor(one), QColor(other)
    return QColor.fromRgbF(
        *(
            share * x + (1 - share) * y
            for x, y in zip(a.getRgbF()[:3], b.getRgbF()[:3], strict=True)  # type: ignore[index]
        )
    )
