"""The window in which a curve of a picture becomes a sweep: mark, look, accept."""

from __future__ import annotations

from typing import TYPE_CHECKING, cast

from PySide6.QtCore import QEvent, Qt, Signal
from PySide6.QtGui import QImage, QKeySequence, QShortcut
from PySide6.QtWidgets import (
    QButtonGroup,
    QCheckBox,
    QDialog,
    QHBoxLayout,
    QLabel,
    QPushButton,
    QScrollArea,
    QStyle,
    QToolButton,
    QVBoxLayout,
    QWidget,
)

from fairlead.app.look.tool_tip import tool_tip
from fairlead.app.panels.tracing.curve_form import CurveForm
from fairlead.app.panels.tracing.draft_edits import DraftEdits
from fairlead.app.panels.tracing.picture_view import PictureView
from fairlead.app.panels.tracing.point_editor import PointEditor
from fairlead.app.panels.tracing.square_preview import SquarePreview
from fairlead.core.errors import FairleadError
from fairlead.core.picture_trace.axes_fit import fit_axes

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from PySide6.QtCore import QPointF
    from PySide6.QtGui import QCloseEvent, QKeyEvent, QShowEvent

    from fairlead.app.document.view_state import ViewState
    from fairlead.app.panels.tracing.draft import Draft
    from fairlead.app.panels.tracing.grips import Grip, Tool
    from fairlead.app.panels.tracing.lifted import Lifted
    from fairlead.core.picture_trace.raster import Rectangle
    from fairlead.core.picture_trace.straighten import Picture

_SIZE_PX = (1180, 720)
_SIDE_PX = 220
_PREVIEW_FROM_PX = 600.0
_TOOLS: tuple[tuple[Tool, str, str], ...] = (
    (
        "square",
        "&1 Straighten",
        (
            "Only for a picture taken at an angle: draw a rectangle, then drag its corners to "
            "those of the plot's frame, or to four crossings of its grid."
        ),
    ),
    (
        "known",
        "&2 Known points",
        (
            "Click where grid lines cross and type what they stand for: at least two different "
            "frequencies and two different values, better three of each."
        ),
    ),
    (
        "curve",
        "&3 Curve",
        (
            "Click on the curve. Where the magenta line leaves it: click again on the curve, draw "
            "a search area around the plot, or leave a span out."
        ),
    ),
    (
        "hand",
        "&4 By hand",
        "Click along the curve; the points are joined. New run starts another piece.",
    ),
    (
        "erase",
        "&5 Leave out",
        "Drag over what is not the curve; no value is given there. Delete takes a mark away.",
    ),
    ("area", "&6 Search area", "Drag over the part of the picture in which the curve lies."),
)


class TracePanel(QDialog):
    """Marks a picture, with an undo of its own; the bench changes only when a tracing is accepted.

    Parameters
    ----------
    name : str
        Of the picture.
    pixels : uint8 array, shape (h, w, 3)
        Upright, RGB.
    copies : sequence of QImage
        The same, and halved copies of it.
    draft : Draft
        What is marked already.
    """

    asked = Signal()
    """The curves are to be found anew."""
    accept_wanted = Signal()
    left = Signal(bool)
    """The window was closed; whether marks were made that no sweep has."""

    def __init__(
        self,
        name: str,
        pixels: Picture,
        copies: Sequence[QImage],
        draft: Draft,
        view_state: ViewState,
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(parent)
        self.setWindowTitle(f"Trace a picture: {name}")
        self.setModal(False)
        self.resize(*_SIZE_PX)
        self.edits = DraftEdits(pixels, draft)
        self.view = PictureView(view_state)
        self.editor = PointEditor(self.view)
        self.preview = SquarePreview(view_state)
        self.form = CurveForm()
        self.snap_box = QCheckBox("Snap to &grid lines")
        self.snap_box.setChecked(True)
        self.snap_box.setToolTip(tool_tip("Hold Alt to place a single mark without snapping"))
        self.run_button = QPushButton("New &run")
        self.run_button.setToolTip(tool_tip("The next point by hand begins a piece of its own"))
        self.hint = _plain_label()
        self.status = _plain_label()
        self.undo_button, self.redo_button = QPushButton("&Undo"), QPushButton("Re&do")
        self.accept_button = QPushButton("&Accept")
        self.accept_button.setToolTip(tool_tip("Put the curves on the bench as sweeps"))
        self.close_button = QPushButton("C&lose")
        self.tool_buttons: dict[Tool, QToolButton] = {}
        self._tools = QButtonGroup(self)
        self._side = QScrollArea()
        self._found_problem = ""
        self._axes_words, self._axes_problem = "", ""
        self._accepted_draft: Draft = draft
        self._lay_out()
        self._connect()
        self.view.show_picture(copies)
        self.preview.show_picture(*self.view.smaller(_PREVIEW_FROM_PX))
        self.choose_tool("curve" if draft.known else "known")

    @property
    def draft(self) -> Draft:
        """What is marked now."""
        return self.edits.draft

    @property
    def has_unaccepted(self) -> bool:
        """Whether something is marked that no sweep has."""
        return self.draft != self._accepted_draft

    def note_accepted(self) -> None:
        """What is marked now is on the bench."""
        self._accepted_draft = self.edits.note_accepted()
        self.accept_button.setEnabled(True)

    def choose_tool(self, tool: str) -> None:
        """Choose what the next click does."""
        self.edits.tool = cast("Tool", tool)
        self.tool_buttons[self.edits.tool].setChecked(True)
        self.hint.setText(next(words for name, _, words in _TOOLS if name == tool))
        self.run_button.setVisible(tool == "hand")
        self.snap_box.setVisible(tool in ("known", "square"))
        self.editor.hide()
        self._show()

    def show_found(self, found: Sequence[Lifted | None], problem: str) -> None:
        """Lay the curves over the picture, or say why one is not there."""
        self.view.show_lifted(found)
        self._found_problem = problem
        has_all = bool(found) and not problem and any(one is not None for one in found)
        self.accept_button.setEnabled(has_all)
        self._show_status()

    def refuse(self, error: FairleadError) -> None:
        """Say why the curves make no sweeps."""
        self._found_problem = str(error)
        self._show_status()

    def show_waiting(self) -> None:
        """The curves shown are those of an earlier state."""
        self.accept_button.setEnabled(False)

    # Following

    def _changed(self) -> None:
        self._show()
        self.asked.emit()

    def _show(self) -> None:
        edits, draft = self.edits, self.draft
        self.view.show_marks(draft, edits.tool, edits.curve)
        self.preview.show_corners(draft.corners)
        self.form.show_draft(draft, edits.curve, edits.kind, self._residuals())
        active = self.view.active
        self.form.show_known(active.index if active and active.kind == "known" else -1)
        self._show_editor()
        history = edits.history
        for button, text, word in (
            (self.undo_button, history.undo_text, "Undo"),
            (self.redo_button, history.redo_text, "Redo"),
        ):
            button.setEnabled(bool(text))
            button.setToolTip(tool_tip(f"{word}: {text}" if text else ""))
        self._show_status()

    def _residuals(self) -> list[str]:
        draft, kind = self.draft, self.edits.kind
        trace = draft.trace()
        self._axes_words, self._axes_problem = "", ""
        words = [""] * len(draft.known)
        try:
            fit = fit_axes(trace.frequency, trace.axis(kind), trace.corners)
        except FairleadError as error:
            self._axes_problem = str(error)
            return words
        for index, places in draft.residual_places(kind).items():
            off = max(abs(float(fit.residuals_px[place])) for place in places)
            words[index] = f"  ({off:.2f} px off)"
        self._axes_words = f"Axes fit within {fit.residual_px:.2f} pixels."
        return words

    def _show_status(self) -> None:
        draft = self.draft
        has_points = len(draft.known) > 1
        words = [self._axes_problem if has_points else "", self._axes_words]
        if self._axes_words and any(one.clicks or one.hand for one in draft.curves):
            words.append(self._found_problem or "Accept if the magenta line lies on the curve.")
        self.status.setText(" ".join(one[0].upper() + one[1:] for one in words if one))

    def _show_editor(self) -> None:
        active = self.view.active
        is_known = active is not None and active.kind == "known"
        if not is_known or active is None or active.index >= len(self.draft.known):
            self.editor.hide()
            return
        point = self.draft.known[active.index]
        self.editor.show_point(point)
        if self.editor.isVisible():
            self.editor.place_at(self.view.spot_of(point.x, point.y))

    # Marking

    def _on_click(self, place: QPointF, is_free: bool) -> None:
        grip = self.edits.click(place.x(), place.y(), is_free=is_free or not self._snaps)
        self._changed()
        if grip is not None:
            self.view.activate(grip)
            if grip.kind == "known":
                self._open_editor()

    def _on_moved(self, grip: Grip, place: QPointF, is_free: bool) -> None:
        self.edits.move(grip, place.x(), place.y(), is_free=is_free or not self._snaps)
        self._changed()

    def _on_rectangle(self, box: Rectangle) -> None:
        self.edits.add_rectangle(box)
        self._changed()

    def _on_removal(self, grip: Grip) -> None:
        self.edits.remove(grip)
        self._changed()

    def _on_activated(self, grip: Grip | None) -> None:
        self.form.show_known(grip.index if grip is not None and grip.kind == "known" else -1)
        self.editor.hide()

    def _on_known_chosen(self, index: int) -> None:
        self.choose_tool("known")
        self.view.activate(self.edits.known_grip(index))
        self._open_editor()

    def _open_editor(self) -> None:
        self.editor.show()
        self._show_editor()
        self.editor.raise_()
        self.editor.frequency.setFocus()
        self.editor.frequency.selectAll()

    def _on_editor_left(self) -> None:
        self.view.setFocus()
        self.editor.hide()

    def _on_frequency(self, frequency_hz: float | None) -> None:
        self._type(frequency_hz=frequency_hz)

    def _on_value(self, value: float | None) -> None:
        self._type(value=value)

    def _type(self, **known: float | None) -> None:
        active = self.view.active
        if active is not None and active.kind == "known":
            self.edits.type_known(active.index, **known)
            self._changed()

    def _step(self, is_back: bool) -> None:
        self.editor.hide()
        if is_back:
            self.edits.history.undo()
        else:
            self.edits.history.redo()
        self._changed()

    @property
    def _snaps(self) -> bool:
        return self.snap_box.isChecked()

    # Making

    def _lay_out(self) -> None:
        top = QHBoxLayout()
        top.setSpacing(4)
        for tool, words, tip in _TOOLS:
            button = QToolButton()
            button.setText(words)
            button.setCheckable(True)
            button.setToolTip(tool_tip(tip))
            button.setAccessibleName(words[3:])
            button.clicked.connect(lambda _=False, name=tool: self.choose_tool(name))
            self._tools.addButton(button)
            self.tool_buttons[tool] = button
            top.addWidget(button)
        top.addStretch(1)
        said = QHBoxLayout()
        said.addWidget(self.hint, 1)
        said.addWidget(self.snap_box)
        said.addWidget(self.run_button)
        side = self._side
        side.setWidgetResizable(True)
        side.setFrameShape(QScrollArea.Shape.NoFrame)
        side.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        inside = QWidget()
        column = QVBoxLayout(inside)
        column.setContentsMargins(0, 0, 0, 0)
        column.addWidget(self.preview)
        column.addWidget(self.form, 1)
        side.setWidget(inside)
        middle = QHBoxLayout()
        middle.addWidget(self.view, 1)
        middle.addWidget(side)
        below = QHBoxLayout()
        below.addWidget(self.status, 1)
        for push in (self.undo_button, self.redo_button, self.accept_button, self.close_button):
            push.setAutoDefault(False)
            below.addWidget(push)
        self.run_button.setAutoDefault(False)
        self.accept_button.setEnabled(False)
        whole = QVBoxLayout(self)
        whole.addLayout(top)
        whole.addLayout(said)
        whole.addLayout(middle, 1)
        whole.addLayout(below)

    def _connect(self) -> None:
        view, form, edits = self.view, self.form, self.edits
        view.clicked.connect(self._on_click)
        view.grip_moved.connect(self._on_moved)
        view.move_ended.connect(edits.history.end_joining)
        view.rectangle_drawn.connect(self._on_rectangle)
        view.removal_wanted.connect(self._on_removal)
        view.activated.connect(self._on_activated)
        view.tool_wanted.connect(self.choose_tool)
        view.looked.connect(self._show_editor)
        self.editor.frequency_typed.connect(self._on_frequency)
        self.editor.value_typed.connect(self._on_value)
        self.editor.left.connect(self._on_editor_left)
        form.known_chosen.connect(self._on_known_chosen)
        form.frequency_scale_wanted.connect(self._do(edits.set_frequency_scale))
        form.kind_wanted.connect(self._do(edits.set_kind))
        form.scale_wanted.connect(self._do(edits.set_scale))
        form.curve_chosen.connect(self._do(edits.choose_curve))
        form.curve_renamed.connect(self._do(edits.rename_curve))
        form.curve_added.connect(self._do(edits.add_curve))
        form.curve_removed.connect(self._do(edits.remove_curve))
        form.tolerance_wanted.connect(self._do(edits.set_tolerance))
        form.tolerance_ended.connect(edits.history.end_joining)
        self.run_button.clicked.connect(edits.begin_run)
        self.undo_button.clicked.connect(lambda: self._step(is_back=True))
        self.redo_button.clicked.connect(lambda: self._step(is_back=False))
        self.accept_button.clicked.connect(self.accept_wanted)
        self.close_button.clicked.connect(self.close)
        for keys, is_back in (("Ctrl+Z", True), ("Ctrl+Shift+Z", False), ("Ctrl+Y", False)):
            shortcut = QShortcut(QKeySequence(keys), self)
            shortcut.activated.connect(lambda back=is_back: self._step(is_back=back))

    def _do(self, edit: Callable[..., None]) -> Callable[..., None]:
        """A slot that does it and shows the outcome."""

        def call(*values: object) -> None:
            edit(*values)
            self._changed()

        return call

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Neither Enter nor Escape ends the work."""
        if event.key() not in (Qt.Key.Key_Return, Qt.Key.Key_Enter, Qt.Key.Key_Escape):
            super().keyPressEvent(event)

    def changeEvent(self, event: QEvent) -> None:
        """Larger texts need a wider column."""
        super().changeEvent(event)
        if event.type() in (QEvent.Type.FontChange, QEvent.Type.StyleChange):
            self._fit_side()

    def showEvent(self, event: QShowEvent) -> None:
        """Make the column as wide as what stands in it."""
        super().showEvent(event)
        self._fit_side()

    def _fit_side(self) -> None:
        bar = self.style().pixelMetric(QStyle.PixelMetric.PM_ScrollBarExtent)
        self._side.setFixedWidth(max(_SIDE_PX, self.form.minimumSizeHint().width()) + bar)

    def closeEvent(self, event: QCloseEvent) -> None:
        """Closed by its button or the window's."""
        super().closeEvent(event)
        self.left.emit(self.has_unaccepted)


def _plain_label() -> QLabel:
    label = QLabel()
    label.setTextFormat(Qt.TextFormat.PlainText)
    label.setWordWrap(True)
    return label
