"""The picture: its panel, its file, the clipboard."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from PySide6.QtCore import QMimeData, QSize, Qt
from PySide6.QtGui import QGuiApplication, QImage

from fairlead.app.handlers.desk import Handler
from fairlead.app.handlers.saving import save_picture, write_shown
from fairlead.app.panels.dragging import add_files
from fairlead.app.panels.picture_panel import PicturePanel
from fairlead.core.document.picture_request import DPI_RANGE, MM_PER_INCH
from fairlead.core.errors import FairleadError

if TYPE_CHECKING:
    from fairlead.app.files.handed_out import HandedOut
    from fairlead.app.handlers.desk import Desk
    from fairlead.core.document.picture_request import PictureRequest

# The preview is painted finer than shown, so that small text stays legible.
_FINER = 2


class PictureHandler(Handler):
    """The picture settings belong to the document, like everything on the bench."""

    def __init__(self, desk: Desk, handed_out: HandedOut) -> None:
        super().__init__(desk)
        self._handed_out = handed_out
        self._panel: PicturePanel | None = None

    @property
    def panel(self) -> PicturePanel | None:
        """The panel while it is open."""
        return self._panel

    def show_panel(self) -> None:
        """Open the picture settings."""
        if self._panel is not None:
            return
        panel = PicturePanel(self._request, self._draw, self._dragged, self._window)
        panel.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        panel.save_wanted.connect(self._save)
        panel.copy_wanted.connect(self._copy)
        panel.closed.connect(self._on_closed)
        self._panel = panel
        panel.open()

    def copy(self) -> None:
        """Copy the picture to the clipboard as it would be saved."""
        self._copy(self._request)

    @property
    def _request(self) -> PictureRequest:
        return self._document.bench.picture

    def _copy(self, request: PictureRequest) -> None:
        try:
            image = self._render(request)
        except FairleadError as error:
            self._messages.say("error", [str(error)])
            return
        QGuiApplication.clipboard().setImage(image)
        size = f"{image.width()} x {image.height()} pixels"
        self._messages.say("note", [f"Copied the picture, {size}"])
        self._messages.say("warning", filter(None, [_not_drawn(image)]))

    def _save(self, request: PictureRequest) -> None:
        def write(path: str) -> None:
            if self._panel is not None:
                self._panel.accept()
            missing = write_shown(self._document, self._settings, request, path)
            self._messages.say("warning", filter(None, [missing]))

        parent = self._panel or self._window
        save_picture(parent, self._settings, self._messages, "sweeps.png", write)

    def _draw(self, request: PictureRequest, size: QSize) -> tuple[QImage, str]:
        dpi = round(_FINER * size.width() * MM_PER_INCH / request.width_mm)
        clipped = min(max(dpi, DPI_RANGE[0]), DPI_RANGE[1])
        image = self._render(replace(request, dpi=clipped))
        small = image.scaled(
            size,
            Qt.AspectRatioMode.IgnoreAspectRatio,
            Qt.TransformationMode.SmoothTransformation,
        )
        return small, _not_drawn(image)

    def _dragged(self, request: PictureRequest) -> QMimeData | None:
        """The picture as a PNG file and as an image, to be dragged out of the panel."""
        folder = self._handed_out.new_folder()
        if folder is None:
            return None
        path = str(folder / "sweeps.png")
        try:
            write_shown(self._document, self._settings, request, path)
        except FairleadError as error:
            self._messages.say("error", [str(error)])
            return None
        data = QMimeData()
        add_files(data, [path])
        data.setImageData(QImage(path))
        return data

    def _on_closed(self, request: PictureRequest) -> None:
        self._panel = None
        if request != self._request:
            self._edits.set_picture(request)

    def _render(self, request: PictureRequest) -> QImage:
        # Printing needs many modules, which most sessions never use.
        from fairlead.app.printing.export import render_image  # noqa: PLC0415

        document = self._document
        return render_image(
            document.bench,
            request,
            document.analyses,
            document.knowledge,
            document.changes,
            shows_uncertainty=self._settings.shows_uncertainty,
        )


def _not_drawn(image: QImage) -> str:
    from fairlead.app.printing.export import NOT_DRAWN  # noqa: PLC0415 - see _render

    return image.text(NOT_DRAWN)
