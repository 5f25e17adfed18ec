"""Turns intents into undo commands: the only place that pushes onto the undo stack.

A gesture (dragging an edge, holding a key) shows every step at once and leaves one undo command
when it ends, none if it ends where it began. Escape restores the bench.
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from fairlead.app.document.undo_commands import ChangeBench
from fairlead.core.bands import Band, Edge, move_band, move_edge
from fairlead.core.document.colouring import with_colours
from fairlead.core.document.groups import (
    with_group,
    with_group_label,
    with_group_reference,
    with_group_visibility,
    without_group,
)
from fairlead.core.document.markers import (
    with_marker,
    with_marker_at,
    with_markers,
    without_markers,
)
from fairlead.core.document.planes import with_feed_line
from fairlead.core.document.radiation import with_same_radiation
from fairlead.core.document.showing import with_only
from fairlead.core.document.tracings import with_tracing
from fairlead.core.document.what_if import is_last, unmoved, with_shift
from fairlead.core.errors import FairleadError
from fairlead.core.sweep import ScalarSweep

if TYPE_CHECKING:
    from collections.abc import Collection, Iterable, Mapping, Sequence

    from fairlead.app.document.document import Document
    from fairlead.core.document.advice_request import AdviceRequest
    from fairlead.core.document.bench import Bench
    from fairlead.core.document.colouring import ColourBy
    from fairlead.core.document.entry import Circumstances, Typed
    from fairlead.core.document.picture_request import PictureRequest
    from fairlead.core.document.session import GroupKind, KeptPicture, LogEntry, Plan
    from fairlead.core.reading.reading import Reading
    from fairlead.core.transform.feed_line import LineAdded, LineRemoved
    from fairlead.core.transform.step import Plane, Step
    from fairlead.core.uncertainty.error_model import ErrorModel


class Edits:
    """What a user can do to the document.

    Every method is one undo step, or none if nothing would change.
    """

    def __init__(self, document: Document) -> None:
        self._document = document
        self._gesture_start: Bench | None = None
        self._gesture_text = ""

    # Sweeps

    def add(self, readings: Sequence[Reading]) -> None:
        """Put sweeps on the bench."""
        what = f'"{readings[0].label}"' if len(readings) == 1 else f"{len(readings)} sweeps"
        self._push(self._bench.with_readings(readings), f"Add {what}")

    def add_typed(self, reading: Reading, typed: Typed) -> None:
        """Put typed readings on the bench."""
        if isinstance(reading.sweep, ScalarSweep):
            after = self._bench.with_readings([reading])
            key = after.entries[-1].key
            after = after.with_typed(key, reading.sweep, typed)
            self._push(after, f'Type "{reading.label}"')

    def set_typed(self, key: int, sweep: ScalarSweep, typed: Typed, label: str) -> None:
        """Change typed readings, and the name if it differs."""
        after = self._bench.with_typed(key, sweep, typed).with_label(key, label)
        self._push(after, "Edit readings")

    def set_tracing(
        self,
        picture: KeptPicture,
        readings: Sequence[Reading],
        curves: Sequence[int],
        before: Sequence[int | None],
    ) -> None:
        """Put the sweeps traced from a picture on the bench, or mend them.

        See `fairlead.core.document.tracings.with_tracing`.
        """
        after = with_tracing(self._bench, picture, readings, curves, before)
        is_new = len(after.pictures) > len(self._bench.pictures)
        self._push(after, f'{"Trace" if is_new else "Mend the tracing of"} "{picture.name}"')

    def reload(self, readings: Mapping[int, Reading], more: Sequence[Reading] = ()) -> None:
        """Replace sweeps by what is in their files now.

        Parameters
        ----------
        readings : mapping
            By key.
        more : sequence of Reading
            Additional sweeps now in the files.
        """
        names = [entry.label for entry in self._bench.entries if entry.key in readings]
        what = f'"{names[0]}"' if len(names) == 1 else f"{len(names)} sweeps"
        after = self._bench.with_sweeps(readings).with_readings(more)
        self._push(after, f"Reload {what}")

    def choose_columns(
        self, readings: Mapping[int, Reading], more: Sequence[Reading], gone: Iterable[int]
    ) -> None:
        """Replace sweeps by what other columns of their table hold.

        Parameters
        ----------
        readings : mapping
            By key.
        more : sequence of Reading
            Additional sweeps that the columns hold.
        gone : iterable of int
            Keys of sweeps that they no longer hold.
        """
        after = self._bench.with_sweeps(readings).with_readings(more).without(gone)
        self._push(after, "Choose columns")

    def sort(self, keys: Sequence[int], what: str) -> None:
        """Sort the list in the order of these keys."""
        self._push(self._bench.with_order(keys), f"Sort by {what}")

    def remove(self, keys: Iterable[int]) -> None:
        """Remove sweeps from the bench."""
        gone = set(keys)
        names = [entry.label for entry in self._bench.entries if entry.key in gone]
        what = f'"{names[0]}"' if len(names) == 1 else f"{len(names)} sweeps"
        self._push(self._bench.without(gone), f"Remove {what}")

    def rename(self, key: int, label: str) -> None:
        """Rename a sweep; an empty name is ignored."""
        self._push(self._bench.with_label(key, label), "Rename")

    def set_condition(self, key: int, condition: str) -> None:
        """Set what was different when the sweep was taken."""
        self._push(self._bench.with_condition(key, condition), "Change condition")

    def set_circumstances(self, key: int, circumstances: Circumstances) -> None:
        """Set the conditions under which the sweep was taken."""
        self._push(self._bench.with_circumstances(key, circumstances), "Change notes")

    def set_steps(self, key: int, steps: Iterable[Step]) -> None:
        """Set the steps from the measured to the shown sweep.

        Raises
        ------
        FairleadError
            If one that is on cannot be applied to this sweep; nothing changes then.
        """
        before = self._bench.entry(key).steps
        after = self._bench.with_steps(key, steps)
        text = "Change step"
        if len(after.entry(key).steps) != len(before):
            text = "Add step" if len(after.entry(key).steps) > len(before) else "Remove step"
        self._push(after, text)

    def add_step(self, keys: Iterable[int], step: Step) -> None:
        """Add a step to each of these sweeps; one undo step for all.

        Raises
        ------
        FairleadError
            If it cannot be applied to one of them; nothing changes then.
        """
        bench = self._bench
        for key in keys:
            bench = bench.with_step(key, step)
        self._push(bench, "Add step")

    def switch_steps(self, keys: Iterable[int]) -> None:
        """Switch all steps of sweeps off, or on again if none of them is on.

        Raises
        ------
        FairleadError
            If one cannot be applied; nothing changes then.
        """
        bench, keys = self._bench, list(keys)
        is_on = not any(step.is_on for key in keys for step in bench.entry(key).steps)
        for key in keys:
            steps = [replace(step, is_on=is_on) for step in bench.entry(key).steps]
            bench = bench.with_steps(key, steps)
        self._push(bench, "Switch steps on" if is_on else "Switch steps off")

    def say_same_radiation(self, keys: Iterable[int], *, is_same: bool) -> None:
        """Say whether sweeps radiate as the reference does."""
        after = with_same_radiation(self._bench, list(keys), is_same=is_same)
        self._push(after, "Radiation unchanged" if is_same else "Radiation not known")

    def set_planes(self, bench: Bench) -> None:
        """Show the sweeps of a bench at the planes set by `fairlead.core.document.planes`."""
        self._push(bench, "See all at one end")

    def set_accuracy(self, keys: Iterable[int], accuracy: ErrorModel, calibration: str) -> None:
        """Set the accuracy of the analyzer that took these sweeps."""
        bench = self._bench.with_accuracy(set(keys), accuracy, calibration)
        self._push(bench, "Set analyzer accuracy")

    def copy(self, keys: Iterable[int]) -> None:
        """Add a copy of each of these sweeps below it."""
        bench = self._bench
        for key in keys:
            bench = bench.with_copy(key)
        self._push(bench, "Duplicate")

    def set_visible(self, keys: Iterable[int], *, is_visible: bool) -> None:
        """Show or hide sweeps."""
        bench = self._bench
        for key in keys:
            bench = bench.with_visibility(key, is_visible=is_visible)
        self._push(bench, "Show" if is_visible else "Hide")

    def show_only(self, keys: Collection[int], text: str) -> None:
        """Show these sweeps and groups, and hide all others."""
        self._push(with_only(self._bench, keys), text)

    def colour(self, by: ColourBy) -> None:
        """Colour all sweeps by condition or group, or each for itself."""
        what = "each sweep for itself" if by == "sweep" else f"by {by}"
        self._push(with_colours(self._bench, by), f"Colour {what}")

    def change_style(self, keys: Iterable[int]) -> None:
        """Draw sweeps in the next colour, dash and marker that no other sweep has."""
        bench = self._bench
        for key in keys:
            bench = bench.with_next_style(key)
        self._push(bench, "Change colour and dash")

    def set_reference(self, key: int) -> None:
        """Compare the others with this sweep."""
        self._push(self._bench.with_reference(key), "Choose reference")

    def move(self, key: int, index: int) -> None:
        """Move a sweep in the list."""
        self._push(self._bench.with_move(key, index), "Move in list")

    # Groups

    def group(self, keys: Iterable[int], kind: GroupKind) -> None:
        """Put sweeps into a group.

        Raises
        ------
        FairleadError
            If they are no one population at one plane, or in a group; nothing changes then.
        """
        self._push(with_group(self._bench, set(keys), kind=kind), "Group")

    def ungroup(self, group_keys: Iterable[int]) -> None:
        """Dissolve groups; their sweeps stay."""
        bench = self._bench
        for key in group_keys:
            bench = without_group(bench, key)
        self._push(bench, "Ungroup")

    def rename_group(self, group_key: int, label: str) -> None:
        """Give a group another name; an empty one is ignored."""
        self._push(with_group_label(self._bench, group_key, label), "Rename group")

    def set_group_reference(self, group_key: int, reference_key: int | None) -> None:
        """Hold the members of a group against one of them, or against their mean."""
        after = with_group_reference(self._bench, group_key, reference_key)
        self._push(after, "Choose the group's reference")

    def set_group_visible(self, group_key: int, *, is_visible: bool) -> None:
        """Show or hide envelope and mean of a group."""
        after = with_group_visibility(self._bench, group_key, is_visible=is_visible)
        self._push(after, "Show group" if is_visible else "Hide group")

    # Band, limit, reference impedance

    def set_band(self, band: Band) -> None:
        """Choose a band from the tables, or typed edges."""
        self._push(self._bench.with_band(band), "Choose band")

    def set_edge(self, edge: Edge, frequency_hz: float) -> None:
        """Set one band edge."""
        self._push_band(move_edge(self._bench.band, edge, frequency_hz), "Move band edge")

    def use_whole_span(self) -> None:
        """Use the span that all sweeps cover as the band."""
        self._push(self._bench.with_whole_span(), "Use whole span")

    def set_limit(self, limit_swr: float) -> None:
        """Set the SWR limit."""
        self._push(self._bench.with_limit(limit_swr), "Change SWR limit")

    def set_z0(self, z0_ohm: float) -> None:
        """Set the reference impedance."""
        self._push(self._bench.with_z0(z0_ohm), "Change reference impedance")

    def set_picture(self, picture: PictureRequest) -> None:
        """Change the settings of the printed picture."""
        self._push(self._bench.with_picture(picture), "Change picture")

    def set_plan(self, plan: Plan | None) -> None:
        """Keep a plan of the measurement."""
        self._push(self._bench.with_plan(plan), "Plan the measurement")

    def set_log(self, lines: Sequence[LogEntry]) -> None:
        """Replace the on-air log."""
        self._push(self._bench.with_log(lines), "Edit on-air log")

    def set_advice(self, asked: AdviceRequest) -> None:
        """Ask something else of the advice."""
        self._push(self._bench.with_advice(asked), "Change question")

    # Markers

    def add_marker(self, frequency_hz: float) -> None:
        """Pin a frequency."""
        self._push(with_marker(self._bench, frequency_hz), "Add marker")

    def remove_markers(self, keys: Iterable[int]) -> None:
        """Remove markers."""
        self._push(without_markers(self._bench, keys), "Remove marker")

    def set_markers(self, wanted: Sequence[tuple[float, str]]) -> None:
        """Replace the markers by typed ones: frequencies in Hz with their names."""
        self._push(with_markers(self._bench, wanted), "Edit markers")

    # Gestures

    @property
    def is_in_gesture(self) -> bool:
        """Whether a drag or a held key is in progress."""
        return self._gesture_start is not None

    def begin_gesture(self) -> None:
        """Remember the bench; an unfinished gesture is ended first."""
        self.end_gesture()
        self._gesture_text = ""
        self._gesture_start = self._bench

    def drag_edge(self, edge: Edge, frequency_hz: float) -> None:
        """Move an edge within a gesture; always computed from the band at its start."""
        start = self._start
        band = move_edge(start.band, edge, frequency_hz)
        self._document.apply(start if band is start.band else start.with_band(band))

    def drag_band(self, low_hz: float) -> None:
        """Move the whole band within a gesture."""
        start = self._start
        band = move_band(start.band, low_hz)
        self._document.apply(start if band is start.band else start.with_band(band))

    def drag_marker(self, key: int, frequency_hz: float) -> None:
        """Move a marker within a gesture."""
        start = self._start
        self._gesture_text = "Move marker"
        moved = with_marker_at(start, key, frequency_hz)
        self._document.apply(start if moved == start else moved)

    def drag_limit(self, limit_swr: float) -> None:
        """Move the limit line within a gesture."""
        start = self._start
        moved = start.with_limit(limit_swr)
        self._document.apply(start if moved == start else moved)

    def drag_feed_line(
        self, keys: Iterable[int], plane: Plane | None, step: LineRemoved | LineAdded | None
    ) -> None:
        """Show sweeps taken at a plane, with a line, within a gesture.

        Raises
        ------
        FairleadError
            If the line cannot be removed from one of them; the bench is then as at the start.
        """
        start = self._start
        self._gesture_text = "Set feed line"
        try:
            moved = with_feed_line(start, list(keys), plane, step)
        except FairleadError:
            self._document.apply(start)
            raise
        self._document.apply(start if moved == start else moved)

    def drag_shift(self, keys: Iterable[int], change_percent: float) -> None:
        """Move sweeps along the frequency axis within a gesture; 0 shows them as measured.

        Raises
        ------
        FairleadError
            If one of them cannot be moved so far; the bench is then as at the start.
        """
        start, keys = self._start, list(keys)
        self._gesture_text = "Move what-if"
        try:
            moved = with_shift(start, keys, change_percent)
        except FairleadError:
            self._document.apply(start)
            raise
        analyses, z0_ohm = self._document.analyses, moved.z0_ohm
        wanted = set(keys)
        for entry in moved.entries:
            if change_percent and entry.key in wanted and is_last(entry):
                factor = 1 + change_percent / 100
                analyses.move(unmoved(entry), entry.sweep, factor, z0_ohm)
        self._document.apply(start if moved == start else moved, is_hurried=True)

    def end_gesture(self) -> None:
        """End the gesture and leave one undo step for it, none if nothing changed."""
        start, self._gesture_start = self._gesture_start, None
        if start is None or self._bench is start:
            return
        after = self._bench
        moved_limit = after.limit_swr != start.limit_swr
        text = self._gesture_text or ("Move SWR limit" if moved_limit else "Move band edge")
        self._document.undo_stack.push(ChangeBench(self._document, start, after, text))

    def cancel_gesture(self) -> None:
        """Restore the bench as it was when the gesture began."""
        start, self._gesture_start = self._gesture_start, None
        if start is not None:
            self._document.apply(start)

    # History

    def undo(self) -> None:
        """Undo one step, or cancel an unfinished gesture."""
        if self.is_in_gesture:
            self.cancel_gesture()
        else:
            self._document.undo_stack.undo()

    def redo(self) -> None:
        """Redo one step; an unfinished gesture is ended first."""
        self.end_gesture()
        self._document.undo_stack.redo()

    def go_to(self, step: int) -> None:
        """Undo or redo up to a step of the history; 0 is the bench as it was opened."""
        self.end_gesture()
        self._document.undo_stack.setIndex(step)

    @property
    def _bench(self) -> Bench:
        return self._document.bench

    @property
    def _start(self) -> Bench:
        """The bench at the start of the gesture; begins one if none is in progress."""
        if self._gesture_start is None:
            self._gesture_start = self._bench
        return self._gesture_start

    def _push_band(self, band: Band, text: str) -> None:
        if band is not self._bench.band:
            self._push(self._bench.with_band(band), text)

    def _push(self, after: Bench, text: str) -> None:
        self.end_gesture()
        before = self._bench
        if after is not before and after != before:
            self._document.undo_stack.push(ChangeBench(self._document, before, after, text))
