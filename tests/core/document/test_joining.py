"""Two benches joined: nothing that was said of a sweep is lost, and no key means another thing."""

from __future__ import annotations

from dataclasses import replace

from benches import full_bench

from fairlead.core.bench_file import bench_from_bytes, bench_to_bytes
from fairlead.core.document.advice_request import AdviceRequest
from fairlead.core.document.bench import Bench
from fairlead.core.document.joining import joined


def bare(thing, **options):
    return replace(thing, key=0, **options)


def test_everything_of_the_other_bench_comes_along():
    bench, other = full_bench(), full_bench()
    other = replace(
        other,
        instruments=tuple(replace(one, name=f"{one.name} of others") for one in other.instruments),
        pictures=tuple(replace(one, name=f"other {one.name}") for one in other.pictures),
    )
    both = joined(bench, other)
    count = len(bench.entries)
    assert both.entries[:count] == bench.entries
    instruments = {one.key: one for one in both.instruments}
    pictures = {one.key: one for one in both.pictures}
    sweeps = {entry.key: place for place, entry in enumerate(other.entries)}
    for new, old in zip(both.entries[count:], other.entries, strict=True):
        pointers = {"instrument_key": None, "picture_key": None, "style": old.style}
        assert bare(new, **pointers) == bare(old, **pointers)
        for key, before, now in (
            ("instrument_key", other.instruments, instruments),
            ("picture_key", other.pictures, pictures),
        ):
            wanted = {one.key: bare(one) for one in before}.get(getattr(old, key))
            found = now.get(getattr(new, key))
            assert (None if found is None else bare(found)) == wanted
    for new, old in zip(both.groups[len(bench.groups) :], other.groups, strict=True):
        assert [both.entries[count + sweeps[key]].key for key in old.members] == [*new.members]
        assert (new.reference_key is None) == (old.reference_key is None)
        assert (new.label, new.kind) == (old.label, old.kind)
    for new, old in zip(both.log[len(bench.log) :], other.log, strict=True):
        assert bare(new, about_key=None) == bare(old, about_key=None)
        assert (new.about_key is None) == (old.about_key is None)
    assert both.contradiction is None
    assert bench_from_bytes(bench_to_bytes(both), "a.fairlead") == both


def test_equal_instruments_and_pictures_are_not_doubled():
    bench = full_bench()
    both = joined(bench, full_bench())
    assert both.instruments == bench.instruments
    assert both.pictures == bench.pictures
    assert both.contradiction is None


def test_a_bench_of_nothing_but_sweeps():
    bench = full_bench()
    other = replace(
        bench.without([entry.key for entry in bench.entries]), log=(), instruments=(), pictures=()
    )
    assert joined(bench, other) == bench
    assert joined(Bench(), bench).contradiction is None


def test_what_is_asked_of_the_advice_names_the_same_sweep():
    """The sweep before a cut has another key on the joined bench."""
    other = full_bench()
    before, count = other.entries[1], len(other.entries)
    other = replace(other, advice=AdviceRequest(cut="measured", before_key=before.key))
    own = replace(full_bench(), advice=AdviceRequest(power="50 W", before_key=before.key))
    assert joined(own, other).advice == own.advice
    both = joined(replace(own, advice=AdviceRequest()), other)
    assert both.advice == replace(other.advice, before_key=both.entries[count + 1].key)
    gone = joined(Bench(), replace(other, advice=replace(other.advice, before_key=99)))
    assert gone.advice == replace(other.advice, before_key=None)
    assert joined(Bench(), replace(other, advice=AdviceRequest(power="5 W"))).advice.power == "5 W"


def test_styles_all_differ():
    both = joined(full_bench(), full_bench())
    styles = [one.style for one in (*both.entries, *both.groups)]
    assert len(set(styles)) == len(styles)
