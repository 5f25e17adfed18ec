"""The system's file dialogs behind one class: the only place that opens one."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtWidgets import QFileDialog

if TYPE_CHECKING:
    from PySide6.QtWidgets import QWidget

_SWEEP_ENDINGS = "*.s?p *.s??p *.S?P *.S??P *.ts *.TS *.txt *.csv *.dat *.xlsx *.ods *.zip"
_OPEN = (
    f"Sweeps and benches (*.fairlead {_SWEEP_ENDINGS});;Sweeps ({_SWEEP_ENDINGS});;"
    "Benches (*.fairlead);;All files (*)"
)
_BANDS = "Text with a band a line (*.txt *.csv *.ini);;All files (*)"
_TRACED = "Pictures (*.png *.jpg *.jpeg *.webp *.bmp *.PNG *.JPG *.JPEG);;All files (*)"
_PICTURES = {
    "PNG picture (*.png)": "png",
    "SVG drawing (*.svg)": "svg",
    "PDF page (*.pdf)": "pdf",
}


class FileChooser:
    """Asks for names; an empty answer means that the user cancelled."""

    @classmethod
    def files_to_open(cls, parent: QWidget, folder: str) -> list[str]:
        """Names of sweeps or of a bench to read."""
        names, _ = QFileDialog.getOpenFileNames(parent, "Open", folder, _OPEN)
        return names

    @classmethod
    def bands_to_read(cls, parent: QWidget, folder: str) -> str:
        """Name of a text file with bands of the user's own."""
        name, _ = QFileDialog.getOpenFileName(parent, "Own bands", folder, _BANDS)
        return name

    @classmethod
    def picture_to_trace(cls, parent: QWidget, folder: str) -> str:
        """Name of a picture whose curves are to be traced."""
        name, _ = QFileDialog.getOpenFileName(parent, "Trace a picture", folder, _TRACED)
        return name

    @classmethod
    def folder_to_open(cls, parent: QWidget, folder: str) -> str:
        """A folder whose sweeps are all to be read."""
        return QFileDialog.getExistingDirectory(parent, "Open a folder of sweeps", folder)

    @classmethod
    def folder_to_watch(cls, parent: QWidget, folder: str) -> str:
        """A folder whose new sweeps are to be added automatically."""
        return QFileDialog.getExistingDirectory(parent, "Watch a folder", folder)

    @classmethod
    def picture_to_write(cls, parent: QWidget, suggestion: str) -> str:
        """Name of the picture to write, with an extension."""
        return _name_to_write(parent, "Export picture", suggestion, _PICTURES)

    @classmethod
    def bench_to_write(cls, parent: QWidget, suggestion: str) -> str:
        """Name of the bench to write, with an extension."""
        filters = {"Bench (*.fairlead)": "fairlead"}
        return _name_to_write(parent, "Save the bench", suggestion, filters)

    @classmethod
    def data_to_write(
        cls, parent: QWidget, title: str, suggestion: str, form: str, ending: str
    ) -> str:
        """Name of a data file to write, with an extension."""
        filters = {f"{form} (*{ending})": ending.removeprefix("."), "All files (*)": ""}
        return _name_to_write(parent, title, suggestion, filters)

    @classmethod
    def folder_to_write(cls, parent: QWidget, title: str, folder: str) -> str:
        """A folder to write several files into."""
        return QFileDialog.getExistingDirectory(parent, title, folder)


def _name_to_write(parent: QWidget, title: str, suggestion: str, filters: dict[str, str]) -> str:
    """Ask for a name; the extension is added before the dialog asks whether to replace a file.

    Parameters
    ----------
    filters : dict
        Extension without a dot, by filter; the first one is preselected.
    """
    dialog = QFileDialog(parent, title)
    dialog.setAcceptMode(QFileDialog.AcceptMode.AcceptSave)
    dialog.setFileMode(QFileDialog.FileMode.AnyFile)
    dialog.setNameFilters(list(filters))
    usual = next(iter(filters.values()))
    dialog.filterSelected.connect(
        lambda chosen: dialog.setDefaultSuffix(filters.get(chosen) or usual)
    )
    dialog.setDefaultSuffix(usual)
    path = Path(suggestion)
    dialog.setDirectory(str(path.parent))
    dialog.selectFile(path.name)
    names = dialog.selectedFiles() if dialog.exec() else []
    dialog.deleteLater()
    return names[0] if names else ""
