"""Intents become commands: the only place that pushes onto the undo stack.

A gesture (dragging an edge, holding a key) shows every step at once and leaves one command when
it ends, none if it ends where it began. Escape puts the bench back as it was.
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from fairlead.app.document.undo_commands import ChangeBench
from fairlead.core.bands import Band, Edge, move_band, move_edge
from fairlead.core.document.planes import with_feed_line
from fairlead.core.errors import FairleadError
from fairlead.core.sweep import ScalarSweep

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping, Sequence

    from fairlead.app.document.document import Document
    from fairlead.core.document.bench import Bench
    from fairlead.core.document.entry import Circumstances, Typed
    from fairlead.core.document.picture_request import PictureRequest
    from fairlead.core.reading.reading import Reading
    from fairlead.core.transform.feed_line import LinePutIn, LineTakenAway
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
        """Put readings on the bench that were typed."""
        if isinstance(reading.sweep, ScalarSweep):
            after = self._bench.with_readings([reading])
            key = after.entries[-1].key
            after = after.with_typed(key, reading.sweep, typed)
            self._push(after, f'Type "{reading.label}"')

    def set_typed(self, key: int, sweep: ScalarSweep, typed: Typed, label: str) -> None:
        """Change typed readings, and perhaps the name with them."""
        after = self._bench.with_typed(key, sweep, typed).with_label(key, label)
        self._push(after, "Edit readings")

    def reload(self, readings: Mapping[int, Reading], more: Sequence[Reading] = ()) -> None:
        """Take sweeps as they are in their files now.

        Parameters
        ----------
        readings : mapping
            By key.
        more : sequence of Reading
            Sweeps that the files have gained.
        """
        names = [entry.label for entry in self._bench.entries if entry.key in readings]
        what = f'"{names[0]}"' if len(names) == 1 else f"{len(names)} sweeps"
        after = self._bench.with_sweeps(readings).with_readings(more)
        self._push(after, f"Reload {what}")

    def sort(self, keys: Sequence[int], what: str) -> None:
        """Put the list in the order of these keys."""
        self._push(self._bench.with_order(keys), f"Sort by {what}")

    def remove(self, keys: Iterable[int]) -> None:
        """Take sweeps off the bench."""
        gone = set(keys)
        names = [entry.label for entry in self._bench.entries if entry.key in gone]
        what = f'"{names[0]}"' if len(names) == 1 else f"{len(names)} sweeps"
        self._push(self._bench.without(gone), f"Remove {what}")

    def rename(self, key: int, label: str) -> None:
        """Give a sweep another name; an empty one is ignored."""
        self._push(self._bench.with_label(key, label), "Rename")

    def set_condition(self, key: int, condition: str) -> None:
        """Say what was different when the sweep was taken."""
        self._push(self._bench.with_condition(key, condition), "Change condition")

    def set_circumstances(self, key: int, circumstances: Circumstances) -> None:
        """Note the conditions under which the sweep was taken."""
        self._push(self._bench.with_circumstances(key, circumstances), "Change notes")

    def set_steps(self, key: int, steps: Iterable[Step]) -> None:
        """Take other steps from what was measured to what is seen.

        Raises
        ------
        FairleadError
            If one that is on cannot be taken with this sweep; nothing changes then.
        """
        before = self._bench.entry(key).steps
        after = self._bench.with_steps(key, steps)
        text = "Change step"
        if len(after.entry(key).steps) != len(before):
            text = "Add step" if len(after.entry(key).steps) > len(before) else "Remove step"
        self._push(after, text)

    def add_step(self, keys: Iterable[int], step: Step) -> None:
        """Take one more step with each of these sweeps; one undo step for all.

        Raises
        ------
        FairleadError
            If it cannot be taken with one of them; nothing changes then.
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
            If one cannot be taken; nothing changes then.
        """
        bench, keys = self._bench, list(keys)
        is_on = not any(step.is_on for key in keys for step in bench.entry(key).steps)
        for key in keys:
            steps = [replace(step, is_on=is_on) for step in bench.entry(key).steps]
            bench = bench.with_steps(key, steps)
        self._push(bench, "Switch steps on" if is_on else "Switch steps off")

    def set_planes(self, bench: Bench) -> None:
        """Show the sweeps of a bench where `fairlead.core.document.planes` put them."""
        self._push(bench, "See all at one end")

    def set_accuracy(self, keys: Iterable[int], accuracy: ErrorModel, calibration: str) -> None:
        """Say what the analyzer that took these sweeps may be off by."""
        bench = self._bench.with_accuracy(set(keys), accuracy, calibration)
        self._push(bench, "Set analyzer accuracy")

    def copy(self, keys: Iterable[int]) -> None:
        """Put a second entry of each of these sweeps below it."""
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

    # Band, limit, reference impedance

    def set_band(self, band: Band) -> None:
        """Choose a band from the tables, or typed edges."""
        self._push(self._bench.with_band(band), "Choose band")

    def set_edge(self, edge: Edge, frequency_hz: float) -> None:
        """Type one band edge."""
        self._push_band(move_edge(self._bench.band, edge, frequency_hz), "Move band edge")

    def use_whole_span(self) -> None:
        """Give the band up for what all sweeps cover."""
        self._push(self._bench.with_whole_span(), "Use whole span")

    def set_limit(self, limit_swr: float) -> None:
        """Type the SWR limit."""
        self._push(self._bench.with_limit(limit_swr), "Change SWR limit")

    def set_z0(self, z0_ohm: float) -> None:
        """Type the reference impedance."""
        self._push(self._bench.with_z0(z0_ohm), "Change reference impedance")

    def set_picture(self, picture: PictureRequest) -> None:
        """Choose another size or other words for the printed picture."""
        self._push(self._bench.with_picture(picture), "Change picture")

    # Gestures

    @property
    def is_in_gesture(self) -> bool:
        """Whether a drag or a held key is under way."""
        return self._gesture_start is not None

    def begin_gesture(self) -> None:
        """Remember the bench; a gesture that is still open is finished first."""
        self.end_gesture()
        self._gesture_text = ""
        self._gesture_start = self._bench

    def drag_edge(self, edge: Edge, frequency_hz: float) -> None:
        """Move an edge within a gesture; always reckoned from the band at its start."""
        start = self._start
        band = move_edge(start.band, edge, frequency_hz)
        self._document.apply(start if band is start.band else start.with_band(band))

    def drag_band(self, low_hz: float) -> None:
        """Move the whole band within a gesture."""
        start = self._start
        band = move_band(start.band, low_hz)
        self._document.apply(start if band is start.band else start.with_band(band))

    def drag_limit(self, limit_swr: float) -> None:
        """Move the limit line within a gesture."""
        start = self._start
        moved = start.with_limit(limit_swr)
        self._document.apply(start if moved == start else moved)

    def drag_feed_line(
        self, keys: Iterable[int], plane: Plane | None, step: LineTakenAway | LinePutIn | None
    ) -> None:
        """Show sweeps taken at a plane, with a line, within a gesture.

        Raises
        ------
        FairleadError
            If the line cannot be taken from one of them; the bench is as at the start then.
        """
        start = self._start
        self._gesture_text = "Set feed line"
        try:
            moved = with_feed_line(start, list(keys), plane, step)
        except FairleadError:
            self._document.apply(start)
            raise
        self._document.apply(start if moved == start else moved)

    def end_gesture(self) -> None:
        """Leave one undo step for the whole gesture, none if nothing changed."""
        start, self._gesture_start = self._gesture_start, None
        if start is None or self._bench is start:
            return
        after = self._bench
        moved_limit = after.limit_swr != start.limit_swr
        text = self._gesture_text or ("Move SWR limit" if moved_limit else "Move band edge")
        self._document.undo_stack.push(ChangeBench(self._document, start, after, text))

    def cancel_gesture(self) -> None:
        """Put the bench back as it was when the gesture began."""
        start, self._gesture_start = self._gesture_start, None
        if start is not None:
            self._document.apply(start)

    # History

    def undo(self) -> None:
        """Undo one step; an open gesture is cancelled instead."""
        if self.is_in_gesture:
            self.cancel_gesture()
        else:
            self._document.undo_stack.undo()

    def redo(self) -> None:
        """Redo one step; an open gesture is finished first."""
        self.end_gesture()
        self._document.undo_stack.redo()

    @property
    def _bench(self) -> Bench:
        return self._document.bench

    @property
    def _start(self) -> Bench:
        """The bench at the start of the gesture; a step without a beginning begins one."""
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
