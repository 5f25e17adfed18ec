"""Dragging something out of a widget, in one place so that tests can stand at the other end."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import Qt, QUrl
from PySide6.QtGui import QDrag

if TYPE_CHECKING:
    from collections.abc import Iterable

    from PySide6.QtCore import QMimeData
    from PySide6.QtGui import QPixmap
    from PySide6.QtWidgets import QWidget


class Dragging:
    """The system's drag and drop."""

    @classmethod
    def start(cls, source: QWidget, data: QMimeData, picture: QPixmap | None = None) -> None:
        """Drag until the button is released: rows within a list, files elsewhere."""
        drag = QDrag(source)
        drag.setMimeData(data)
        if picture is not None:
            drag.setPixmap(picture)
        actions = Qt.DropAction
        drag.exec(actions.CopyAction | actions.MoveAction, actions.MoveAction)


def add_files(data: QMimeData, paths: Iterable[str]) -> None:
    """Offer files to whatever the data are dropped on."""
    data.setUrls([QUrl.fromLocalFile(path) for path in paths])
