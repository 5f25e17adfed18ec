"""The window: creates the parts and connects them; no logic."""

from __future__ import annotations

import gc
import sys
import time
from typing import TYPE_CHECKING

from PySide6.QtCore import QCoreApplication, QEventLoop, QSize, QTimer
from PySide6.QtGui import QGuiApplication
from PySide6.QtWidgets import (
    QApplication,
    QMainWindow,
)

from fairlead.app.document.document import Document
from fairlead.app.document.edits import Edits
from fairlead.app.document.key_steps import KeySteps
from fairlead.app.document.view_state import ViewState
from fairlead.app.files.handed_out import HandedOut
from fairlead.app.files.jobs import Jobs
from fairlead.app.files.loading import Loader
from fairlead.app.files.settings import APPLICATION, ORGANISATION, Settings
from fairlead.app.files.watching import FolderWatch
from fairlead.app.handlers import Handlers
from fairlead.app.handlers.accuracy import AccuracyHandler
from fairlead.app.handlers.advice import AdviceHandler
from fairlead.app.handlers.background import BackgroundResults
from fairlead.app.handlers.band import BandHandler
from fairlead.app.handlers.bench import BenchHandler
from fairlead.app.handlers.changes import ChangeHandler
from fairlead.app.handlers.desk import Desk
from fairlead.app.handlers.exports import ExportHandler
from fairlead.app.handlers.feed_line import FeedLineHandler
from fairlead.app.handlers.files import FileHandler
from fairlead.app.handlers.groups import GroupHandler
from fairlead.app.handlers.help import HelpHandler
from fairlead.app.handlers.imports import ImportHandler
from fairlead.app.handlers.markers import MarkerHandler
from fairlead.app.handlers.on_air import OnAirHandler
from fairlead.app.handlers.over_time import OverTimeHandler
from fairlead.app.handlers.paper import PaperHandler
from fairlead.app.handlers.pictures import PictureHandler
from fairlead.app.handlers.planning import PlanHandler
from fairlead.app.handlers.recovery import RecoveryHandler
from fairlead.app.handlers.repeats import RepeatsHandler
from fairlead.app.handlers.story import StoryHandler
from fairlead.app.handlers.sweeps import SweepHandler
from fairlead.app.handlers.tracing import TracingHandler
from fairlead.app.handlers.typed import TypedHandler
from fairlead.app.handlers.unforeseen import UnforeseenErrors, log_file
from fairlead.app.handlers.view import ViewHandler, chosen_look
from fairlead.app.handlers.watching import WatchHandler
from fairlead.app.look.resources import icon
from fairlead.app.look.theme import apply_palette, apply_theme
from fairlead.app.panels.band_panel import BandPanel
from fairlead.app.panels.change_text import ChangeText
from fairlead.app.panels.elided_label import ElidedLabel
from fairlead.app.panels.empty_page import EmptyPage
from fairlead.app.panels.list_filter import ListFilter
from fairlead.app.panels.message_bar import MessageBar
from fairlead.app.panels.parts_table import PartsTable
from fairlead.app.panels.progress_row import ProgressRow
from fairlead.app.panels.readout import Readout
from fairlead.app.panels.recovery_bar import RecoveryBar
from fairlead.app.panels.sweep_detail import SweepDetail
from fairlead.app.panels.sweep_list import SweepList
from fairlead.app.panels.sweep_list_model import SweepListModel
from fairlead.app.panels.watch_line import WatchLine
from fairlead.app.plots.frequency_plot import FrequencyPlot
from fairlead.app.plots.prepared import prepare
from fairlead.app.plots.smith_plot import SmithPlot
from fairlead.app.shell.actions import KEYS
from fairlead.app.shell.menus import Actions
from fairlead.app.shell.plot_menu import PlotMenu
from fairlead.app.shell.recent_menu import RecentMenu
from fairlead.app.shell.session_end import Application, LogOut, SessionEnd
from fairlead.app.shell.waiting_line import WaitingLine
from fairlead.app.shell.workspace import Panes, Workspace
from fairlead.app.tables.figures_model import FiguresModel
from fairlead.app.tables.figures_view import FiguresView
from fairlead.app.tables.marker_model import MarkerModel
from fairlead.app.tables.marker_view import MarkerView
from fairlead.app.version import version
from fairlead.core.table_lines import heading_line

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from PySide6.QtCore import QMimeData
    from PySide6.QtGui import QCloseEvent, QDragEnterEvent, QDragMoveEvent, QDropEvent

    from fairlead.app.look.palette import Theme
    from fairlead.core.document.bench import Bench
    from fairlead.core.sweep import AnySweep

_FIRST_SIZE = QSize(1280, 800)
# The row makes the plots smaller, and redrawing them takes longer than most saves.
_SAVING_SHOWN_AFTER_MS = 1000
# By then the window is shown and has read its files, on a slow machine too; there is no work to
# lose so early.
_RECOVERY_AFTER_MS = 1000
_STANDING_AFTER_MS = 2000
_SAVING_PATIENCE_S = 20.0
_NO_INPUT = QEventLoop.ProcessEventsFlag.ExcludeUserInputEvents


class MainWindow(QMainWindow):
    """The main window.

    Attributes
    ----------
    document, edits, view_state, settings, loader, worker
        What the parts share.
    handlers : Handlers
        What the commands do.
    commands : Actions
        The commands themselves, by id.
    """

    def __init__(self, settings: Settings) -> None:
        super().__init__()
        self.settings = settings
        # Without a parent: they must outlive the widgets, which are connected to them to the end.
        self.document = Document()
        self.edits = Edits(self.document)
        self.view_state = ViewState()
        self.view_state.set_theme(chosen_look(settings))
        self.view_state.show_uncertainty(is_shown=settings.shows_uncertainty)
        self.view_state.show_marker_values(is_shown=settings.shows_markers)
        self.view_state.set_log_frequency(is_log=settings.log_frequency)
        application = QApplication.instance()
        if isinstance(application, QApplication):
            apply_palette(application, self.view_state.theme)

        def make_ready(sweep: AnySweep, bench: Bench) -> None:
            view_state = self.view_state
            prepare(
                self.document.analyses,
                sweep,
                bench,
                view_state.quantity,
                is_log=view_state.log_frequency,
            )

        self.loader = Loader(
            lambda: self.document.bench, self, lambda: settings.columns, make_ready
        )
        self.worker = Jobs(self)
        self._is_closed = False
        self.watch = FolderWatch(lambda: self.document.bench, self, make_ready)
        self.key_steps = KeySteps(self.document, self.edits, self)
        self._make_parts()
        self.handlers = self._make_handlers()
        self.background = BackgroundResults(self.document, self.messages, self)
        self.commands = Actions(self.handlers, self.document, self.edits, self.view_state, self)
        self._make_window()
        self._connect()
        self._show_bench(self.document.bench, self.document.bench)
        self._show_file()

    # Making

    def _make_parts(self) -> None:
        document, view_state = self.document, self.view_state
        self.messages = MessageBar(view_state)
        self.recovery_bar = RecoveryBar()
        self.watch_line = WatchLine(view_state)
        self.progress = ProgressRow(view_state)
        self.saving = ProgressRow(
            view_state, "saving", can_cancel=False, show_after_ms=_SAVING_SHOWN_AFTER_MS
        )
        self.band_panel = BandPanel(document, self.settings.region, self.settings.own_bands)
        self.sweep_model = SweepListModel(document, self, view_state)
        self.handed_out = handed_out = HandedOut()
        # Not through the window: what its own models hold is never given back.
        self.sweep_model.files_of = lambda keys: handed_out.sweeps(map(document.bench.entry, keys))
        self.sweep_list = SweepList(self.sweep_model, view_state)
        self.list_filter = ListFilter(document, self.sweep_list)
        self.detail = SweepDetail(document, view_state, self.sweep_model.concerns)
        self.readout = Readout(document, view_state)
        self.frequency_plot = FrequencyPlot(document, view_state)
        self.smith_plot = SmithPlot(document, view_state)
        self.figures_model = FiguresModel(document, view_state, self)
        self.figures = FiguresView(self.figures_model, view_state)
        self.marker_model = MarkerModel(document, view_state, self)
        self.marker_view = MarkerView(self.marker_model, view_state)
        self.change_text = ChangeText(document, view_state)
        self.parts_table = PartsTable(document, view_state)
        self.figures_title = ElidedLabel()
        self.figures_title.setObjectName("title")

    def _make_handlers(self) -> Handlers:
        document, edits = self.document, self.edits
        messages, settings = self.messages, self.settings
        plots = (self.frequency_plot, self.smith_plot)
        view_state, worker = self.view_state, self.worker
        desk = Desk(document, edits, view_state, worker, messages, settings, self)
        benches = BenchHandler(document, edits, view_state, worker, messages, settings, self)
        view = ViewHandler(document, view_state, settings, plots, self.smith_plot, self.detail)
        paper = PaperHandler(document, messages, settings, self)
        tracing = TracingHandler(document, edits, view_state, messages, settings, self)
        return Handlers(
            files=FileHandler(
                document, edits, self.loader, benches, messages, settings, tracing, self
            ),
            tracing=tracing,
            bench=benches,
            changes=ChangeHandler(desk),
            exports=ExportHandler(desk),
            recovery=RecoveryHandler(document, benches, worker, self.recovery_bar, messages),
            imports=ImportHandler(
                document, edits, self.loader, worker, messages, settings, view_state, self
            ),
            watch=WatchHandler(
                document,
                edits,
                self.watch,
                self.loader,
                self.watch_line,
                messages,
                settings,
                self,
            ),
            typed=TypedHandler(desk),
            sweeps=SweepHandler(
                document,
                edits,
                view_state,
                self.sweep_list,
                self.list_filter,
                self.detail,
                messages,
            ),
            groups=GroupHandler(document, edits, view_state, self.sweep_list, messages),
            accuracy=AccuracyHandler(desk),
            advice=AdviceHandler(desk),
            repeats=RepeatsHandler(desk),
            over_time=OverTimeHandler(desk),
            on_air=OnAirHandler(desk),
            planning=PlanHandler(desk),
            feed_line=FeedLineHandler(desk),
            pictures=PictureHandler(desk, self.handed_out),
            view=view,
            band=BandHandler(
                edits, self.key_steps, self.band_panel, view, messages, settings, self
            ),
            paper=paper,
            story=StoryHandler(document, edits, benches, messages, self),
            markers=MarkerHandler(document, edits, view_state, settings, self),
            help=HelpHandler(document, view_state, self.sweep_model.concerns, paper, self, KEYS),
        )

    def _make_window(self) -> None:
        commands = self.commands
        menus = commands.fill(self.menuBar())
        self.recent_menu = RecentMenu(
            menus["&File/Open &recent"],
            commands["clear-recent"],
            self.settings,
            lambda path: self.load([path]),
        )
        self.empty_page = EmptyPage(
            self.view_state,
            commands["open"],
            commands["open-folder"],
            commands["open-samples"],
            commands["story"],
        )
        for name in (
            "rename",
            "condition",
            "edit-readings",
            "edit-tracing",
            "reference",
            "toggle",
            "show-alone",
            "group-units",
            "group-repeats",
            "ungroup",
            "group-fold",
            "move-up",
            "move-down",
            "remove",
        ):
            self.sweep_list.addAction(commands[name])
        PlotMenu(
            (self.frequency_plot, self.smith_plot),
            commands,
            menus["&View/&Plot over frequency"],
            self,
        )
        for name in ("copy-table", "copy-markdown"):
            self.figures.addAction(commands[name])
        for name in ("copy-changes", "copy-changes-markdown"):
            self.change_text.addAction(commands[name])
        commands["uncertainty"].setChecked(self.settings.shows_uncertainty)
        commands["log-frequency"].setChecked(self.settings.log_frequency)
        commands["marker-values"].setChecked(self.settings.shows_markers)
        commands["detail"].setChecked(self.settings.shows_detail)
        self.detail.setVisible(self.settings.shows_detail)
        commands[f"theme-{self.settings.theme}"].setChecked(True)
        commands[f"view-{self.view_state.quantity.id}"].setChecked(True)
        parts = Panes(
            messages=self.messages,
            recovery=self.recovery_bar,
            progress=self.progress,
            saving=self.saving,
            watch=self.watch_line,
            empty=self.empty_page,
            band=self.band_panel,
            sweeps=self.sweep_list,
            list_filter=self.list_filter,
            detail=self.detail,
            readout=self.readout,
            frequency_plot=self.frequency_plot,
            smith_plot=self.smith_plot,
            figures_title=self.figures_title,
            figures=self.figures,
            marker_values=self.marker_view,
            changes=self.change_text,
            change_parts=self.parts_table,
        )
        self.workspace = Workspace(parts, commands)
        self.setCentralWidget(self.workspace)
        # Not before all parts are in their places: under a style sheet every widget is styled again
        # whenever it, or what it stands in, is put into another, which doubles the time.
        self._show_theme(self.view_state.theme)
        self.setWindowIcon(icon("fairlead", self.view_state.theme.text))
        self.resize(_FIRST_SIZE.boundedTo(self.screen().availableSize()))
        self.restoreGeometry(self.settings.blob("window"))
        self.workspace.restore(self.settings)
        self.figures.restore_columns(self.settings.blob(self.figures.state_name))
        self.figures.column_menu.hide_only(self.settings.hidden_columns)
        self.setAcceptDrops(True)

    def _connect(self) -> None:
        edits = self.edits
        self.document.changed.connect(self._show_bench)
        self.document.file_changed.connect(self._show_file)
        # A zoom belongs to its bench.
        self.document.opened.connect(self.handlers.view.show_opened)
        self.view_state.theme_changed.connect(self._show_theme)
        self.view_state.marker_values_changed.connect(self._show_marker_values)
        self.marker_view.edit_wanted.connect(self.handlers.markers.edit)

        self.sweep_model.rename_wanted.connect(edits.rename)
        self.sweep_model.condition_wanted.connect(edits.set_condition)
        self.sweep_model.visibility_wanted.connect(
            lambda keys, is_visible: edits.set_visible(keys, is_visible=is_visible)
        )
        self.sweep_model.move_wanted.connect(self.handlers.sweeps.move)
        self.sweep_model.group_rename_wanted.connect(edits.rename_group)
        self.sweep_model.group_visibility_wanted.connect(
            lambda key, is_visible: edits.set_group_visible(key, is_visible=is_visible)
        )

        self.sweep_list.alone_wanted.connect(self.handlers.sweeps.show_alone)
        self.sweep_list.explanation_wanted.connect(self.handlers.help.show_why)
        self.detail.explanation_wanted.connect(self.handlers.help.show_why)
        self.detail.tracing_wanted.connect(self.handlers.tracing.reopen_of)
        self.detail.condition_wanted.connect(edits.set_condition)
        self.parts_table.radiation_said.connect(
            lambda key, is_same: edits.say_same_radiation([key], is_same=is_same)
        )
        self.detail.circumstances_wanted.connect(edits.set_circumstances)
        self.detail.steps_wanted.connect(self.handlers.sweeps.set_steps)

        self.band_panel.band_wanted.connect(edits.set_band)
        self.band_panel.band_wanted.connect(self.handlers.view.show_small_band)
        self.band_panel.whole_span_wanted.connect(edits.use_whole_span)
        self.band_panel.edge_wanted.connect(edits.set_edge)
        self.band_panel.limit_wanted.connect(edits.set_limit)
        self.band_panel.z0_wanted.connect(edits.set_z0)
        self.band_panel.region_wanted.connect(self.settings.set_region)
        self.band_panel.hinted.connect(lambda text: self.messages.say("note", [text]))
        self.band_panel.refused.connect(lambda text: self.messages.say("warning", [text]))

        self.frequency_plot.gesture_began.connect(self.key_steps.end)
        self.frequency_plot.gesture_began.connect(edits.begin_gesture)
        self.frequency_plot.edge_dragged.connect(edits.drag_edge)
        self.frequency_plot.band_dragged.connect(edits.drag_band)
        self.frequency_plot.limit_dragged.connect(edits.drag_limit)
        self.frequency_plot.marker_dragged.connect(edits.drag_marker)
        self.frequency_plot.marker_removed.connect(lambda key: edits.remove_markers([key]))
        self.frequency_plot.gesture_ended.connect(edits.end_gesture)
        self.frequency_plot.gesture_cancelled.connect(edits.cancel_gesture)

        self.watch.arrived.connect(lambda arrived: self.handlers.imports.ask(arrived.unclear))
        self.loader.started.connect(self.progress.begin)
        self.loader.progressed.connect(self.progress.show_progress)
        self.loader.ended.connect(self.progress.end)
        self.progress.cancel_wanted.connect(self.progress.show_cancelling)
        self.progress.cancel_wanted.connect(self.loader.cancel)
        self.worker.started.connect(self.saving.begin)
        self.worker.ended.connect(self.saving.end)

    def load(self, paths: Sequence[str]) -> None:
        """Read files and folders."""
        self.handlers.files.load(paths)

    # Following

    def _show_bench(self, old: Bench, new: Bench) -> None:
        self.figures_title.set_full_text(heading_line(new))
        if new.entries is not old.entries or not new.entries:
            self.workspace.show_empty(is_empty=not new.entries)
        if bool(new.markers) != bool(old.markers):
            self._show_marker_values()

    def _show_marker_values(self) -> None:
        has_any = bool(self.document.bench.markers)
        is_shown = has_any and self.view_state.shows_marker_values
        self.workspace.show_marker_values(is_shown=is_shown)

    def _show_file(self) -> None:
        # Qt puts its mark for unsaved changes at "[*]"; doubled where it is part of a name.
        name = self.handlers.bench.name.replace("[*]", "[*][*]")
        self.setWindowTitle(f"{name}[*] – Fairlead")
        self.setWindowModified(self.document.is_modified)

    def _show_theme(self, theme: Theme) -> None:
        application = QApplication.instance()
        if isinstance(application, QApplication):
            apply_theme(application, theme)

    # Events

    def dragEnterEvent(self, event: QDragEnterEvent) -> None:
        """Accept pictures, files, folders and addresses (reported as not being files)."""
        if self._takes(event.mimeData()):
            event.acceptProposedAction()

    def dragMoveEvent(self, event: QDragMoveEvent) -> None:
        """Accept them anywhere in the window."""
        if self._takes(event.mimeData()):
            event.acceptProposedAction()

    def dropEvent(self, event: QDropEvent) -> None:
        """Read what was dropped."""
        if self._takes(event.mimeData()):
            event.acceptProposedAction()
            self.handlers.files.open_dropped(event.mimeData())

    def _takes(self, data: QMimeData) -> bool:
        """What comes from elsewhere, not rows of our own list on their way to the desktop."""
        is_there = data.hasUrls() or data.hasImage()
        return is_there and not self.sweep_model.holds_own_rows(data)

    def closeEvent(self, event: QCloseEvent) -> None:
        """Ask what to do with unaccepted marks and unsaved changes, then close everything."""
        if not self._is_closed:
            self.key_steps.end()
            if self.handlers.tracing.may_close():
                self.handlers.bench.when_nothing_is_lost("closing", self._put_away)
        # Not while it is being saved, and not at all if the user cancels.
        event.setAccepted(self._is_closed)

    def end_session(self) -> None:
        """Close without asking: the session is ending, and nobody may be there to answer.

        Unsaved edits are stored, and offered at the next start. Sweeps that were only read from
        files are not offered: nothing in them was edited.
        """
        if self._is_closed:
            return
        self._finish_saving()
        document = self.document
        self._put_away(keeps=document.bench if document.holds_edits else None)

    def save_for_session(self) -> Bench:
        """Store unsaved edits as if the session ended, and continue: the log-out may be cancelled.

        Returns
        -------
        Bench
            What is safe now.
        """
        if not self._is_closed:
            self._finish_saving()
            self.handlers.recovery.keep_now(self._wait_while)
        return self.document.bench

    def is_still(self, bench: Bench) -> bool:
        """Whether this is still the current bench, not merely an equal one."""
        return self.document.bench is bench

    def _finish_saving(self) -> None:
        """End an unfinished gesture, and let a running save finish: it may be the last one."""
        self.key_steps.end()
        self.edits.end_gesture()
        self._wait_while(lambda: self.worker.is_busy)

    def _wait_while(self, is_busy: Callable[[], bool]) -> None:
        """Process events other than user input until something is done or takes too long."""
        until_s = time.monotonic() + _SAVING_PATIENCE_S
        while is_busy() and time.monotonic() < until_s:
            QCoreApplication.processEvents(_NO_INPUT, 50)

    def _put_away(self, *, keeps: Bench | None = None) -> None:
        """Stop reading, finish saving, store the layout, and clear the undo history."""
        self._is_closed = True
        self.loader.close()
        self.handlers.watch.close()
        self.handed_out.clear()
        self.background.close()
        self.handlers.changes.close()
        self.handlers.advice.close()
        self.handlers.tracing.close()
        self.worker.close()
        self.handlers.recovery.close(keeps=keeps)
        self.settings.set_blob("window", self.saveGeometry())
        self.workspace.store(self.settings)
        self.settings.set_blob(self.figures.state_name, self.figures.columns_state)
        self.settings.hidden_columns = self.figures.column_menu.hidden
        # Python may delete the undo commands before the stack that still points at them.
        self.document.undo_stack.clear()
        # It may be called after saving, long after the close event.
        self.close()


def run(paths: Sequence[str]) -> int:
    """Open the window, read the files in the background, and return when it is closed.

    Parameters
    ----------
    paths : sequence of str
        Files and folders.

    Returns
    -------
    int
        Exit status.
    """
    QCoreApplication.setOrganizationName(ORGANISATION)
    QCoreApplication.setApplicationName(APPLICATION)
    QCoreApplication.setApplicationVersion(version())
    application = QApplication.instance() or Application(sys.argv[:1])
    if isinstance(application, QApplication):
        # One style everywhere: it takes all its colours from our palette.
        application.setStyle("Fusion")
    QGuiApplication.setDesktopFileName("fairlead")
    window = MainWindow(Settings())
    UnforeseenErrors(window.messages, log_file(), window).install()
    window.show()
    window.load(paths)
    QTimer.singleShot(_RECOVERY_AFTER_MS, window.handlers.recovery.start_soon)
    QTimer.singleShot(_STANDING_AFTER_MS, _resume_collector)
    end = SessionEnd()
    end.wanted.connect(window.end_session)
    # An open dialog would keep the program running.
    end.wanted.connect(application.quit)
    end.listen()
    line = WaitingLine()
    line.offered.connect(window.handlers.files.offer)
    # Nobody opens a second file within two seconds, and the start is short.
    QTimer.singleShot(_STANDING_AFTER_MS, line.listen)
    if isinstance(application, Application):
        LogOut(application, window)
    try:
        return application.exec()
    finally:
        line.close()
        end.close()


def _resume_collector() -> None:
    """Resume the garbage collector, but skip permanent objects: a pause would make a drag jerk."""
    gc.collect()
    gc.freeze()
    gc.enable()
