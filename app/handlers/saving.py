"""Saving a picture: where to, writing it, and what is reported."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from fairlead.app.panels.file_chooser import FileChooser
from fairlead.core.errors import FairleadError

if TYPE_CHECKING:
    from collections.abc import Callable

    from PySide6.QtWidgets import QWidget

    from fairlead.app.files.settings import Settings
    from fairlead.app.panels.message_bar import MessageBar


def save_picture(
    parent: QWidget,
    settings: Settings,
    messages: MessageBar,
    name: str,
    write: Callable[[str], None],
) -> None:
    """Ask for a file and write a picture to it.

    Parameters
    ----------
    parent : QWidget
        Of the file chooser.
    name : str
        Suggested file name.
    write : callable
        Takes the path; a `FairleadError` from it becomes a message.
    """
    folder = Path(settings.folder or Path.home())
    path = FileChooser.picture_to_write(parent, str(folder / name))
    if not path:
        return
    try:
        write(path)
    except FairleadError as error:
        messages.say("error", [str(error)])
        return
    settings.folder = str(Path(path).parent)
    messages.say("note", [f"Saved {path}"])
