"""Two benches joined into one: the other's sweeps bring what was stated about them."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Protocol, TypeVar

from fairlead.core.document.advice_request import AdviceRequest
from fairlead.core.document.edits import free_style
from fairlead.core.document.markers import in_order, joined_markers

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping, Sequence

    from fairlead.core.document.bench import Bench
    from fairlead.core.document.session import Instrument, KeptPicture


class _Keyed(Protocol):
    @property
    def key(self) -> int: ...


_T = TypeVar("_T", "Instrument", "KeptPicture")


def joined(bench: Bench, other: Bench) -> Bench:
    """Append the sweeps of another bench to a bench.

    Their instruments, pictures, groups, log lines and markers are added under new keys; an
    instrument or picture that exists already, with identical content, is not duplicated, nor is a
    marker at the same frequency. Band, limit, reference, printed picture and what is asked of the
    advice remain those of the first, except what it does not have: a plan, and advice that was
    never asked for.
    Feed lines are in the steps of each sweep.

    Parameters
    ----------
    bench, other : Bench
    """
    with_sweeps = bench.with_entries(other.entries)
    first = bench.next_key
    sweeps = {entry.key: first + place for place, entry in enumerate(other.entries)}
    instruments, instrument_keys = _added(
        bench.instruments, other.instruments, with_sweeps.next_key
    )
    pictures, picture_keys = _added(bench.pictures, other.pictures, _next(instruments, with_sweeps))
    key = max(_next(instruments, with_sweeps), _next(pictures, with_sweeps))
    said = {sweeps[entry.key]: entry for entry in other.entries}
    entries = tuple(
        replace(
            entry,
            instrument_key=instrument_keys.get(said[entry.key].instrument_key or 0),
            picture_key=picture_keys.get(said[entry.key].picture_key or 0),
        )
        if entry.key in said
        else entry
        for entry in with_sweeps.entries
    )
    styles = with_sweeps.used_styles
    groups = list(bench.groups)
    group_keys: dict[int, int] = {}
    for group in other.groups:
        style = free_style(styles)
        styles.add(style)
        group_keys[group.key] = key
        groups.append(
            replace(
                group,
                key=key,
                members=tuple(sweeps[member] for member in group.members),
                reference_key=sweeps.get(group.reference_key or 0),
                style=style,
            )
        )
        key += 1
    about = {**sweeps, **group_keys}
    log = list(bench.log)
    for line in other.log:
        log.append(replace(line, key=key, about_key=about.get(line.about_key or 0)))
        key += 1
    markers = joined_markers(bench.markers, other.markers, key)
    return replace(
        with_sweeps,
        entries=entries,
        instruments=instruments,
        pictures=pictures,
        groups=tuple(groups),
        log=tuple(log),
        same_radiation=(
            *bench.same_radiation,
            *((sweeps[one], sweeps[two]) for one, two in other.same_radiation),
        ),
        plan=bench.plan or other.plan,
        advice=_advice(bench, other, sweeps),
        markers=in_order(markers),
        next_key=key + len(markers) - len(bench.markers),
    )


def _advice(bench: Bench, other: Bench, sweeps: Mapping[int, int]) -> AdviceRequest:
    """The first bench's, or that of the other with its sweep before a cut under its new key."""
    if bench.advice != AdviceRequest():
        return bench.advice
    before_key = other.advice.before_key
    return replace(other.advice, before_key=None if before_key is None else sweeps.get(before_key))


def _next(things: Iterable[_Keyed], bench: Bench) -> int:
    return max([bench.next_key, *(thing.key + 1 for thing in things)])


def _added(
    own: tuple[_T, ...], others: Sequence[_T], key: int
) -> tuple[tuple[_T, ...], dict[int, int]]:
    """Both lists without duplicates, and the new keys by the old ones."""
    known = {replace(one, key=0): one.key for one in own}
    found = list(own)
    keys: dict[int, int] = {}
    for other in others:
        bare = replace(other, key=0)
        if bare not in known:
            known[bare] = key
            found.append(replace(other, key=key))
            key += 1
        keys[other.key] = known[bare]
    return tuple(found), keys
