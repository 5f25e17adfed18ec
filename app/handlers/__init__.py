"""What the commands of the menus do, one small class for each kind of work."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from fairlead.app.handlers.accuracy import AccuracyCommands
    from fairlead.app.handlers.band import BandCommands
    from fairlead.app.handlers.bench import BenchCommands
    from fairlead.app.handlers.changes import ChangeCommands
    from fairlead.app.handlers.exports import ExportCommands
    from fairlead.app.handlers.feed_line import FeedLineCommands
    from fairlead.app.handlers.files import FileCommands
    from fairlead.app.handlers.help import HelpCommands
    from fairlead.app.handlers.imports import ImportCommands
    from fairlead.app.handlers.pictures import PictureCommands
    from fairlead.app.handlers.recovery import RecoveryCommands
    from fairlead.app.handlers.sweeps import SweepCommands
    from fairlead.app.handlers.typed import TypedCommands
    from fairlead.app.handlers.view import ViewCommands
    from fairlead.app.handlers.watching import WatchCommands


@dataclass(frozen=True, slots=True)
class Handlers:
    """Everything that a command can call."""

    files: FileCommands
    bench: BenchCommands
    changes: ChangeCommands
    exports: ExportCommands
    recovery: RecoveryCommands
    imports: ImportCommands
    watch: WatchCommands
    typed: TypedCommands
    sweeps: SweepCommands
    feed_line: FeedLineCommands
    accuracy: AccuracyCommands
    pictures: PictureCommands
    view: ViewCommands
    band: BandCommands
    help: HelpCommands
