"""When a file counts as complete: the rules alone, with a clock of the test's own."""

from __future__ import annotations

from fairlead.app.files.watching import GIVE_UP_S, LONGEST_STILL_S, STILL_S, FolderState
from fairlead.core.paths import FileMark


def mark(size_bytes, modified_ns, inode, changed_ns=0):
    return FileMark(1, inode, size_bytes, modified_ns, changed_ns)


def test_a_file_is_ready_when_it_has_stood_still():
    state = FolderState()
    assert state.note({"a": mark(10, 1, 1)}, 0.0) == []
    assert state.note({"a": mark(10, 1, 1)}, STILL_S - 0.01) == []
    assert state.note({"a": mark(10, 1, 1)}, STILL_S) == ["a"]
    state.mark_done("a")
    assert state.note({"a": mark(10, 1, 1)}, 9.0) == []
    assert state.pending == {}


def test_a_file_that_grows_waits_and_its_writers_pauses_count():
    state = FolderState()
    state.note({"a": mark(10, 1, 1)}, 0.0)
    state.note({"a": mark(20, 2, 1)}, 0.4)
    assert state.note({"a": mark(20, 2, 1)}, 0.4 + STILL_S) == []
    assert state.note({"a": mark(20, 2, 1)}, 0.4 + 3 * 0.4) == ["a"]


def test_no_pause_makes_anyone_wait_for_ever():
    state = FolderState()
    state.note({"a": mark(10, 1, 1)}, 0.0)
    state.note({"a": mark(20, 2, 1)}, 500.0)
    assert state.note({"a": mark(20, 2, 1)}, 500.0 + LONGEST_STILL_S) == ["a"]


def test_a_replaced_file_counts_as_changed_though_size_and_time_are_the_same():
    state = FolderState(known={"a": mark(10, 1, 1)})
    assert state.note({"a": mark(10, 1, 2)}, 0.0) == []
    assert state.note({"a": mark(10, 1, 2)}, STILL_S) == ["a"]


def test_what_goes_and_comes_back_unchanged_is_nothing_new():
    state = FolderState(known={"a": mark(10, 1, 1)})
    state.note({}, 0.0)
    state.note({"a": mark(10, 1, 1)}, 1.0)
    assert state.note({"a": mark(10, 1, 1)}, 9.0) == []


def test_a_pending_file_that_goes_is_forgotten():
    state = FolderState()
    state.note({"a": mark(10, 1, 1)}, 0.0)
    assert state.note({}, STILL_S) == []
    assert state.note({"a": mark(10, 1, 1)}, 5.0) == []


def test_a_file_that_cannot_be_read_gets_a_longer_time():
    state = FolderState()
    state.note({"a": mark(10, 1, 1)}, 0.0)
    state.note({"a": mark(10, 1, 1)}, STILL_S)
    assert not state.is_hopeless("a", STILL_S)
    assert state.is_hopeless("a", GIVE_UP_S)


def test_a_renamed_file_is_known_and_a_number_used_again_is_a_new_file():
    state = FolderState(known={"a": mark(10, 1, 1), "b": mark(20, 1, 2)})
    assert state.moves({"c": mark(10, 1, 1, 5), "b": mark(20, 1, 2)}) == [("a", "c")]
    assert state.note({"c": mark(10, 1, 1, 5), "b": mark(20, 1, 2)}, 9.0) == []
    assert state.moves({"c": mark(10, 1, 1, 5), "d": mark(30, 7, 2)}) == []


def test_names_may_change_places():
    state = FolderState(known={"a": mark(10, 1, 1), "b": mark(20, 1, 2)})
    swapped = {"a": mark(20, 1, 2, 5), "b": mark(10, 1, 1, 5)}
    assert state.moves(swapped) == [("b", "a"), ("a", "b")]
    assert state.note(swapped, 9.0) == []
    on = {"b": mark(20, 1, 2, 6), "c": mark(10, 1, 1, 6)}
    assert sorted(state.moves(on)) == [("a", "b"), ("b", "c")]


def test_only_the_time_that_nobody_can_set_tells_of_a_file_rewritten_in_place():
    state = FolderState(known={"a": mark(10, 1, 1, 1)})
    state.note({"a": mark(10, 1, 1, 2)}, 0.0)
    assert state.note({"a": mark(10, 1, 1, 2)}, STILL_S) == ["a"]
