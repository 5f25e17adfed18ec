"""What the commands of the menus do, one small class for each kind of work."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from app.handlers.band import BandCommands
    from app.handlers.bench import BenchCommands
    from app.handlers.exports import ExportCommands
    from app.handlers.files import FileCommands
    from app.handlers.help import HelpCommands
    from app.handlers.imports import ImportCommands
    from app.handlers.pictures import PictureCommands
    from app.handlers.recovery import RecoveryCommands
    from app.handlers.sweeps import SweepCommands
    from app.handlers.typed import TypedCommands
    from app.handlers.view import ViewCommands
    from app.handlers.watching import WatchCommands


@dataclass(frozen=True, slots=True)
class Handlers:
    """Everything that a command can call."""

    files: FileCommands
    bench: BenchCommands
    exports: ExportCommands
    recovery: RecoveryCommands
    imports: ImportCommands
    watch: WatchCommands
    typed: TypedCommands
    sweeps: SweepCommands
    pictures: PictureCommands
    view: ViewCommands
    band: BandCommands
    help: HelpCommands
