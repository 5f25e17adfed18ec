"""The plan of a measurement in the window."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from fairlead.app.handlers.desk import PanelHandler
from fairlead.app.panels.file_chooser import FileChooser
from fairlead.core.errors import FairleadError

if TYPE_CHECKING:
    from fairlead.core.document.session import Plan
    from fairlead.core.planning.needs import Needs
    from fairlead.core.report_page.paper import Paper


class PlanHandler(PanelHandler):
    """Opens the panel; OK is one undo step, and the bench keeps the plan."""

    def ask(self) -> None:
        """Say what is to be found out, and read what that takes."""
        if self._panel is not None:
            return
        from fairlead.app.panels.plan_panel import PlanPanel  # noqa: PLC0415 - only here

        reference = next((row for row in self._document.rows() if row.is_reference), None)
        figures = None if reference is None else reference.figures
        panel = PlanPanel(self._document.bench, figures, self._settings.paper, self._window)
        panel.wanted.connect(self._edits.set_plan)
        panel.checklist_wanted.connect(self._save)
        self._open(panel)

    def _save(self, plan: Plan, found: Needs, paper: Paper) -> None:
        # Printing needs many modules, which most sessions never use.
        from fairlead.app.printing.checklist import write_checklist  # noqa: PLC0415
        from fairlead.core.planning.words import TITLE, checklist  # noqa: PLC0415

        folder = Path(self._settings.folder or Path.home())
        path = FileChooser.data_to_write(
            self._window, "Save the checklist", str(folder / "checklist.pdf"), "PDF", ".pdf"
        )
        if not path:
            return
        self._settings.paper = paper
        bench = self._document.bench
        try:
            sections = checklist(plan, bench.band, found)
            write_checklist(TITLE, sections, path, paper, bench.source_files)
        except FairleadError as error:
            self._messages.say("error", [str(error)])
            return
        self._messages.say("note", [f"Saved {path}"])
