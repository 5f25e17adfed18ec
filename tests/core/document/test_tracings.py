"""Sweeps traced from a picture are added, mended and removed together with it."""

from __future__ import annotations

import numpy as np
import pytest

from fairlead.core.document.bench import Bench
from fairlead.core.document.session import KeptPicture
from fairlead.core.document.tracings import with_tracing
from fairlead.core.reading.reading import Reading
from fairlead.core.sweep import ScalarSweep

PICTURE = KeptPicture(0, "page 12", "image/png", b"\x89PNG")
MENDED = KeptPicture(1, "page 12", "image/png", b"\x89PNG, cropped")


def reading(label, magnitude=0.3, file="page 12.png"):
    sweep = ScalarSweep(np.array([50e6, 51e6, 52e6]), np.full(3, magnitude))
    return Reading(sweep, label, file)


@pytest.fixture
def bench():
    """Two sweeps of one picture; key 1 is the picture's."""
    return with_tracing(Bench(), PICTURE, [reading("a"), reading("b")], [0, 2], [None, None])


def rows(bench):
    return [(one.label, one.picture_key, one.picture_curve) for one in bench.entries]


def test_a_new_picture_gets_a_key_and_its_sweeps_point_to_it(bench):
    assert [one.key for one in bench.pictures] == [1]
    assert rows(bench) == [("a", 1, 0), ("b", 1, 2)]
    assert bench.contradiction is None
    assert bench.reference.label == "a"


def test_a_mended_sweep_keeps_what_was_noted_about_it(bench):
    key = bench.entries[1].key
    noted = bench.with_condition(key, "wet")
    after = with_tracing(
        noted, MENDED, [reading("a"), reading("c", 0.5, "elsewhere.png")], [0, 1], [0, 2]
    )
    assert rows(after) == [("a", 1, 0), ("c", 1, 1)]
    assert after.pictures == (MENDED,)
    mended = after.entry(key)
    assert (mended.condition, mended.file) == ("wet", "page 12.png")
    assert mended.sweep.magnitude[0] == 0.5
    assert after.entries[0].sweep is bench.entries[0].sweep or (
        after.entries[0].sweep == bench.entries[0].sweep
    )


def test_sweeps_of_curves_that_are_gone_are_removed_and_new_ones_added(bench):
    after = with_tracing(bench, MENDED, [reading("b"), reading("d")], [0, 1], [2, None])
    assert rows(after) == [("b", 1, 0), ("d", 1, 1)]
    assert after.contradiction is None
    other = with_tracing(bench, MENDED, [reading("e")], [0], [None])
    assert rows(other) == [("e", 1, 0)]
    assert other.pictures == (MENDED,)


def test_a_copy_is_mended_with_its_original_and_keeps_its_name(bench):
    copied = bench.with_copy(bench.entries[0].key)
    named = copied.with_label(copied.entries[1].key, "copy of a")
    after = with_tracing(named, MENDED, [reading("x", 0.6), reading("b")], [0, 1], [0, 2])
    assert rows(after) == [("x", 1, 0), ("copy of a", 1, 0), ("b", 1, 1)]
    assert after.entries[1].sweep.magnitude[0] == 0.6


def test_a_picture_goes_with_the_last_of_its_sweeps(bench):
    one_left = bench.without([bench.entries[0].key])
    assert one_left.pictures == bench.pictures
    assert one_left.without([bench.entries[1].key]).pictures == ()
