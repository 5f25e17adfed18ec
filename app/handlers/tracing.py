"""Opens pictures to trace, and puts what was traced on the bench."""

from __future__ import annotations

from dataclasses import replace
from functools import partial
from pathlib import Path, PurePath
from typing import TYPE_CHECKING

from PySide6.QtCore import QBuffer, QByteArray, QIODevice, QObject
from PySide6.QtGui import QGuiApplication, QImage

from fairlead.app.files.jobs import Job, Jobs
from fairlead.app.panels.file_chooser import FileChooser
from fairlead.app.panels.message_bar import Message, Offer
from fairlead.app.panels.unsaved_question import MarksQuestion
from fairlead.core.errors import FairleadError

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable

    from PySide6.QtCore import QMimeData
    from PySide6.QtWidgets import QWidget

    from fairlead.app.document.document import Document
    from fairlead.app.document.edits import Edits
    from fairlead.app.document.view_state import ViewState
    from fairlead.app.files.picture_files import DecodedPicture
    from fairlead.app.files.settings import Settings
    from fairlead.app.handlers.trace_session import TraceSession
    from fairlead.app.panels.message_bar import MessageBar
    from fairlead.app.panels.tracing.draft import Draft
    from fairlead.core.document.session import KeptPicture
    from fairlead.core.picture_trace.sweeps import TracedSweep

_ENDINGS = (".png", ".jpg", ".jpeg", ".webp", ".bmp", ".pdf")


def is_picture(path: str) -> bool:
    """Whether a file's name is that of a picture, or of a page that people take for one."""
    return path.lower().endswith(_ENDINGS)


class TracingHandler(QObject):
    """Keeps a window for each traced picture; whatever is slow is done off the GUI thread."""

    def __init__(
        self,
        document: Document,
        edits: Edits,
        view_state: ViewState,
        messages: MessageBar,
        settings: Settings,
        window: QWidget,
    ) -> None:
        super().__init__(window)
        self._document = document
        self._edits = edits
        self._view_state = view_state
        self._messages = messages
        self._settings = settings
        self._window = window
        self._jobs = Jobs(self)
        self.sessions: list[TraceSession] = []
        """Of the pictures whose windows are open, the newest last."""

    @property
    def is_busy(self) -> bool:
        """Whether a picture, a curve or a sweep is awaited."""
        return self._jobs.is_busy or any(one.is_busy for one in self.sessions)

    def close(self) -> None:
        """Stop; nothing is opened or found any more."""
        self._jobs.close()
        for one in self.sessions:
            one.close()

    def may_close(self) -> bool:
        """Ask whether marks that no sweep has may be lost; if not, their window is shown again."""
        marked = [one for one in self.sessions if one.panel.has_unaccepted]
        if not marked or MarksQuestion.discards(self._window, [one.picture.name for one in marked]):
            return True
        _bring_up(marked[-1])
        return False

    # Opening

    def choose(self) -> None:
        """Ask for a picture."""
        name = FileChooser.picture_to_trace(self._window, self._settings.folder)
        if name:
            self._settings.folder = str(Path(name).parent)
            self.open([name])

    def open(self, paths: Iterable[str]) -> None:
        """Open the files of pictures, each in a window of its own."""
        from fairlead.app.files.picture_files import read_picture  # noqa: PLC0415 - only here

        for path in paths:
            self._decode(partial(read_picture, path), file=path)

    def paste(self) -> None:
        """Open the picture on the clipboard, or the picture files that were copied."""
        data = QGuiApplication.clipboard().mimeData()
        if not self.take(data):
            self._messages.say("warning", ["there is no picture on the clipboard; copy one first"])

    def take(self, data: QMimeData | None) -> bool:
        """Open what is a picture in what was dropped or copied; False if nothing is."""
        if data is None:
            return False
        files = [url.toLocalFile() for url in data.urls()]
        pictures = [file for file in files if is_picture(file)]
        if pictures:
            self.open(pictures)
        elif data.hasImage():
            image = QImage(data.imageData())
            self._decode(lambda: _decoded_image(image), file="")
        return bool(pictures) or data.hasImage()

    def reopen(self) -> None:
        """Open the tracing of the selected sweep again, to be looked at or mended."""
        chosen = [
            entry
            for entry in self._document.bench.entries
            if entry.key in self._view_state.selection and entry.picture_curve is not None
        ]
        for entry in chosen[:1]:
            self.reopen_of(entry.key)

    def reopen_of(self, key: int) -> None:
        """Open the tracing of one sweep again."""
        from fairlead.app.files.picture_files import decode_picture  # noqa: PLC0415 - as above
        from fairlead.app.panels.tracing.draft import Draft  # noqa: PLC0415 - as above

        bench = self._document.bench
        entry = bench.entry(key)
        kept = next((one for one in bench.pictures if one.key == entry.picture_key), None)
        for session in self.sessions:
            if kept is not None and kept is self._kept(session):
                _bring_up(session)
                return
        if kept is None or kept.trace is None:
            self._messages.say("error", [f'the picture of "{entry.label}" is not kept'])
            return
        draft = Draft.of(kept.trace)
        for other in reversed(bench.entries):
            place = other.picture_curve
            if other.picture_key == kept.key and place is not None and place < len(draft.curves):
                draft = draft.with_curve(place, replace(draft.curves[place], name=other.label))
        self._decode(
            lambda: replace(decode_picture(kept.data, kept.name), name=kept.name),
            file=entry.file,
            draft=draft,
            picture_key=kept.key,
        )

    def _decode(
        self,
        decode: Callable[[], DecodedPicture],
        *,
        file: str,
        draft: Draft | None = None,
        picture_key: int | None = None,
    ) -> None:
        from fairlead.app.panels.tracing.looking import halved_copies  # noqa: PLC0415 - only here

        def task(_job: Job) -> tuple[DecodedPicture, list[QImage]]:
            picture = decode()
            return picture, halved_copies(_image_of(picture))

        def done(found: tuple[DecodedPicture, list[QImage]]) -> None:
            self._start(*found, file, draft, picture_key)

        self._jobs.run("Opening the picture", task, done, self._fail)

    def _start(
        self,
        picture: DecodedPicture,
        copies: list[QImage],
        file: str,
        draft: Draft | None,
        picture_key: int | None,
    ) -> None:
        from fairlead.app.handlers.trace_session import TraceSession  # noqa: PLC0415 - as above
        from fairlead.app.panels.tracing.draft import Draft  # noqa: PLC0415 - as above
        from fairlead.core.picture_trace.trace import PictureTrace  # noqa: PLC0415 - as above

        if draft is None:
            height, width = picture.pixels.shape[:2]
            z0_ohm = self._document.bench.z0_ohm
            draft = Draft(PictureTrace(picture.sha256, width, height, z0_ohm=z0_ohm))
        session = TraceSession(
            picture, copies, draft, file, picture_key, self._view_state, self._window
        )
        session.accept_wanted.connect(self._accept)
        session.left.connect(self._on_left)
        self.sessions.append(session)
        _bring_up(session)

    def _on_left(self, session: TraceSession, has_more: bool) -> None:
        if has_more:
            offer = Offer(
                "Open again", "Go on where you closed the window", lambda: self._go_on(session)
            )
            words = f'the marks on "{session.picture.name}" are not on the bench as a sweep'
            about = f"tracing {id(session)}"
            self._messages.say_all([Message("note", words, (offer,), about)])
        elif session in self.sessions:
            self.sessions.remove(session)
            session.close()
            session.panel.deleteLater()
            session.deleteLater()

    def _go_on(self, session: TraceSession) -> None:
        if session in self.sessions:
            _bring_up(session)

    # Accepting

    def _accept(self, session: TraceSession) -> None:
        from fairlead.core.picture_trace.sweeps import traced_sweeps  # noqa: PLC0415 - as above

        draft = session.panel.draft.finished()
        pixels, trace = session.picture.pixels, draft.trace()

        def task(_job: Job) -> tuple[TracedSweep, ...]:
            return traced_sweeps(pixels, trace)

        def done(found: tuple[TracedSweep, ...]) -> None:
            self._put(session, draft, found)

        session.panel.show_waiting()
        self._jobs.run("Tracing the picture", task, done, session.panel.refuse)

    def _put(self, session: TraceSession, draft: Draft, found: tuple[TracedSweep, ...]) -> None:
        from fairlead.core.document.session import KeptPicture  # noqa: PLC0415 - as above
        from fairlead.core.reading.reading import Reading  # noqa: PLC0415 - as above

        picture = session.picture
        old = self._kept(session)
        key = self._document.bench.next_key if old is None else old.key
        kept = KeptPicture(key, picture.name, picture.media_type, picture.data, draft.trace())
        stem = PurePath(picture.name).stem
        readings = [
            Reading(one.sweep, one.name or _numbered(stem, place, len(found)), session.file)
            for place, one in enumerate(found)
        ]
        firsts = [one.curves[0] for one in found]
        before = [draft.origins[place] for place in firsts]
        self._edits.set_tracing(kept, readings, firsts, before)
        session.picture_key = key
        session.panel.note_accepted()
        what = "sweep" if len(found) == 1 else "sweeps"
        self._messages.say("note", [f"{len(found)} {what} traced from {picture.name}"])

    def _kept(self, session: TraceSession) -> KeptPicture | None:
        """The picture of a session on the bench; another bench may have another one of its key."""
        for one in self._document.bench.pictures:
            if one.key == session.picture_key and one.data == session.picture.data:
                return one
        return None

    def _fail(self, error: FairleadError) -> None:
        self._messages.say("error", [str(error)])


def _bring_up(session: TraceSession) -> None:
    session.panel.show()
    session.panel.raise_()
    session.panel.activateWindow()
    session.panel.view.setFocus()


def _numbered(stem: str, place: int, count: int) -> str:
    return stem if count == 1 else f"{stem} {place + 1}"


def _image_of(picture: DecodedPicture) -> QImage:
    """The picture for the screen, in the form that is painted fastest; it owns its pixels."""
    height, width = picture.pixels.shape[:2]
    rows = QImage(picture.pixels.data, width, height, 3 * width, QImage.Format.Format_RGB888)
    return rows.convertToFormat(QImage.Format.Format_RGB32)


def _decoded_image(image: QImage) -> DecodedPicture:
    from fairlead.app.files.picture_files import decode_picture  # noqa: PLC0415 - as above

    target = QByteArray()
    buffer = QBuffer(target)
    buffer.open(QIODevice.OpenModeFlag.WriteOnly)
    if image.isNull() or not image.save(buffer, "PNG"):  # type: ignore[call-overload]
        raise FairleadError("the copied picture cannot be read", "save it as a file and open that")
    return decode_picture(bytes(target.data()), "copied picture")
