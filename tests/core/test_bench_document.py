"""The document: edits give new benches, share what did not change, and keep their promises."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from fairlead.core.bands import Band
from fairlead.core.document.bench import Bench
from fairlead.core.document.edits import LIMIT_HIGHEST, LIMIT_LOWEST, common_span, common_z0_ohm
from fairlead.core.document.entry import Circumstances, Style, Typed
from fairlead.core.document.picture_request import PictureRequest
from fairlead.core.errors import ValueTextError
from fairlead.core.notice import Notice
from fairlead.core.reading.reading import Reading
from fairlead.core.sweep import ScalarSweep, Sweep


def reading(label="dry", low_mhz=48.0, high_mhz=54.0, z0_ohm=50.0, rho=0.3, **more):
    frequency_hz = np.linspace(low_mhz, high_mhz, 5) * 1e6
    return Reading(Sweep(frequency_hz, np.full(5, rho), z0_ohm), label, f"{label}.s1p", **more)


def bench_of(*labels):
    return Bench().with_readings(reading(label) for label in labels)


def keys_of(bench):
    return [entry.key for entry in bench.entries]


class TestAdding:
    def test_the_first_sweep_becomes_the_reference(self):
        bench = bench_of("dry", "wet")
        assert bench.reference.label == "dry"
        assert bench.with_readings([reading("iced")]).reference.label == "dry"

    def test_what_was_read_is_kept(self):
        notice = Notice("defaults-applied", "no option line")
        bench = Bench().with_readings([reading(notices=(notice,), taken_at="2026-05-14T18:30")])
        (entry,) = bench.entries
        assert (entry.label, entry.file, entry.notices) == ("dry", "dry.s1p", (notice,))
        assert entry.circumstances.taken_at == "2026-05-14T18:30"
        assert entry.is_visible

    def test_nothing_added_is_the_same_bench(self):
        bench = bench_of("dry")
        assert bench.with_readings([]) is bench

    def test_sixty_sweeps_have_sixty_styles(self):
        bench = bench_of(*(f"unit {i}" for i in range(60)))
        assert len({entry.style for entry in bench.entries}) == 60
        assert bench.with_readings([reading("61")]).entries[-1].style == Style(0, 0, 0)

    def test_a_removed_sweeps_style_is_free_again(self):
        bench = bench_of("a", "b", "c")
        style = bench.entries[1].style
        bench = bench.without([bench.entries[1].key]).with_readings([reading("d")])
        assert bench.entries[-1].style == style

    def test_the_reference_impedance_that_all_share_is_taken(self):
        assert Bench().with_readings([reading(z0_ohm=75.0)]).z0_ohm == 75
        assert Bench().with_readings([reading(z0_ohm=75.0), reading()]).z0_ohm == 50
        assert bench_of("dry").with_readings([reading(z0_ohm=75.0)]).z0_ohm == 50

    def test_the_band_follows_the_sweeps_until_the_user_chooses_one(self):
        bench = bench_of("dry")
        assert bench.band == Band(48e6, 54e6)
        bench = bench.with_readings([reading("short", 50.0, 60.0)])
        assert bench.band == Band(50e6, 54e6)
        bench = bench.with_band(Band(50e6, 52e6)).with_readings([reading("long", 1.0, 99.0)])
        assert bench.band == Band(50e6, 52e6)
        assert bench.with_whole_span().band == Band(50e6, 54e6)
        assert not bench.with_whole_span().has_own_band


class TestRemoving:
    def test_the_reference_gone_the_first_one_left_takes_its_place(self):
        bench = bench_of("dry", "wet", "iced")
        assert bench.without([bench.reference_key]).reference.label == "wet"

    def test_another_one_gone_the_reference_stays(self):
        bench = bench_of("dry", "wet")
        assert bench.without([bench.entries[1].key]).reference.label == "dry"

    def test_all_gone_there_is_no_reference_and_the_band_stays(self):
        bench = bench_of("dry", "wet")
        empty = bench.without(keys_of(bench))
        assert empty.entries == ()
        assert empty.reference is None
        assert empty.band == bench.band
        assert empty.with_whole_span().band == Bench().band

    def test_nothing_removed_is_the_same_bench(self):
        bench = bench_of("dry")
        assert bench.without([99]) is bench

    def test_a_key_is_never_used_again(self):
        bench = bench_of("dry", "wet")
        used = set(keys_of(bench))
        bench = bench.without(used).with_readings([reading("iced")])
        assert not used & set(keys_of(bench))


class TestEdits:
    def test_only_the_edited_entry_is_a_new_object(self):
        bench = bench_of("dry", "wet", "iced")
        changed = bench.with_label(bench.entries[1].key, "soaked")
        assert changed.entries[1].label == "soaked"
        assert changed.entries[0] is bench.entries[0]
        assert changed.entries[2] is bench.entries[2]
        assert changed.entries[1].sweep is bench.entries[1].sweep

    def test_names_lose_their_blanks_and_are_never_empty(self):
        bench = bench_of("dry")
        key = bench.entries[0].key
        assert bench.with_label(key, "  roof \n antenna ").entries[0].label == "roof antenna"
        assert bench.with_label(key, " \t") is bench

    def test_a_condition_may_be_empty_and_shows_in_the_caption(self):
        bench = bench_of("roof")
        key = bench.entries[0].key
        wet = bench.with_condition(key, " soaked  by rain ")
        assert wet.entries[0].caption == "roof (soaked by rain)"
        assert wet.with_condition(key, "").entries[0].caption == "roof"

    def test_a_hidden_sweep_is_not_visible_and_still_there(self):
        bench = bench_of("dry", "wet")
        hidden = bench.with_visibility(bench.entries[0].key, is_visible=False)
        assert [entry.label for entry in hidden.visible] == ["wet"]
        assert hidden.reference.label == "dry"

    @pytest.mark.parametrize(
        ("index", "order"),
        [(0, "cab"), (1, "acb"), (2, "abc"), (99, "abc"), (-5, "cab")],
    )
    def test_moving_within_the_list(self, index, order):
        bench = bench_of("a", "b", "c")
        moved = bench.with_move(bench.entries[2].key, index)
        assert "".join(entry.label for entry in moved.entries) == order
        assert moved.reference_key == bench.reference_key

    def test_another_reference(self):
        bench = bench_of("dry", "wet")
        assert bench.with_reference(bench.entries[1].key).reference.label == "wet"

    @pytest.mark.parametrize(
        ("wanted", "limit"),
        [(2.5, 2.5), (1.0, LIMIT_LOWEST), (-3, LIMIT_LOWEST), (1e9, LIMIT_HIGHEST)],
    )
    def test_the_limit_is_clipped(self, wanted, limit):
        assert Bench().with_limit(wanted).limit_swr == limit

    @pytest.mark.parametrize("z0_ohm", [0, -50, math.nan, math.inf])
    def test_an_impossible_reference_impedance_is_refused(self, z0_ohm):
        with pytest.raises(ValueTextError, match="reference impedance"):
            Bench().with_z0(z0_ohm)

    def test_edits_that_change_nothing_return_the_bench_itself(self):
        bench = bench_of("dry", "wet").with_band(Band(50e6, 52e6))
        key = bench.entries[0].key
        entry = bench.entries[0]
        for same in (
            bench.with_label(key, "dry"),
            bench.with_condition(key, ""),
            bench.with_circumstances(key, Circumstances(taken_at=entry.circumstances.taken_at)),
            bench.with_visibility(key, is_visible=True),
            bench.with_style(key, entry.style),
            bench.with_reference(key),
            bench.with_move(key, 0),
            bench.with_band(Band(50e6, 52e6)),
            bench.with_limit(2.0),
            bench.with_limit(math.nan),
            bench.with_z0(50.0),
            bench.with_picture(PictureRequest()),
        ):
            assert same is bench

    def test_an_unknown_key_is_an_error(self):
        bench = bench_of("dry")
        for edit in (
            lambda: bench.entry(99),
            lambda: bench.with_label(99, "x"),
            lambda: bench.with_reference(99),
            lambda: bench.with_move(99, 0),
        ):
            with pytest.raises(KeyError):
                edit()

    def test_style_circumstances_and_picture_are_kept(self):
        bench = bench_of("dry")
        key = bench.entries[0].key
        bench = (
            bench.with_style(key, Style(3, 2, 1))
            .with_circumstances(key, Circumstances(weather="rain"))
            .with_picture(PictureRequest(title="Roof"))
            .with_z0(75.0)
        )
        assert bench.entries[0].style == Style(3, 2, 1)
        assert bench.entries[0].circumstances.weather == "rain"
        assert bench.picture.title == "Roof"
        assert bench.z0_ohm == 75


class TestReadAnew:
    def test_what_the_user_said_stays_and_what_was_measured_changes(self):
        bench = bench_of("dry", "wet")
        dry, wet = (entry.key for entry in bench.entries)
        bench = (
            bench.with_label(wet, "roof")
            .with_condition(wet, "iced")
            .with_style(wet, Style(3, 2, 1))
            .with_reference(wet)
            .with_circumstances(wet, Circumstances(taken_at="yesterday", place="club house"))
        )
        new = replace(reading("other", 30.0, 40.0), notices=(Notice("a", "b"),))
        after = bench.with_sweeps({wet: new})
        entry = after.entry(wet)
        measured = {"measured": new.sweep, "notices": new.notices, "file": new.file}
        assert entry == replace(bench.entry(wet), **measured)
        assert after.reference is entry
        assert after.entry(dry) is bench.entry(dry)
        stamped = replace(new, taken_at="2026-05-14")
        again = bench.with_sweeps({wet: stamped}).entry(wet)
        assert again.circumstances == Circumstances("2026-05-14", "club house")

    def test_the_band_follows_unless_it_was_chosen(self):
        bench = bench_of("dry")
        key = bench.entries[0].key
        new = reading("dry", 30.0, 40.0)
        assert bench.with_sweeps({key: new}).band == Band(30e6, 40e6)
        chosen = bench.with_band(Band(1e6, 2e6))
        assert chosen.with_sweeps({key: new}).band == Band(1e6, 2e6)

    def test_nothing_new_is_the_same_bench(self):
        bench = bench_of("dry", "wet")
        entry = bench.entries[0]
        same = Reading(entry.sweep, "x", entry.file, entry.notices)
        assert bench.with_sweeps({entry.key: same}) is bench
        assert bench.with_sweeps({99: same}) is bench


def test_typed_readings_are_kept_as_typed():
    bench = bench_of("dry")
    sweep = ScalarSweep([50e6, 51e6], [0.1, 0.2])
    key = bench.next_key
    typed = Typed("swr", (("50", "1,22"), ("51", "1.5")))
    after = bench.with_readings([Reading(sweep, "meter", "")]).with_typed(key, sweep, typed)
    assert after.entry(key).typed == typed
    assert bench_of("dry").entries[0].typed == Typed()
    longer = ScalarSweep([40e6, 60e6], [0.1, 0.2])
    alone = after.without([bench.entries[0].key]).with_typed(key, longer, typed)
    assert alone.band == Band(40e6, 60e6)
    with pytest.raises(KeyError):
        after.with_typed(99, sweep, typed)


def test_an_order_takes_the_sweeps_it_names_first():
    bench = bench_of("a", "b", "c", "d")
    a, b, c, d = (entry.key for entry in bench.entries)
    assert [entry.key for entry in bench.with_order([d, b, 99]).entries] == [d, b, a, c]
    assert bench.with_order([a, b, c, d]) is bench


@pytest.mark.parametrize(
    ("legend", "caption"),
    [
        ("name", "dry"),
        ("condition", "dry (after rain)"),
        ("date", "dry (after rain, 2026-05-14 18:30)"),
        ("place", "dry (after rain, club house)"),
    ],
)
def test_a_legend_says_what_was_asked_for(legend, caption):
    bench = bench_of("dry")
    key = bench.entries[0].key
    bench = bench.with_condition(key, "after rain").with_circumstances(
        key, Circumstances(taken_at="2026-05-14T18:30", place="club\nhouse")
    )
    assert bench.in_legend(legend).entries[0].caption == caption
    assert bench_of("dry").in_legend(legend).entries[0].caption == "dry"


def test_common_span_of_sweeps_that_do_not_meet_is_all_of_them():
    bench = Bench().with_readings([reading("a", 7.0, 8.0), reading("b", 14.0, 15.0)])
    assert common_span(bench.entries) == Band(7e6, 15e6)


def test_common_reference_impedance_of_scalar_sweeps_counts_too():
    scalar = Reading(ScalarSweep([1e6, 2e6], [0.1, 0.2], 75.0), "meter", "")
    assert common_z0_ohm(Bench().with_readings([scalar]).entries) == 75


edits = st.lists(
    st.one_of(
        st.tuples(st.just("add"), st.integers(0, 3)),
        st.tuples(st.just("remove"), st.integers(0, 9)),
        st.tuples(st.just("label"), st.integers(0, 9), st.text(max_size=5)),
        st.tuples(st.just("condition"), st.integers(0, 9), st.text(max_size=5)),
        st.tuples(st.just("hide"), st.integers(0, 9), st.booleans()),
        st.tuples(st.just("reference"), st.integers(0, 9)),
        st.tuples(st.just("move"), st.integers(0, 9), st.integers(-2, 12)),
        st.tuples(st.just("band"), st.floats(1e6, 60e6)),
        st.tuples(st.just("span")),
        st.tuples(st.just("limit"), st.floats(allow_nan=True)),
    ),
    max_size=25,
)


OF_THE_BENCH = {
    "add": lambda bench, count: bench.with_readings(reading(f"{i}") for i in range(count)),
    "band": lambda bench, hz: bench.with_band(Band(hz, hz * 1.1)),
    "span": lambda bench: bench.with_whole_span(),
    "limit": lambda bench, limit: bench.with_limit(limit),
}
OF_A_SWEEP = {
    "remove": lambda bench, key: bench.without([key]),
    "label": lambda bench, key, text: bench.with_label(key, text),
    "condition": lambda bench, key, text: bench.with_condition(key, text),
    "hide": lambda bench, key, hidden: bench.with_visibility(key, is_visible=not hidden),
    "reference": lambda bench, key: bench.with_reference(key),
    "move": lambda bench, key, index: bench.with_move(key, index),
}


def apply(bench, edit):
    name, *values = edit
    if name in OF_THE_BENCH:
        return OF_THE_BENCH[name](bench, *values)
    if not bench.entries:
        return bench
    key = bench.entries[values[0] % len(bench.entries)].key
    return OF_A_SWEEP[name](bench, key, *values[1:])


@given(edits)
def test_whatever_is_edited_the_bench_keeps_its_promises(played):
    bench, ever = Bench(), set()
    for edit in played:
        before, copy = bench, (bench.entries, bench.band, bench.reference_key, bench.next_key)
        bench = apply(bench, edit)
        # Undo hands the old value back: an edit must never have touched it.
        assert (before.entries, before.band, before.reference_key, before.next_key) == copy
        assert (bench == before) == (bench is before)
        keys = keys_of(bench)
        assert len(keys) == len(set(keys))
        new = set(keys) - set(keys_of(before))
        assert not new & ever
        ever |= new
        assert all(key < bench.next_key for key in keys)
        assert (bench.reference_key in keys) if keys else bench.reference_key is None
        assert LIMIT_LOWEST <= bench.limit_swr <= LIMIT_HIGHEST
        assert all(entry.label for entry in bench.entries)
        if not bench.has_own_band and bench.entries:
            assert bench.band == common_span(bench.entries)


def test_the_next_style_is_one_that_no_other_sweep_has_and_comes_round_again():
    bench = bench_of("dry", "wet")
    key, other = keys_of(bench)
    seen = []
    for _ in range(60):
        bench = bench.with_next_style(key)
        assert bench.entry(key).style != bench.entry(other).style
        seen.append(bench.entry(key).style)
    # Sixty looks less the other sweep's; then the first comes again.
    assert len(set(seen)) == 59
    assert seen[59] == seen[0]


def test_a_style_outside_the_sequence_is_followed_by_the_first_free_one():
    bench = bench_of("dry", "wet")
    key, other = keys_of(bench)
    bench = bench.with_style(key, Style(0, 1, 0)).with_next_style(key)
    assert bench.entry(key).style == bench_of("dry").entries[0].style
    assert bench.entry(key).style != bench.entry(other).style
