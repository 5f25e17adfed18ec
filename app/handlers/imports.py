"""Tables whose columns the user has to identify."""

from __future__ import annotations

from pathlib import PurePath
from typing import TYPE_CHECKING

from PySide6.QtCore import Qt

from fairlead.app.panels.message_bar import Message, Offer
from fairlead.core.errors import FairleadError

if TYPE_CHECKING:
    from collections.abc import Sequence

    from PySide6.QtWidgets import QWidget

    from fairlead.app.document.document import Document
    from fairlead.app.document.edits import Edits
    from fairlead.app.document.view_state import ViewState
    from fairlead.app.files.jobs import Job, Jobs
    from fairlead.app.files.loading import Loaded, Loader
    from fairlead.app.files.settings import Settings
    from fairlead.app.files.table_columns import Unclear
    from fairlead.app.panels.import_panel import ImportPanel
    from fairlead.app.panels.message_bar import MessageBar
    from fairlead.core.reading import ColumnPlan, Reading, TablePreview


class ImportHandler:
    """Offers to choose columns, and stores the choice."""

    def __init__(
        self,
        document: Document,
        edits: Edits,
        loader: Loader,
        worker: Jobs,
        messages: MessageBar,
        settings: Settings,
        view_state: ViewState,
        window: QWidget,
    ) -> None:
        self._document = document
        self._edits = edits
        self._loader = loader
        self._worker = worker
        self._messages = messages
        self._settings = settings
        self._view_state = view_state
        self._window = window
        self._panel: ImportPanel | None = None
        loader.loaded.connect(self._on_loaded)

    @property
    def panel(self) -> ImportPanel | None:
        """The panel while it is open."""
        return self._panel

    def ask(self, unclear: tuple[Unclear, ...]) -> None:
        """Report tables whose columns cannot be identified, and offer to choose them."""
        self._messages.say_all(self._message(one) for one in unclear)

    def choose(self, unclear: Unclear) -> None:
        """Open the panel for a set of similar tables."""
        # Imported here: it needs the readers, which the start avoids.
        from fairlead.app.panels.import_panel import ImportPanel  # noqa: PLC0415

        if self._panel is not None:
            return
        panel = ImportPanel(unclear, self._first(unclear), self._view_state, self._window)
        panel.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        panel.import_wanted.connect(
            lambda plan, remembers: self._import(unclear, plan, is_remembered=remembers)
        )
        # Offered again if the user cancels.
        panel.rejected.connect(lambda: self.ask((unclear,)))
        panel.finished.connect(self._on_finished)
        self._panel = panel
        panel.open()

    def choose_again(self) -> None:
        """Choose the columns of the table that the selected sweep was read from once more."""
        keys = self._view_state.selection
        files = {entry.file for entry in self._document.bench.entries if entry.key in keys}
        file = files.pop() if len(files) == 1 else ""
        if not file:
            self._messages.say("note", ["Select one sweep that was read from a table"])
            return
        name = PurePath(file).name

        def look(_: Job) -> TablePreview | None:
            # Imported here: it needs the readers, which the start avoids.
            from fairlead.core.reading import open_preview  # noqa: PLC0415

            return open_preview(file)

        def show(preview: TablePreview | None) -> None:
            if preview is None:
                self._messages.say("note", [f"{name} is not a table: its columns are fixed"])
            else:
                self._show_again(preview, file)

        self._worker.run(f"Reading {name}", look, show, self._fail)

    def _show_again(self, preview: TablePreview, file: str) -> None:
        from fairlead.app.files.table_columns import Unclear  # noqa: PLC0415 - as the panel
        from fairlead.app.panels.import_panel import ImportPanel  # noqa: PLC0415 - see choose

        if self._panel is not None:
            return
        unclear = Unclear(
            preview, "its sweeps on the bench are replaced, which can be undone", (file,)
        )
        panel = ImportPanel(unclear, self._first(unclear), self._view_state, self._window)
        panel.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        panel.import_wanted.connect(
            lambda plan, remembers: self._read_again(unclear, plan, is_remembered=remembers)
        )
        panel.finished.connect(self._on_finished)
        self._panel = panel
        panel.open()

    def _read_again(self, unclear: Unclear, plan: ColumnPlan, *, is_remembered: bool) -> None:
        file = unclear.files[0]
        if is_remembered:
            self._settings.set_columns(unclear.preview.fingerprint, plan.text())

        def read(_: Job) -> tuple[Reading, ...]:
            from fairlead.core.reading import open_sweeps  # noqa: PLC0415 - see choose_again

            return open_sweeps(file, plan)

        self._worker.run(
            f"Reading {PurePath(file).name}",
            read,
            lambda readings: self._replace(file, readings),
            self._fail,
        )

    def _replace(self, file: str, readings: Sequence[Reading]) -> None:
        """The sweeps of a file replaced in the order in which they were read, as one undo step."""
        own = sorted(entry.key for entry in self._document.bench.entries if entry.file == file)
        if own:
            changed = dict(zip(own, readings, strict=False))
            self._edits.choose_columns(changed, readings[len(own) :], own[len(readings) :])

    def _fail(self, error: FairleadError) -> None:
        self._messages.say("error", [str(error)])

    def forget(self) -> None:
        """Forget all choices and ask again for every table."""
        count = len(self._settings.columns)
        self._settings.forget_columns()
        kinds = "1 kind of table" if count == 1 else f"{count} kinds of tables"
        self._messages.say("note", [f"Forgot the columns chosen for {kinds}"])

    def _on_loaded(self, loaded: Loaded) -> None:
        self.ask(loaded.unclear)

    def _message(self, unclear: Unclear) -> Message:
        name = PurePath(unclear.files[0]).name
        more = len(unclear.files) - 1
        others = f" and {more} more like it" if more else ""
        offer = Offer(
            "Choose columns",
            f"State what each column of {name} is",
            lambda: self.choose(unclear),
        )
        about = f"columns:{unclear.preview.fingerprint}"
        return Message("warning", f"{name}{others}: {unclear.reason}", (offer,), about)

    def _first(self, unclear: Unclear) -> ColumnPlan | None:
        """The plan chosen for such a table before; None: what its headings say."""
        from fairlead.core.reading import ColumnPlan  # noqa: PLC0415 - see choose

        known = self._settings.columns.get(unclear.preview.fingerprint, "")
        try:
            return ColumnPlan.parse(known) if known else None
        except FairleadError:
            return None

    def _import(self, unclear: Unclear, plan: ColumnPlan, *, is_remembered: bool) -> None:
        text = plan.text()
        if is_remembered:
            self._settings.set_columns(unclear.preview.fingerprint, text)
        self._loader.load(unclear.files, columns={unclear.preview.fingerprint: text})

    def _on_finished(self) -> None:
        self._panel = None
