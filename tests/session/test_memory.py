"""A window that is used for days does not grow: what is removed gives its memory back."""

from __future__ import annotations

import ctypes
import gc

import pytest
from PySide6.QtCore import SIGNAL
from window import labels, run_events, write_sweep

from fairlead.core.reading import open_sweeps

pytest_plugins = ["window_fixtures"]

BOUND_BYTES = 200
"""A cycle's growth; as long as the buttons kept their connections it was 450 to 870."""
WARM_UP, CYCLES, WINDOWS = 50, 60, 3


class _Mallinfo2(ctypes.Structure):
    """As the C library declares it (man 3 mallinfo2)."""

    _fields_ = [
        (name, ctypes.c_size_t)
        for name in (
            *("arena", "ordblks", "smblks", "hblks", "hblkhd"),
            *("usmblks", "fsmblks", "uordblks", "fordblks", "keepcost"),
        )
    ]


@pytest.fixture
def in_use():
    """Bytes that the C library has given out, as a function."""
    try:
        mallinfo2 = ctypes.CDLL("libc.so.6").mallinfo2
    except (OSError, AttributeError):
        pytest.skip("the C library does not tell what it has given out")
    mallinfo2.restype = _Mallinfo2

    def now():
        gc.collect()
        info = mallinfo2()
        return info.uordblks + info.hblkhd

    return now


@pytest.mark.slow
def test_loading_and_removing_leaves_nothing(window, in_use, tmp_path):
    first, second = (open_sweeps(write_sweep(tmp_path / f"{name}.s1p")) for name in "ab")
    window.edits.add(first)
    (keep,) = [entry.key for entry in window.document.bench.entries]

    def cycle():
        window.edits.add(second)
        run_events()
        window.edits.remove([entry.key for entry in window.document.bench.entries][1:])
        run_events()
        window.document.undo_stack.clear()
        run_events()

    for _ in range(WARM_UP):
        cycle()
    growths = []
    for _ in range(WINDOWS):
        before = in_use()
        for _ in range(CYCLES):
            cycle()
        growths.append((in_use() - before) / CYCLES)
    assert labels(window) == ["a"]
    assert [entry.key for entry in window.document.bench.entries] == [keep]
    # The least: caches may still fill in one of the windows, a leak is in all of them.
    assert min(growths) < BOUND_BYTES


def test_a_button_keeps_nothing_of_the_changes_of_its_action(window):
    undo = window.commands["undo"]
    ears = [undo.receivers(SIGNAL(signal)) for signal in ("changed()", "triggered()", "hovered()")]
    for _ in range(10):
        undo.setEnabled(not undo.isEnabled())
    assert ears == [
        undo.receivers(SIGNAL(signal)) for signal in ("changed()", "triggered()", "hovered()")
    ]
