"""Messages in the window, one line each, newest first."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Literal

from PySide6.QtCore import QSize, Qt, QTimer
from PySide6.QtGui import QAccessible, QAccessibleEvent, QGuiApplication, QPixmap
from PySide6.QtWidgets import (
    QFrame,
    QHBoxLayout,
    QLabel,
    QListWidget,
    QListWidgetItem,
    QToolButton,
    QVBoxLayout,
    QWidget,
)

from fairlead.app.look.resources import icon, icon_image
from fairlead.app.look.tool_tip import tool_tip
from fairlead.app.panels.elided_label import ElidedLabel

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable

    from fairlead.app.document.view_state import ViewState
    from fairlead.app.look.palette import Theme

Level = Literal["error", "warning", "note"]

_ICONS = {"error": "error", "warning": "warning", "note": "info"}
_MOST_MESSAGES = 500
_MOST_LINES_SHOWN = 8
_NOTE_MS = 5000


@dataclass(frozen=True, slots=True)
class Offer:
    """What can be done about a message, with a button.

    Attributes
    ----------
    text : str
        On the button.
    tip : str
    call : callable
    """

    text: str
    tip: str
    call: Callable[[], None]


@dataclass(frozen=True, slots=True)
class Message:
    """One line.

    Attributes
    ----------
    level : Level
    text : str
    offers : tuple of Offer
        One button each; a message with offers stays until it is closed or an offer is accepted.
    about : str
        A newer message about the same thing replaces it; empty for none.
    """

    level: Level
    text: str
    offers: tuple[Offer, ...] = ()
    about: str = ""

    @property
    def passes(self) -> bool:
        """Whether it disappears by itself."""
        return self.level == "note" and not self.offers


class MessageBar(QFrame):
    """Hidden while empty; notes disappear by themselves, errors stay until closed.

    While all messages are shown, the buttons are those of the chosen one.
    """

    def __init__(self, view_state: ViewState, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._view_state = view_state
        self._messages: list[Message] = []
        self.setObjectName("messages")
        self.setAccessibleName("Messages")
        self._mark = QLabel()
        self._line = ElidedLabel()
        self._line.setTextInteractionFlags(Qt.TextInteractionFlag.TextSelectableByMouse)
        self.more_button = _button("Show all messages", "Show or hide all messages")
        self.more_button.setCheckable(True)
        self.copy_button = _button("Copy", "Copy all messages as text")
        self.close_button = _button("", "Close the messages")
        self.offer_buttons: list[QToolButton] = []
        self._offering: Message | None = None
        self._list = QListWidget()
        self._list.setAccessibleName("All messages, newest first")
        self._list.setWordWrap(True)
        self._list.setIconSize(QSize(16, 16))
        self._list.hide()
        self._lay_out()
        self._timer = QTimer(self)
        self._timer.setSingleShot(True)
        self._timer.setInterval(_NOTE_MS)
        self._timer.timeout.connect(self._drop_messages)
        self.more_button.toggled.connect(self._refresh)
        self._list.currentRowChanged.connect(lambda _: self._show_offers())
        self.copy_button.clicked.connect(self._copy)
        self.close_button.clicked.connect(self.clear)
        view_state.theme_changed.connect(self._on_theme_changed)
        self._on_theme_changed(view_state.theme)

    @property
    def lines(self) -> list[str]:
        """All messages, newest first."""
        return [message.text for message in self._messages]

    def say(self, level: Level, lines: Iterable[str]) -> None:
        """Add messages at the front; each becomes one line."""
        self.say_all(Message(level, line) for line in lines)

    def say_all(self, messages: Iterable[Message]) -> None:
        """Add messages, with offers if any, at the front; runs of blanks are collapsed."""
        new = [replace(one, text=" ".join(one.text.split())) for one in messages]
        if not new:
            return
        known = {message.about for message in new} - {""}
        kept = [one for one in self._messages if not one.passes and one.about not in known]
        self._messages = [*new, *kept][:_MOST_MESSAGES]
        self._refresh()
        if any(message.passes for message in self._messages):
            self._timer.start()
        else:
            self._timer.stop()
        event = QAccessibleEvent(self, QAccessible.Event.Alert)
        QAccessible.updateAccessibility(event)

    def withdraw(self, *about: str) -> None:
        """Remove messages about these things, which no longer hold."""
        kept = [message for message in self._messages if message.about not in about]
        if len(kept) < len(self._messages):
            self._messages = kept
            self._refresh()

    def clear(self) -> None:
        """Remove all messages and hide."""
        self._messages = []
        self.more_button.setChecked(False)
        self._refresh()

    def _lay_out(self) -> None:
        row = QHBoxLayout()
        row.setContentsMargins(0, 0, 0, 0)
        row.setSpacing(8)
        row.addWidget(self._mark)
        row.addWidget(self._line, 1)
        self._offer_row = QHBoxLayout()
        self._offer_row.setSpacing(8)
        row.addLayout(self._offer_row)
        for button in (self.more_button, self.copy_button, self.close_button):
            row.addWidget(button)
        column = QVBoxLayout(self)
        column.setContentsMargins(8, 3, 4, 3)
        column.setSpacing(2)
        column.addLayout(row)
        column.addWidget(self._list)

    def _refresh(self) -> None:
        self.setVisible(bool(self._messages))
        if not self._messages:
            self._list.clear()
            self._list.hide()
            self._show_offers()
            return
        newest = self._messages[0]
        if self.property("level") != newest.level:
            self.setProperty("level", newest.level)
            self.style().unpolish(self)
            self.style().polish(self)
        ratio = self.devicePixelRatioF()
        image = icon_image(
            _ICONS[newest.level], self._view_state.theme.text, round(16 * ratio)
        ).copy()
        image.setDevicePixelRatio(ratio)
        self._mark.setPixmap(QPixmap.fromImage(image))
        self._line.set_full_text(newest.text)
        others = len(self._messages) - 1
        is_open = self.more_button.isChecked()
        self.more_button.setVisible(bool(others) or is_open)
        self.more_button.setText("Show less" if is_open else f"{others} more")
        self._list.setVisible(is_open)
        if is_open:
            self._line.set_full_text(f"{len(self._messages)} messages, newest first")
            self._fill_list()
        self._show_offers()

    def _show_offers(self) -> None:
        """A button for each offer of the newest message, or of the one chosen in the list."""
        row = self._list.currentRow() if self.more_button.isChecked() else 0
        message = self._messages[row] if 0 <= row < len(self._messages) else None
        if message is self._offering:
            return
        for old in self.offer_buttons:
            self._offer_row.removeWidget(old)
            old.hide()
            old.deleteLater()
        self._offering = message
        self.offer_buttons = (
            [self._offer_button(message, offer) for offer in message.offers] if message else []
        )
        for button in self.offer_buttons:
            self._offer_row.addWidget(button)

    def _offer_button(self, message: Message, offer: Offer) -> QToolButton:
        button = _button(offer.text, offer.tip)
        button.setObjectName("offer")

        def take() -> None:
            self._messages = [one for one in self._messages if one is not message]
            self._refresh()
            offer.call()

        button.clicked.connect(take)
        return button

    def _fill_list(self) -> None:
        chosen = max(0, self._list.currentRow())
        self._list.clear()
        colour = self._view_state.theme.text
        for message in self._messages:
            self._list.addItem(QListWidgetItem(icon(_ICONS[message.level], colour), message.text))
        lines = min(len(self._messages), _MOST_LINES_SHOWN)
        self._list.setFixedHeight(lines * self._list.sizeHintForRow(0) + 4)
        self._list.setCurrentRow(min(chosen, len(self._messages) - 1))

    def _drop_messages(self) -> None:
        self._messages = [message for message in self._messages if not message.passes]
        self._refresh()

    def _copy(self) -> None:
        QGuiApplication.clipboard().setText("".join(f"{line}\n" for line in self.lines))

    def _on_theme_changed(self, theme: Theme) -> None:
        self.close_button.setIcon(icon("close", theme.text))
        self._refresh()


def _button(text: str, tip: str) -> QToolButton:
    button = QToolButton()
    button.setText(text)
    button.setToolTip(tool_tip(tip))
    button.setAccessibleName(tip)
    button.setAutoRaise(True)
    button.setFocusPolicy(Qt.FocusPolicy.TabFocus)
    return button
