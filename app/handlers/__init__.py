"""What the menu commands do: one small class for each kind of work."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from fairlead.app.handlers.accuracy import AccuracyHandler
    from fairlead.app.handlers.advice import AdviceHandler
    from fairlead.app.handlers.band import BandHandler
    from fairlead.app.handlers.bench import BenchHandler
    from fairlead.app.handlers.changes import ChangeHandler
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
    from fairlead.app.handlers.view import ViewHandler
    from fairlead.app.handlers.watching import WatchHandler


@dataclass(frozen=True, slots=True)
class Handlers:
    """Everything that a command can call."""

    files: FileHandler
    tracing: TracingHandler
    bench: BenchHandler
    changes: ChangeHandler
    exports: ExportHandler
    recovery: RecoveryHandler
    imports: ImportHandler
    watch: WatchHandler
    typed: TypedHandler
    sweeps: SweepHandler
    groups: GroupHandler
    feed_line: FeedLineHandler
    accuracy: AccuracyHandler
    advice: AdviceHandler
    repeats: RepeatsHandler
    planning: PlanHandler
    over_time: OverTimeHandler
    on_air: OnAirHandler
    pictures: PictureHandler
    paper: PaperHandler
    view: ViewHandler
    band: BandHandler
    markers: MarkerHandler
    help: HelpHandler
    story: StoryHandler
