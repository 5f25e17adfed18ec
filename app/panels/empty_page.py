"""The page shown without sweeps: how to add some, and the samples."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QSize, Qt
from PySide6.QtGui import QPixmap
from PySide6.QtWidgets import (
    QFrame,
    QGridLayout,
    QHBoxLayout,
    QLabel,
    QPushButton,
    QVBoxLayout,
    QWidget,
)

from fairlead.app.look.resources import icon, icon_image
from fairlead.app.panels.cautions import SHORT

if TYPE_CHECKING:
    from PySide6.QtGui import QAction

    from fairlead.app.document.view_state import ViewState
    from fairlead.app.look.palette import Theme

_SIGN_PX = 72
_COLUMN_PX = 560


class EmptyPage(QWidget):
    """The ways to add sweeps, with a button where one is of use."""

    def __init__(
        self,
        view_state: ViewState,
        open_files: QAction,
        open_folder: QAction,
        open_samples: QAction,
        story: QAction,
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(parent)
        self.open_button = _button("Open sweeps ...", open_files)
        self.folder_button = _button("Open a folder ...", open_folder)
        self.samples_button = _button("Open the club samples", open_samples)
        self.story_button = _button("Step by step ...", story)
        self._icons = {
            self.open_button: "open",
            self.folder_button: "open-folder",
            self.samples_button: "samples",
            self.story_button: "help",
        }
        self._sign = QLabel()
        self._lay_out()
        view_state.theme_changed.connect(self._on_theme_changed)
        self._on_theme_changed(view_state.theme)

    def _lay_out(self) -> None:
        column = QVBoxLayout()
        column.setSpacing(14)
        column.addLayout(self._head())
        column.addWidget(self._ways())
        caution = _text(SHORT, is_muted=True)
        column.addWidget(caution)
        page = QWidget()
        page.setFixedWidth(_COLUMN_PX)
        page.setLayout(column)
        centre = QHBoxLayout()
        centre.addStretch(1)
        centre.addWidget(page)
        centre.addStretch(1)
        outer = QVBoxLayout(self)
        outer.addStretch(2)
        outer.addLayout(centre)
        outer.addStretch(3)

    def _head(self) -> QHBoxLayout:
        head = QHBoxLayout()
        head.setSpacing(16)
        self._sign.setFixedSize(_SIGN_PX, _SIGN_PX)
        head.addWidget(self._sign)
        words = QVBoxLayout()
        words.setSpacing(2)
        title = QLabel("Put antenna sweeps on the bench")
        title.setObjectName("title")
        font = title.font()
        font.setPointSizeF(font.pointSizeF() * 1.7)
        title.setFont(font)
        words.addStretch(1)
        words.addWidget(title)
        words.addWidget(_text("Overlay them, mark the band, and see what changed.", is_muted=True))
        words.addStretch(1)
        head.addLayout(words, 1)
        return head

    def _ways(self) -> QFrame:
        frame = QFrame()
        frame.setObjectName("area")
        grid = QGridLayout(frame)
        grid.setContentsMargins(16, 14, 16, 14)
        grid.setHorizontalSpacing(14)
        grid.setVerticalSpacing(10)
        buttons = QVBoxLayout()
        buttons.setSpacing(6)
        buttons.addWidget(self.open_button)
        buttons.addWidget(self.folder_button)
        grid.addLayout(buttons, 0, 0)
        grid.addWidget(
            _text("Touchstone files (S11 is used), tables (.csv, .txt), or a saved bench."), 0, 1
        )
        grid.addWidget(_text("Drop them here"), 1, 0)
        grid.addWidget(_text("Files, folders, or a saved bench (.fairlead)."), 1, 1)
        grid.addWidget(_text("Or type"), 2, 0)
        command = _text("fairlead roof-dry.s1p roof-wet.s1p")
        font = command.font()
        font.setFamilies(["monospace"])
        font.setStyleHint(font.StyleHint.Monospace)
        command.setFont(font)
        command.setTextInteractionFlags(Qt.TextInteractionFlag.TextSelectableByMouse)
        grid.addWidget(command, 2, 1)
        examples = QVBoxLayout()
        examples.setSpacing(6)
        examples.addWidget(self.story_button)
        examples.addWidget(self.samples_button)
        grid.addLayout(examples, 3, 0)
        grid.addWidget(
            _text(
                "A club's 6 m ground-plane dry, soaked and iced, a dipole, five kit-built units: "
                "told in four steps, or only the sweeps. All of it is invented, nothing measured.",
            ),
            3,
            1,
        )
        grid.setColumnStretch(1, 1)
        return frame

    def _on_theme_changed(self, theme: Theme) -> None:
        for button, name in self._icons.items():
            button.setIcon(icon(name, theme.text))
        ratio = self.devicePixelRatioF()
        image = icon_image("fairlead", theme.text, round(_SIGN_PX * ratio)).copy()
        image.setDevicePixelRatio(ratio)
        self._sign.setPixmap(QPixmap.fromImage(image))


def _button(text: str, action: QAction) -> QPushButton:
    button = QPushButton(text)
    button.setToolTip(action.toolTip())
    button.setIconSize(QSize(20, 20))
    button.setMinimumHeight(32)
    button.clicked.connect(action.trigger)
    return button


def _text(text: str, *, is_muted: bool = False) -> QLabel:
    label = QLabel(text)
    label.setTextFormat(Qt.TextFormat.PlainText)
    label.setWordWrap(True)
    if is_muted:
        label.setProperty("muted", "true")
    return label
