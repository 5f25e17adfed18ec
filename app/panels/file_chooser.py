"""The system's file dialogs behind one class: the only place that opens one."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtWidgets import QFileDialog

if TYPE_CHECKING:
    from PySide6.QtWidgets import QWidget

_SWEEPS = "Sweeps (*.s?p *.s??p *.S?P *.S??P *.ts *.TS *.txt *.csv *.dat);;All files (*)"
_PICTURES = "PNG picture (*.png);;SVG drawing (*.svg);;PDF page (*.pdf)"


class FileChooser:
    """Asks for names; an empty answer means that the user thought better of it."""

    @classmethod
    def files_to_open(cls, parent: QWidget, folder: str) -> list[str]:
        """Names of files to read."""
        names, _ = QFileDialog.getOpenFileNames(parent, "Open sweeps", folder, _SWEEPS)
        return names

    @classmethod
    def folder_to_open(cls, parent: QWidget, folder: str) -> str:
        """A folder to read all sweeps of."""
        return QFileDialog.getExistingDirectory(parent, "Open a folder of sweeps", folder)

    @classmethod
    def picture_to_write(cls, parent: QWidget, suggestion: str) -> str:
        """Name of the picture to write, with an ending."""
        name, chosen = QFileDialog.getSaveFileName(parent, "Export picture", suggestion, _PICTURES)
        if name and "." not in name.replace("\\", "/").rsplit("/", 1)[-1]:
            name += {"SVG": ".svg", "PDF": ".pdf"}.get(chosen[:3], ".png")
        return name
