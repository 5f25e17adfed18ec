"""Saving a picture: where to, writing it, and what is reported."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from fairlead.app.panels.file_chooser import FileChooser
from fairlead.core.errors import FairleadError

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from PySide6.QtWidgets import QWidget

    from fairlead.app.document.document import Document
    from fairlead.app.files.settings import Settings
    from fairlead.app.panels.message_bar import MessageBar
    from fairlead.core.document.picture_request import PictureRequest


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


def write_shown(
    document: Document,
    settings: Settings,
    request: PictureRequest,
    path: str,
    besides: Sequence[str] = (),
) -> str:
    """Write the picture of the bench with what is known of it already.

    Returns
    -------
    str
        What is not drawn; empty if everything is.

    Raises
    ------
    FairleadError
        As `fairlead.app.printing.export.write_picture` does.
    """
    # Printing needs many modules, which most sessions never use.
    from fairlead.app.printing.export import write_picture  # noqa: PLC0415

    return write_picture(
        document.bench,
        request,
        path,
        document.analyses,
        known=document.knowledge,
        changes=document.changes,
        shows_uncertainty=settings.shows_uncertainty,
        besides=besides,
    )
