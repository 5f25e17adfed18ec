"""Sweeps traced from a picture: put on a bench with it, and mended together."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Sequence

    from fairlead.core.document.bench import Bench
    from fairlead.core.document.session import KeptPicture
    from fairlead.core.reading.reading import Reading


def with_tracing(
    bench: Bench,
    picture: KeptPicture,
    readings: Sequence[Reading],
    curves: Sequence[int],
    before: Sequence[int | None],
) -> Bench:
    """Put all sweeps of a tracing on a bench, in place of those of the tracing before it.

    Parameters
    ----------
    bench : Bench
    picture : KeptPicture
        With its tracing. A picture of its key is replaced; if there is none it gets a new key.
    readings : sequence of Reading
        The sweeps, each with its name.
    curves : sequence of int
        The first curve of the tracing that each is made of.
    before : sequence of (int or None)
        Which curve that was in the tracing before, None for a new one. Sweeps of other curves are
        removed; what the user noted about the others stays.
    """
    is_there = any(one.key == picture.key for one in bench.pictures)
    old = {
        entry.key: entry.picture_curve
        for entry in bench.entries
        if is_there and entry.picture_key == picture.key and entry.picture_curve is not None
    }
    if is_there:
        pictures = [picture if one.key == picture.key else one for one in bench.pictures]
        bench = replace(bench, pictures=tuple(pictures))
    else:
        picture = replace(picture, key=bench.next_key)
        pictures = [*bench.pictures, picture]
        bench = replace(bench, pictures=tuple(pictures), next_key=picture.key + 1)
    bench, places = _with_changed(bench, old, readings, before)
    new = [place for place in range(len(readings)) if place not in places.values()]
    count = len(bench.entries)
    bench = bench.with_readings(readings[place] for place in new)
    places |= {entry.key: place for entry, place in zip(bench.entries[count:], new, strict=True)}
    entries = tuple(
        replace(entry, picture_key=picture.key, picture_curve=curves[places[entry.key]])
        if entry.key in places
        else entry
        for entry in bench.entries
    )
    bench = replace(bench, entries=entries)
    # Last, so that a picture whose sweeps are all others now is not dropped with the old ones.
    return bench.without(key for key in old if key not in places)


def _with_changed(
    bench: Bench,
    old: dict[int, int],
    readings: Sequence[Reading],
    before: Sequence[int | None],
) -> tuple[Bench, dict[int, int]]:
    """Sweeps that were there, traced anew; and for each by its key, the place of its reading."""
    places: dict[int, int] = {}
    for place, was in enumerate(before):
        keys = [key for key, curve in old.items() if was is not None and curve == was]
        places |= dict.fromkeys(keys, place)
        for key in keys[:1]:
            bench = bench.with_label(key, readings[place].label)
    anew = {
        key: replace(readings[place], file=bench.entry(key).file) for key, place in places.items()
    }
    return bench.with_sweeps(anew), places
