"""A user at work, played by hypothesis: nothing is ever lost, whatever the order of steps."""

from __future__ import annotations

import tempfile
from contextlib import suppress
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

import numpy as np
import pytest
from hypothesis import settings
from hypothesis import strategies as st
from hypothesis.stateful import (
    RuleBasedStateMachine,
    initialize,
    invariant,
    precondition,
    rule,
    run_state_machine_as_test,
)

from fairlead.app.document.document import Document
from fairlead.app.document.edits import Edits
from fairlead.core.bands import Band
from fairlead.core.bench_file import bench_from_bytes, bench_to_bytes, load_bench, save_bench
from fairlead.core.document.entry import Circumstances
from fairlead.core.errors import FairleadError
from fairlead.core.notice import Notice
from fairlead.core.reading.reading import Reading
from fairlead.core.sweep import ScalarSweep, Sweep

if TYPE_CHECKING:
    from fairlead.core.document.bench import Bench

texts = st.text(max_size=12)
edges = st.sampled_from(["low", "high"])
frequencies_hz = st.floats(1e3, 1e9)
few = st.integers(0, 5)


@st.composite
def readings(draw):
    """One to three sweeps of a few points: what is tested here is the session, not the numbers."""
    found = []
    for _ in range(draw(st.integers(1, 3))):
        start_hz = draw(st.floats(1e6, 1e8))
        frequency_hz = start_hz * np.linspace(1, 1.5, draw(st.integers(2, 5)))
        values = [draw(st.floats(0, 1)) for _ in frequency_hz]
        kind = draw(st.sampled_from([Sweep, ScalarSweep]))
        sweep = kind(frequency_hz, values, draw(st.sampled_from([50.0, 75.0])))
        notices = (Notice("defaults-applied", draw(texts)),) if draw(st.booleans()) else ()
        found.append(Reading(sweep, draw(texts), draw(texts), notices, draw(texts)))
    return found


class Session(RuleBasedStateMachine):
    """Document and edits as the window uses them, beside a history kept by the test itself."""

    @initialize()
    def start(self):
        self.document = Document()
        self.edits = Edits(self.document)
        self.folder = tempfile.TemporaryDirectory()
        self.path = Path(self.folder.name) / "comparison.fairlead"
        self.saved: Bench | None = None
        self.begin_history()

    def begin_history(self):
        self.history = [self.bench]
        self.at = 0

    def teardown(self):
        with suppress(AttributeError):  # a failure before the start
            self.folder.cleanup()

    @property
    def bench(self) -> Bench:
        return self.document.bench

    def any_key(self, number: int) -> int:
        entries = self.bench.entries
        return entries[number % len(entries)].key

    def done(self, before: Bench):
        """Write a step into the test's own history, if the edit changed anything."""
        if self.bench != before:
            self.history = [*self.history[: self.at + 1], self.bench]
            self.at += 1

    def step(self, edit, *args, **kwargs):
        before = self.bench
        edit(*args, **kwargs)
        self.done(before)

    # What a user does

    @rule(found=readings())
    def load(self, found):
        self.step(self.edits.add, found)

    @precondition(lambda self: self.bench.entries)
    @rule(number=few, label=texts)
    def rename(self, number, label):
        self.step(self.edits.rename, self.any_key(number), label)

    @precondition(lambda self: self.bench.entries)
    @rule(number=few, condition=texts, notes=texts)
    def describe(self, number, condition, notes):
        self.step(self.edits.set_condition, self.any_key(number), condition)
        circumstances = Circumstances(notes=notes, weather=condition)
        self.step(self.edits.set_circumstances, self.any_key(number), circumstances)

    @precondition(lambda self: self.bench.entries)
    @rule(number=few, is_visible=st.booleans())
    def change_look(self, number, is_visible):
        self.step(self.edits.set_visible, [self.any_key(number)], is_visible=is_visible)
        self.step(self.edits.change_style, [self.any_key(number)])

    @precondition(lambda self: self.bench.entries)
    @rule(number=few, index=few)
    def move(self, number, index):
        self.step(self.edits.move, self.any_key(number), index)

    @precondition(lambda self: self.bench.entries)
    @rule(number=few)
    def choose_reference(self, number):
        self.step(self.edits.set_reference, self.any_key(number))

    @precondition(lambda self: self.bench.entries)
    @rule(numbers=st.sets(few, min_size=1, max_size=3))
    def remove(self, numbers):
        self.step(self.edits.remove, {self.any_key(number) for number in numbers})

    @rule(low_hz=frequencies_hz, width=st.floats(0.001, 0.5), name=st.none() | texts)
    def choose_band(self, low_hz, width, name):
        self.step(self.edits.set_band, Band(low_hz, low_hz * (1 + width), name))

    @rule()
    def use_whole_span(self):
        self.step(self.edits.use_whole_span)

    @rule(edge=edges, places=st.lists(frequencies_hz, min_size=1, max_size=5), fate=few)
    def drag_edge(self, edge, places, fate):
        """A drag is one step, none if it ends where it began or is cancelled."""
        before = self.bench
        self.edits.begin_gesture()
        for frequency_hz in places:
            self.edits.drag_edge(edge, frequency_hz)
        if fate == 0:
            self.edits.cancel_gesture()
        elif fate == 1:
            self.edits.drag_edge(edge, before.band.edge_hz(edge))
            self.edits.end_gesture()
        else:
            self.edits.end_gesture()
        # Edges stand on whole hertz once they are moved; those of a sweep's span need not.
        if fate == 0 or (fate == 1 and before.band.edge_hz(edge).is_integer()):
            assert self.bench == before
        self.done(before)

    @rule(limits=st.lists(st.floats(0.5, 30), min_size=1, max_size=3))
    def drag_limit(self, limits):
        before = self.bench
        self.edits.begin_gesture()
        for limit_swr in limits:
            self.edits.drag_limit(limit_swr)
        self.edits.end_gesture()
        self.done(before)

    @rule(z0_ohm=st.sampled_from([50.0, 75.0, 450.0]), title=texts, width_mm=st.floats(80, 300))
    def change_picture(self, z0_ohm, title, width_mm):
        self.step(self.edits.set_z0, z0_ohm)
        picture = replace(self.bench.picture, title=title, width_mm=width_mm)
        self.step(self.edits.set_picture, picture)

    @rule(steps=st.integers(1, 4))
    def undo(self, steps):
        for _ in range(steps):
            self.edits.undo()
            self.at = max(0, self.at - 1)

    @rule(steps=st.integers(1, 4))
    def redo(self, steps):
        for _ in range(steps):
            self.edits.redo()
            self.at = min(len(self.history) - 1, self.at + 1)

    @rule()
    def save(self):
        save_bench(self.bench, self.path)
        self.document.undo_stack.setClean()
        self.saved = self.bench

    @precondition(lambda self: self.saved is not None)
    @rule()
    def fail_to_save(self):
        """To a place that is no place: the old file stays, the bench stays modified or not."""
        was_clean = self.document.undo_stack.isClean()
        with pytest.raises(FairleadError):
            save_bench(self.bench, self.path / "inside a file")
        assert self.document.undo_stack.isClean() == was_clean
        assert load_bench(self.path) == self.saved

    @precondition(lambda self: self.saved is not None)
    @rule()
    def reopen(self):
        """A new window would do the same: the file's bench, a new history."""
        bench = load_bench(self.path)
        assert bench == self.saved
        self.document.undo_stack.clear()
        self.document.apply(bench)
        self.begin_history()

    # What holds after every step

    @invariant()
    def saved_and_reopened_it_is_the_same(self):
        data = bench_to_bytes(self.bench)
        assert bench_from_bytes(data, "x.fairlead") == self.bench
        assert bench_to_bytes(bench_from_bytes(data, "x.fairlead")) == data

    @invariant()
    def the_history_is_that_of_the_steps(self):
        stack = self.document.undo_stack
        assert self.bench == self.history[self.at]
        assert stack.count() == len(self.history) - 1
        assert stack.index() == self.at

    @invariant()
    def undo_returns_the_first_bench_and_redo_the_last(self):
        stack, now = self.document.undo_stack, self.bench
        index = stack.index()
        stack.setIndex(0)
        assert self.bench == self.history[0]
        stack.setIndex(stack.count())
        assert self.bench == self.history[-1]
        stack.setIndex(index)
        # Not only equal: the very same, so that no view has anything to redraw.
        assert self.bench is now

    @invariant()
    def saved_marks_are_right(self):
        if self.saved is not None and self.document.undo_stack.isClean():
            assert self.bench == self.saved

    @invariant()
    def every_bench_makes_sense(self):
        keys = [entry.key for entry in self.bench.entries]
        assert len(set(keys)) == len(keys)
        assert self.bench.reference_key in keys or not keys
        assert self.bench.next_key > max(keys, default=0)


@pytest.mark.slow
@pytest.mark.usefixtures("qapp")
def test_a_session_loses_nothing():
    run_state_machine_as_test(Session, settings=settings(max_examples=40, stateful_step_count=30))
