"""The settings of the exported picture, with a live preview."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QSize, Qt, QTimer, Signal
from PySide6.QtGui import QPixmap
from PySide6.QtWidgets import (
    QApplication,
    QComboBox,
    QDialog,
    QDialogButtonBox,
    QFormLayout,
    QFrame,
    QHBoxLayout,
    QLabel,
    QLineEdit,
    QPushButton,
    QVBoxLayout,
    QWidget,
)

from fairlead.app.panels.dragging import Dragging
from fairlead.app.panels.number_field import NumberField
from fairlead.app.panels.scrolled import Scrolled
from fairlead.app.panels.tick import TickBox
from fairlead.core.document.picture_request import (
    CHANGES_SHOWN,
    DPI_RANGE,
    LARGEST_MM,
    LEGENDS,
    SMALLEST_MM,
    PictureRequest,
)
from fairlead.core.errors import FairleadError
from fairlead.core.views.registry import VIEWS

if TYPE_CHECKING:
    from collections.abc import Callable

    from PySide6.QtCore import QMimeData, QPoint
    from PySide6.QtGui import QCloseEvent, QImage, QMouseEvent

    from fairlead.core.document.picture_request import ChangesShown, Legend

_PREVIEW_PX = (560, 420)
_BESIDE_PREVIEW_PX = (400, 110)
_LEGEND_TEXTS: dict[Legend, str] = {
    "name": "Name",
    "condition": "Name and condition",
    "date": "Name, condition and date",
    "place": "Name, condition and place",
}
_CHANGES_TEXTS: dict[ChangesShown, str] = {
    "if-room": "If it fits, of one or two sweeps",
    "yes": "Always",
    "no": "Never",
}
_REDRAW_AFTER_MS = 150
_DRAGGED_PX = 160


class PicturePanel(QDialog):
    """Changes nothing and writes nothing: it emits the settings.

    Parameters
    ----------
    request : PictureRequest
        What to begin with.
    draw : callable
        Draws a request as a `QImage` of a given size in pixels, with what has no room in it, as
        text; may raise `FairleadError`.
    drag : callable
        Makes what is dragged out of the preview; None where it cannot be made.
    """

    save_wanted = Signal(object)
    """A `PictureRequest` to be saved to a file."""
    copy_wanted = Signal(object)
    """A `PictureRequest` to be copied to the clipboard."""
    closed = Signal(object)
    """The last `PictureRequest`, to be stored."""

    def __init__(
        self,
        request: PictureRequest,
        draw: Callable[[PictureRequest, QSize], tuple[QImage, str]],
        drag: Callable[[PictureRequest], QMimeData | None],
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(parent)
        self._draw = draw
        self._make_data = drag
        self.setWindowTitle("Export picture")
        self.setModal(True)
        self._make_fields(request)
        self._preview = _DraggedPicture(self._drag)
        self._preview.setToolTip("Drag it to the desktop or into another program")
        self._preview.setAccessibleName("Preview of the picture")
        self._preview.setAlignment(Qt.AlignmentFlag.AlignCenter)
        self._preview_px = self._preview_that_fits()
        self._preview.setFixedSize(self._preview_px + QSize(16, 16))
        self._problem = QLabel()
        self._problem.setTextFormat(Qt.TextFormat.PlainText)
        self._problem.setWordWrap(True)
        self._note = QLabel()
        self._note.setTextFormat(Qt.TextFormat.PlainText)
        self._note.setWordWrap(True)
        self._note.setAccessibleName("What has no room in the picture")
        self._lay_out()
        self._timer = QTimer(self)
        self._timer.setSingleShot(True)
        self._timer.setInterval(_REDRAW_AFTER_MS)
        self._timer.timeout.connect(self._redraw)
        self._redraw()

    @property
    def request(self) -> PictureRequest:
        """The current settings."""
        title = self.title_field.text().strip()
        return PictureRequest(
            title=(title or None) if self.has_title.isChecked() else "",
            caption=self.caption_field.text().strip(),
            width_mm=self.width_field.value(),
            height_mm=self.height_field.value(),
            dpi=round(self.dpi_field.value()),
            grey=self.is_grey.isChecked(),
            transparent=self.is_transparent.isChecked(),
            mark_best_match=self.marks_best_match.isChecked(),
            markers=self.has_markers.isChecked(),
            log_frequency=self.is_log.isChecked(),
            legend=LEGENDS[self.legend_box.currentIndex()],
            view=VIEWS[self.view_box.currentIndex()].id,
            changes=CHANGES_SHOWN[self.changes_box.currentIndex()],
        )

    @property
    def problem(self) -> str:
        """Why there is no preview; empty if there is one."""
        return self._problem.text()

    @property
    def note(self) -> str:
        """What has no room in the picture; empty if all of it has."""
        return self._note.text()

    def done(self, result: int) -> None:
        """Emit the request, to be stored."""
        self.closed.emit(self.request)
        super().done(result)

    def closeEvent(self, event: QCloseEvent) -> None:
        """Closing by the window frame counts as well."""
        self.done(0)
        event.accept()

    def _make_fields(self, request: PictureRequest) -> None:
        self.has_title = TickBox("With a &title")
        self.has_title.setChecked(request.title != "")
        self.title_field = _line("Title", request.title or "", "Generated from sweeps and band")
        self.caption_field = _line("Caption", request.caption, "A line below the picture")
        self.width_field = _size_field("Width in millimetres", SMALLEST_MM[0], request.width_mm)
        self.height_field = _size_field("Height in millimetres", SMALLEST_MM[1], request.height_mm)
        self.dpi_field = NumberField(
            "Resolution in dots per inch", "dpi", DPI_RANGE, 50, 0, request.dpi
        )
        self.dpi_field.set_tip("Of a PNG; SVG and PDF are sharp at any size")
        self.is_grey = TickBox("&Black and grey only")
        self.is_grey.setChecked(request.grey)
        self.is_transparent = TickBox("Transpar&ent, without paper")
        self.is_transparent.setChecked(request.transparent)
        self.marks_best_match = TickBox("&Mark each best match")
        self.marks_best_match.setChecked(request.mark_best_match)
        self.has_markers = TickBox("Mar&kers, with a table")
        self.has_markers.setChecked(request.markers)
        self.is_log = TickBox("Lo&garithmic frequency axis")
        self.is_log.setChecked(request.log_frequency)
        self.view_box = QComboBox()
        self.view_box.setAccessibleName("What is plotted over frequency")
        self.view_box.addItems([view.title for view in VIEWS])
        self.view_box.setCurrentIndex(VIEWS.index(request.quantity))
        self.legend_box = QComboBox()
        self.legend_box.setAccessibleName("What the legend shows for each sweep")
        self.legend_box.addItems([_LEGEND_TEXTS[legend] for legend in LEGENDS])
        self.legend_box.setCurrentIndex(LEGENDS.index(request.legend))
        self.changes_box = QComboBox()
        self.changes_box.setAccessibleName("Whether the picture says in words what changed")
        self.changes_box.addItems([_CHANGES_TEXTS[changes] for changes in CHANGES_SHOWN])
        self.changes_box.setCurrentIndex(CHANGES_SHOWN.index(request.changes))

    def _lay_out(self) -> None:
        form = QFormLayout()
        form.addRow("", self.has_title)
        form.addRow("T&itle", self.title_field)
        form.addRow("&Caption", self.caption_field)
        form.addRow("&Plot", self.view_box)
        form.addRow("&Legend", self.legend_box)
        form.addRow("What c&hanged", self.changes_box)
        form.addRow("&Width", self.width_field)
        form.addRow("&Height", self.height_field)
        form.addRow("&Resolution", self.dpi_field)
        form.addRow("", self.is_grey)
        form.addRow("", self.is_transparent)
        form.addRow("", self.marks_best_match)
        form.addRow("", self.has_markers)
        form.addRow("", self.is_log)
        buttons = self._make_buttons()
        settings = QWidget()
        left = QVBoxLayout(settings)
        left.setContentsMargins(0, 0, 0, 0)
        left.addLayout(form)
        left.addWidget(self._problem)
        left.addWidget(self._note)
        left.addStretch(1)
        frame = QFrame()
        frame.setObjectName("paper")
        inside = QVBoxLayout(frame)
        inside.setContentsMargins(0, 0, 0, 0)
        inside.addWidget(self._preview)
        top = QHBoxLayout()
        top.addWidget(Scrolled(settings), 1)
        top.addWidget(frame)
        outer = QVBoxLayout(self)
        outer.addLayout(top)
        outer.addWidget(buttons)
        # Qt by itself would take no more than two thirds of the screen.
        self.resize(self.sizeHint().boundedTo(self.screen().availableSize()))
        for line in (self.title_field, self.caption_field):
            line.textChanged.connect(self._redraw_soon)
        for box in (self.width_field, self.height_field, self.dpi_field):
            box.changed.connect(self._redraw_soon)
        for choice in (self.view_box, self.legend_box, self.changes_box):
            choice.currentIndexChanged.connect(self._redraw_soon)
        marks = self.marks_best_match, self.has_markers, self.is_log
        for tick in (self.has_title, self.is_grey, self.is_transparent, *marks):
            tick.toggled.connect(self._redraw_soon)
        self.has_title.toggled.connect(self.title_field.setEnabled)
        self.title_field.setEnabled(self.has_title.isChecked())

    def _make_buttons(self) -> QDialogButtonBox:
        self.save_button = QPushButton("Choose a &name and save ...")
        self.save_button.setDefault(True)
        self.copy_button = QPushButton("C&opy")
        self.copy_button.setAutoDefault(False)
        buttons = QDialogButtonBox(QDialogButtonBox.StandardButton.Close)
        buttons.button(QDialogButtonBox.StandardButton.Close).setAutoDefault(False)
        buttons.addButton(self.copy_button, QDialogButtonBox.ButtonRole.ActionRole)
        buttons.addButton(self.save_button, QDialogButtonBox.ButtonRole.ActionRole)
        buttons.rejected.connect(self.reject)
        self.save_button.clicked.connect(lambda: self.save_wanted.emit(self.request))
        self.copy_button.clicked.connect(lambda: self.copy_wanted.emit(self.request))
        return buttons

    def _preview_that_fits(self) -> QSize:
        """Room for the preview, in pixels: as large as the screen allows, always of one shape."""
        room = self.screen().availableSize() - QSize(*_BESIDE_PREVIEW_PX)
        return QSize(*_PREVIEW_PX).scaled(
            room.boundedTo(QSize(*_PREVIEW_PX)), Qt.AspectRatioMode.KeepAspectRatio
        )

    def _redraw_soon(self) -> None:
        self._timer.start()

    def _redraw(self) -> None:
        request = self.request
        fields = (self.width_field, self.height_field, self.dpi_field)
        typed_wrong = next((field.problem for field in fields if field.problem), "")
        if typed_wrong:
            self._show_problem(typed_wrong)
            return
        ratio = self.devicePixelRatioF()
        room = self._preview_px
        scale = min(room.width() / request.width_mm, room.height() / request.height_mm)
        try:
            scale *= ratio
            size = QSize(round(request.width_mm * scale), round(request.height_mm * scale))
            image, note = self._draw(request, size)
        except FairleadError as error:
            self._preview.clear()
            self._note.clear()
            self._show_problem(str(error))
        else:
            image.setDevicePixelRatio(ratio)
            self._preview.setPixmap(QPixmap.fromImage(image))
            self._show_problem("")
            self._note.setText(note)

    def _drag(self) -> None:
        data = None if self.problem else self._make_data(self.request)
        if data is not None:
            small = self._preview.pixmap().scaledToWidth(_DRAGGED_PX)
            Dragging.start(self._preview, data, small)

    def _show_problem(self, problem: str) -> None:
        self._problem.setText(problem)
        self.save_button.setEnabled(not self.problem)
        self.copy_button.setEnabled(not self.problem)


class _DraggedPicture(QLabel):
    """Calls back when it is dragged by the left button."""

    def __init__(self, drag: Callable[[], None]) -> None:
        super().__init__()
        self._drag = drag
        self._pressed_at: QPoint | None = None

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """Remember where."""
        if event.button() == Qt.MouseButton.LeftButton:
            self._pressed_at = event.position().toPoint()

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        """Begin the drag once the mouse has gone far enough."""
        if self._pressed_at is None:
            return
        gone = (event.position().toPoint() - self._pressed_at).manhattanLength()
        if gone >= QApplication.startDragDistance():
            self._pressed_at = None
            self._drag()

    def mouseReleaseEvent(self, _event: QMouseEvent) -> None:
        """A click is no drag."""
        self._pressed_at = None


def _line(name: str, text: str, placeholder: str) -> QLineEdit:
    line = QLineEdit(text)
    line.setAccessibleName(name)
    line.setPlaceholderText(placeholder)
    line.setMinimumWidth(220)
    return line


def _size_field(name: str, low: float, value: float) -> NumberField:
    return NumberField(name, "mm", (low, LARGEST_MM), 5, 1, value)
