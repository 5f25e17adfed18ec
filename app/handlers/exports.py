"""Data for other programs: sweeps as Touchstone or CSV, the table, the report."""

from __future__ import annotations

import os
from pathlib import Path
from typing import TYPE_CHECKING, Literal

from fairlead.app.files.safe_names import distinct_names, safe_name
from fairlead.app.handlers.desk import Handler
from fairlead.app.panels.file_chooser import FileChooser
from fairlead.app.tables.clipboard import csv_table, markdown
from fairlead.core.atomic_file import write_atomic
from fairlead.core.errors import FairleadError
from fairlead.core.paths import names_in

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from fairlead.app.files.jobs import Job
    from fairlead.core.document.entry import Entry
    from fairlead.core.export import What
    from fairlead.core.report_page.paper import Paper

SweepForm = Literal["Touchstone 1.1", "Touchstone 2.0", "CSV"]
TableForm = Literal["CSV", "Markdown"]
ReportForm = Literal["an A4 page", "a Letter page", "Markdown"]

_SWEEP_ENDINGS: dict[SweepForm, str] = {
    "Touchstone 1.1": ".s1p",
    "Touchstone 2.0": ".ts",
    "CSV": ".csv",
}
# Ending, format and size of the page.
_REPORTS: dict[ReportForm, tuple[str, str, Paper]] = {
    "an A4 page": (".pdf", "PDF", "a4"),
    "a Letter page": (".pdf", "PDF", "letter"),
    "Markdown": (".md", "Markdown", "a4"),
}
_TABLE_ENDINGS: dict[TableForm, str] = {"CSV": ".csv", "Markdown": ".md"}


class ExportHandler(Handler):
    """Acts on the selected sweeps; without a selection, on all that are shown."""

    def export_sweeps(self, form: SweepForm, what: What = "measured") -> None:
        """Write one sweep to a file, several into a folder; asks for either."""
        entries = self._chosen
        if not entries:
            self._messages.say("note", ["No sweep is selected or shown; nothing was exported"])
        elif len(entries) == 1:
            self._export_one(entries[0], form, what)
        else:
            self._export_several(entries, form, what)

    def export_table(self, form: TableForm) -> None:
        """Write the rows of the selected sweeps, or of all, to a file."""
        bench, keys = self._document.bench, self._view_state.selection
        ending = _TABLE_ENDINGS[form]
        path = self._ask(f"figures{ending}", f"Export the table as {form}", form, ending)
        if path:
            make = csv_table if form == "CSV" else markdown
            rows = keys & {entry.key for entry in bench.entries}
            # Here, because the cached figures belong to this thread.
            text = make(bench, rows, self._document.rows())
            self._write([path], lambda: [text])

    def export_report(self, form: ReportForm) -> None:
        """Write one page of a size, or Markdown with its picture, about the sweeps shown."""
        ending, kind, paper = _REPORTS[form]
        path = self._ask(f"report{ending}", f"Export the report as {form}", kind, ending)
        if not path:
            return
        # Printing needs many modules, which most sessions never use.
        from fairlead.app.printing.report_files import write_report  # noqa: PLC0415

        document = self._document
        try:
            written = write_report(
                document.bench,
                path,
                paper,
                document.analyses,
                known=document.knowledge,
                changes=document.changes,
                shows_uncertainty=self._settings.shows_uncertainty,
            )
        except FairleadError as error:
            self._messages.say("error", [str(error)])
            return
        if kind == "PDF":
            self._settings.paper = paper
        self._messages.say("note", [f"Exported {' and '.join(written)}"])

    def _export_one(self, entry: Entry, form: SweepForm, what: What) -> None:
        ending = _SWEEP_ENDINGS[form]
        name = f"{safe_name(_label(entry, what))}{ending}"
        path = self._ask(name, f"Export the sweep as {form}", form, ending)
        if not path:
            return
        self._write([path], lambda: [_text(entry, form, what)])

    def _export_several(self, entries: Sequence[Entry], form: SweepForm, what: What) -> None:
        folder = FileChooser.folder_to_write(
            self._window, f"Export {len(entries)} sweeps into a folder", self._settings.folder
        )
        if not folder:
            return
        self._settings.folder = folder
        try:
            taken = names_in(folder)
        except FairleadError as error:
            self._messages.say("error", [str(error)])
            return
        names = distinct_names(
            [_label(entry, what) for entry in entries], _SWEEP_ENDINGS[form], taken
        )
        paths = [os.path.join(folder, name) for name in names]  # noqa: PTH118 - odd names stay
        self._write(paths, lambda: [_text(entry, form, what) for entry in entries])

    def _ask(self, name: str, title: str, form: str, ending: str) -> str:
        folder = Path(self._settings.folder or Path.home())
        path = FileChooser.data_to_write(self._window, title, str(folder / name), form, ending)
        if path:
            path = os.path.abspath(path)  # noqa: PTH100 - resolve() would follow links
            self._settings.folder = str(Path(path).parent)
        return path

    def _write(self, paths: Sequence[str], make: Callable[[], list[str | FairleadError]]) -> None:
        originals = self._document.bench.source_files

        def work(_: Job) -> tuple[list[str], list[str]]:
            written, errors = [], []
            for path, text in zip(paths, make(), strict=True):
                try:
                    if isinstance(text, FairleadError):
                        raise text
                    data = text.encode("utf-8", "backslashreplace")
                    write_atomic(path, [data], never_over=originals)
                except FairleadError as error:
                    errors.append(str(error))
                else:
                    written.append(path)
            return written, errors

        self._worker.run(
            "Exporting",
            work,
            lambda result: self._on_written(*result),
            lambda error: self._messages.say("error", [str(error)]),
        )

    def _on_written(self, written: Sequence[str], errors: Sequence[str]) -> None:
        if len(written) == 1:
            self._messages.say("note", [f"Exported {written[0]}"])
        elif written:
            folder = str(Path(written[0]).parent)
            self._messages.say("note", [f"Exported {len(written)} files into {folder}"])
        self._messages.say("error", errors)

    @property
    def _chosen(self) -> list[Entry]:
        keys = self._view_state.selection
        selected = [entry for entry in self._document.bench.entries if entry.key in keys]
        return selected or list(self._document.bench.visible)


def _label(entry: Entry, what: What) -> str:
    """The file name of a what-if says so."""
    return entry.label if what == "measured" else entry.title


def _text(entry: Entry, form: SweepForm, what: What) -> str | FairleadError:
    from fairlead.core import export  # noqa: PLC0415 - only needed here

    try:
        if form == "CSV":
            return export.as_csv(entry, what)
        return export.as_touchstone(entry, "1.1" if form == "Touchstone 1.1" else "2.0", what)
    except FairleadError as error:
        return error
