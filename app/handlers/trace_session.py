"""One picture that is traced: its window, the curves found off the GUI thread, and what is kept."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, QTimer, Signal

from fairlead.app.files.jobs import Job, Jobs
from fairlead.app.panels.tracing.lifted import Lifted, lifted
from fairlead.app.panels.tracing.trace_panel import TracePanel
from fairlead.core.errors import FairleadError
from fairlead.core.picture_trace.axes_fit import fit_axes
from fairlead.core.picture_trace.poor import refuse_poor
from fairlead.core.picture_trace.trace import follow

if TYPE_CHECKING:
    from PySide6.QtGui import QImage
    from PySide6.QtWidgets import QWidget

    from fairlead.app.document.view_state import ViewState
    from fairlead.app.files.picture_files import DecodedPicture
    from fairlead.app.panels.tracing.draft import Draft
    from fairlead.core.picture_trace.straighten import Picture
    from fairlead.core.picture_trace.trace import PictureTrace

# After the last change of a mark.
_PAUSE_MS = 200
_MOST_REMEMBERED = 40


class TraceSession(QObject):
    """Follows the curves of a draft in pauses of the marking, and remembers those it has found."""

    accept_wanted = Signal(object)
    left = Signal(object, bool)
    """The session, and whether marks were made that no sweep has."""

    def __init__(
        self,
        picture: DecodedPicture,
        copies: list[QImage],
        draft: Draft,
        file: str,
        picture_key: int | None,
        view_state: ViewState,
        window: QWidget,
    ) -> None:
        super().__init__(window)
        self.picture = picture
        self.file = file
        """Path of the file that was opened; may be empty."""
        self.picture_key = picture_key
        """Key on the bench of the picture, if it is kept there already."""
        self.panel = TracePanel(picture.name, picture.pixels, copies, draft, view_state, window)
        self._found: dict[PictureTrace, Lifted | str] = {}
        self._jobs = Jobs(self)
        self._pause = QTimer(self)
        self._pause.setSingleShot(True)
        self._pause.setInterval(_PAUSE_MS)
        self._pause.timeout.connect(self._work)
        self.panel.asked.connect(self._ask)
        self.panel.accept_wanted.connect(lambda: self.accept_wanted.emit(self))
        self.panel.left.connect(lambda has_more: self.left.emit(self, has_more))
        self._ask()

    @property
    def is_busy(self) -> bool:
        """Whether curves are awaited."""
        return self._pause.isActive() or self._jobs.is_busy

    def close(self) -> None:
        """Stop; nothing is found any more."""
        self._pause.stop()
        self._jobs.cancel()
        self._jobs.close()

    def _ask(self) -> None:
        self.panel.show_waiting()
        self._pause.start()

    def _work(self) -> None:
        draft, pixels, known = self.panel.draft, self.picture.pixels, dict(self._found)

        def task(job: Job) -> dict[PictureTrace, Lifted | str]:
            found = {}
            for index, curve in enumerate(draft.curves):
                if job.is_cancelled:
                    break
                if curve.clicks or curve.hand:
                    alone = _alone(draft.trace(), index)
                    found[alone] = known.get(alone) or _followed(pixels, alone)
            return found

        def done(found: dict[PictureTrace, Lifted | str]) -> None:
            self._remember(found)
            if self.panel.draft == draft and not self._pause.isActive():
                self._show(draft, found)

        self._jobs.cancel()
        self._jobs.run("", task, done, self._fail)

    def _remember(self, found: dict[PictureTrace, Lifted | str]) -> None:
        self._found |= found
        for old in list(self._found)[:-_MOST_REMEMBERED]:
            del self._found[old]

    def _show(self, draft: Draft, found: dict[PictureTrace, Lifted | str]) -> None:
        trace = draft.trace()
        said = [found.get(_alone(trace, index)) for index in range(len(draft.curves))]
        problems = {index: _problem(one) for index, one in enumerate(said) if _problem(one)}
        chosen = self.panel.edits.curve
        problem = problems.get(chosen) or next(iter(problems.values()), "")
        self.panel.show_found([one if isinstance(one, Lifted) else None for one in said], problem)

    def _fail(self, error: FairleadError) -> None:
        self.panel.show_found((), str(error))


def _alone(trace: PictureTrace, index: int) -> PictureTrace:
    """What one curve depends on; its name does not matter."""
    curve = trace.curves[index]
    return replace(trace, curves=(replace(curve, name=""),), values=(trace.axis(curve.kind),))


def _followed(pixels: Picture, alone: PictureTrace) -> Lifted | str:
    try:
        found = follow(pixels, alone, 0)
        fit = fit_axes(alone.frequency, alone.values[0], alone.corners)
    except FairleadError as error:
        return str(error)
    try:
        refuse_poor(found, alone)
    except FairleadError as error:
        return lifted(found, fit, str(error))
    return lifted(found, fit)


def _problem(one: Lifted | str | None) -> str:
    return one.problem if isinstance(one, Lifted) else one or ""
