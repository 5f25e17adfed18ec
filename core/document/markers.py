"""Markers: frequencies pinned on the bench, where all sweeps are read off side by side."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from fairlead.core.document.session import Marker
from fairlead.core.errors import ValueTextError
from fairlead.core.units import parse_frequency_hz

if TYPE_CHECKING:
    from collections.abc import Collection, Iterable, Sequence

    from fairlead.core.document.bench import Bench


def marker_with(bench: Bench, key: int) -> Marker:
    """The marker with that key.

    Raises
    ------
    KeyError
        If there is none.
    """
    for marker in bench.markers:
        if marker.key == key:
            return marker
    raise KeyError(key)


def with_marker(bench: Bench, frequency_hz: float, name: str = "") -> Bench:
    """One more marker, in the order of frequencies; none where there already is one."""
    if any(marker.frequency_hz == frequency_hz for marker in bench.markers):
        return bench
    marker = Marker(bench.next_key, frequency_hz, " ".join(name.split()))
    return replace(bench, markers=in_order([*bench.markers, marker]), next_key=bench.next_key + 1)


def with_marker_at(bench: Bench, key: int, frequency_hz: float) -> Bench:
    """A marker moved to another frequency."""
    return _changed(bench, replace(marker_with(bench, key), frequency_hz=frequency_hz))


def without_markers(bench: Bench, keys: Iterable[int]) -> Bench:
    """Markers removed."""
    gone = set(keys)
    left = tuple(marker for marker in bench.markers if marker.key not in gone)
    return bench if len(left) == len(bench.markers) else replace(bench, markers=left)


def with_markers(bench: Bench, wanted: Sequence[tuple[float, str]]) -> Bench:
    """Other markers: frequencies in Hz with their names, each frequency once.

    Those that were there keep their keys: at their frequency, else by their place in the order.
    """
    names: dict[float, str] = {}
    for frequency_hz, name in wanted:
        names.setdefault(frequency_hz, " ".join(name.split()))
    spare = {marker.frequency_hz: marker.key for marker in bench.markers}
    keys = {hz: spare.pop(hz) for hz in names if hz in spare}
    free, next_key = list(spare.values()), bench.next_key
    for hz in names:
        if hz not in keys and free:
            keys[hz] = free.pop(0)
        elif hz not in keys:
            keys[hz], next_key = next_key, next_key + 1
    markers = in_order(Marker(keys[hz], hz, name) for hz, name in names.items())
    if markers == bench.markers:
        return bench
    return replace(bench, markers=markers, next_key=next_key)


def parse_marker(text: str) -> tuple[float, str]:
    """Frequency in Hz and name of "50.2 MHz" or "beacon=50.2 MHz".

    Raises
    ------
    ValueTextError
        If it is no frequency.
    """
    name, sign, frequency = text.rpartition("=")
    try:
        return parse_frequency_hz(frequency), name.strip()
    except ValueTextError as error:
        if sign and not name.strip():
            raise ValueTextError(f'"{text}" has no name before "="', error.advice) from None
        raise


def in_order(markers: Iterable[Marker]) -> tuple[Marker, ...]:
    """Markers by frequency."""
    return tuple(sorted(markers, key=lambda marker: (marker.frequency_hz, marker.key)))


def joined_markers(own: Sequence[Marker], others: Collection[Marker], key: int) -> list[Marker]:
    """Markers of two benches; the others get new keys from ``key`` on, equal frequencies once."""
    known = {marker.frequency_hz for marker in own}
    new = [marker for marker in others if marker.frequency_hz not in known]
    return [*own, *(replace(marker, key=key + place) for place, marker in enumerate(new))]


def _changed(bench: Bench, changed: Marker) -> Bench:
    others = [one for one in bench.markers if one.key != changed.key]
    markers = in_order([*others, changed])
    return bench if markers == bench.markers else replace(bench, markers=markers)
