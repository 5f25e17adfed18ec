"""The header of a part of the window: its title, and buttons for its commands."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QSize, Qt
from PySide6.QtWidgets import QHBoxLayout, QLabel, QToolButton, QWidget

if TYPE_CHECKING:
    from collections.abc import Sequence

    from PySide6.QtGui import QAction


class AreaHeader(QWidget):
    """A title or another widget at the left, buttons of actions at the right."""

    def __init__(
        self, lead: str | QWidget, actions: Sequence[QAction], parent: QWidget | None = None
    ) -> None:
        super().__init__(parent)
        row = QHBoxLayout(self)
        row.setContentsMargins(2, 0, 0, 0)
        row.setSpacing(2)
        if isinstance(lead, str):
            title = QLabel(lead)
            title.setObjectName("title")
            row.addWidget(title)
            row.addStretch(1)
        else:
            row.addWidget(lead, 1)
            row.addSpacing(8)
        for action in actions:
            row.addWidget(tool_button(action))


def tool_button(action: QAction) -> QToolButton:
    """A flat button for an action, reachable by Tab."""
    return _ActionButton(action)


class _ActionButton(QToolButton):
    """Shows an action and triggers it.

    Not by `QToolButton.setDefaultAction`: Qt calls that again whenever the action changes and adds
    two more connections each time, so that memory use keeps growing.
    """

    def __init__(self, action: QAction) -> None:
        super().__init__()
        self._action = action
        self.setIconSize(QSize(18, 18))
        self.setToolButtonStyle(Qt.ToolButtonStyle.ToolButtonIconOnly)
        self.setFocusPolicy(Qt.FocusPolicy.TabFocus)
        action.changed.connect(self._follow)
        self.clicked.connect(action.trigger)
        self._follow()

    def _follow(self) -> None:
        action = self._action
        self.setText(action.iconText())
        self.setIcon(action.icon())
        self.setToolTip(action.toolTip())
        self.setStatusTip(action.statusTip())
        self.setEnabled(action.isEnabled())
        self.setCheckable(action.isCheckable())
        self.setChecked(action.isChecked())
        self.setAccessibleName(action.text().replace("&", "").removesuffix(" ..."))
