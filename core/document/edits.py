"""The edits of a bench: each returns a new frozen value.

Parts that did not change are the same objects in both, so that a view can tell by identity what to
redraw. An edit that changes nothing returns the bench itself.
"""

from __future__ import annotations

import math
from dataclasses import replace
from typing import TYPE_CHECKING, Any, cast

from fairlead.core.bands import Band
from fairlead.core.document.entry import (
    COLOUR_KINDS,
    DASH_KINDS,
    MARKER_KINDS,
    Circumstances,
    Entry,
    Style,
    Typed,
)
from fairlead.core.errors import FairleadError, ValueTextError
from fairlead.core.uncertainty.error_model import UNKNOWN

if TYPE_CHECKING:
    from collections.abc import Collection, Iterable, Mapping, Sequence
    from typing import Self

    from fairlead.core.document.advice_request import AdviceRequest
    from fairlead.core.document.picture_request import Legend, PictureRequest
    from fairlead.core.document.session import Group, Instrument, KeptPicture, LogEntry, Plan
    from fairlead.core.reading.reading import Reading
    from fairlead.core.sweep import AnySweep, ScalarSweep
    from fairlead.core.transform.step import Plane, Step
    from fairlead.core.uncertainty.error_model import ErrorModel

USUAL_Z0_OHM = 50.0
EMPTY_BAND = Band(50e6, 52e6)
LIMIT_LOWEST = 1.05
LIMIT_HIGHEST = 20.0
_STYLES = 60


class Edits:
    """The edits, for `fairlead.core.document.bench.Bench` to inherit."""

    __slots__ = ()

    entries: tuple[Entry, ...]
    reference_key: int | None
    band: Band
    has_own_band: bool
    z0_ohm: float
    next_key: int
    instruments: tuple[Instrument, ...]
    groups: tuple[Group, ...]
    log: tuple[LogEntry, ...]
    pictures: tuple[KeptPicture, ...]
    same_radiation: tuple[tuple[int, int], ...]

    @property
    def used_styles(self) -> set[Style]:
        """Styles of sweeps and groups."""
        return {entry.style for entry in self.entries} | {group.style for group in self.groups}

    def entry(self, key: int) -> Entry:
        """The entry with that key.

        Raises
        ------
        KeyError
            If there is none.
        """
        for entry in self.entries:
            if entry.key == key:
                return entry
        raise KeyError(key)

    def with_readings(self, readings: Iterable[Reading]) -> Self:
        """Sweeps added at the end, each with a style of its own.

        The first sweep ever becomes the reference. A bench without sweeps takes the reference
        impedance that all new ones share (else 50 ohm); a band that the user has not chosen
        follows the sweeps.
        """
        return self.with_entries(
            Entry(
                key=0,
                measured=reading.sweep,
                label=reading.label,
                file=reading.file,
                notices=reading.notices,
                circumstances=Circumstances(taken_at=reading.taken_at),
            )
            for reading in readings
        )

    def with_entries(self, added: Iterable[Entry]) -> Self:
        """Sweeps of another bench added at the end, with everything noted about them.

        Each gets a key and a style of its own; otherwise as `with_readings`.
        """
        entries, key = list(self.entries), self.next_key
        styles = self.used_styles
        for entry in added:
            style = free_style(styles)
            styles.add(style)
            # Keys of instruments and pictures mean nothing here; `joining` brings them along.
            own = replace(entry, key=key, style=style, instrument_key=None, picture_key=None)
            entries.append(own)
            key += 1
        if len(entries) == len(self.entries):
            return self
        return self._with(
            entries=tuple(entries),
            reference_key=entries[0].key if self.reference_key is None else self.reference_key,
            z0_ohm=self.z0_ohm if self.entries else common_z0_ohm(entries),
            band=self.band if self.has_own_band else common_span(entries),
            next_key=key,
        )

    def without(self, keys: Iterable[int]) -> Self:
        """Sweeps removed; if the reference is among them, the first one left becomes the reference.

        They are removed from their groups too, and so is a group without members, and a picture
        that only they were traced from; the log stays.
        """
        gone = set(keys)
        entries = tuple(entry for entry in self.entries if entry.key not in gone)
        if len(entries) == len(self.entries):
            return self
        reference_key = self.reference_key
        if reference_key in gone:
            reference_key = entries[0].key if entries else None
        band = self.band if self.has_own_band or not entries else common_span(entries)
        groups = [_left_by(group, gone) for group in self.groups]
        return self._with(
            entries=entries,
            reference_key=reference_key,
            band=band,
            groups=tuple(group for group in groups if group.members),
            pictures=self._pictures_without(gone),
            log=self._log_without(gone | {one.key for one in groups if not one.members}),
            same_radiation=tuple(one for one in self.same_radiation if gone.isdisjoint(one)),
        )

    def _pictures_without(self, gone: Collection[int]) -> tuple[KeptPicture, ...]:
        used = {entry.picture_key for entry in self.entries if entry.key not in gone}
        left = {entry.picture_key for entry in self.entries if entry.key in gone} - used
        return tuple(one for one in self.pictures if one.key not in left)

    def _log_without(self, gone: Collection[int]) -> tuple[LogEntry, ...]:
        return tuple(
            replace(one, about_key=None) if one.about_key in gone else one for one in self.log
        )

    def with_sweeps(self, readings: Mapping[int, Reading]) -> Self:
        """Sweeps read again from their files, by key; what the user noted about them stays.

        Only a date and time stated in the file replaces the noted one. A band
        that the user has not chosen follows the sweeps.
        """
        entries = tuple(
            _read_anew(entry, readings[entry.key]) if entry.key in readings else entry
            for entry in self.entries
        )
        return self._with_points(entries)

    def with_typed(self, key: int, sweep: ScalarSweep, typed: Typed) -> Self:
        """A sweep whose readings were typed or edited."""
        changed = _with_measured(self.entry(key), sweep, typed=typed)
        return self._with_points(self._replaced(changed))

    def with_step(self, key: int, step: Step) -> Self:
        """A sweep with one more step, in its order among the others.

        Raises
        ------
        FairleadError
            If it cannot be applied to this sweep.
        """
        # A caller with a step has loaded its kind; others need not load all kinds.
        from fairlead.core.transform.registry import with_step  # noqa: PLC0415

        return self.with_steps(key, with_step(self.entry(key).steps, step))

    def with_steps(self, key: int, steps: Iterable[Step]) -> Self:
        """A sweep with these steps in place of its own; a band that is not the user's follows.

        Raises
        ------
        FairleadError
            If one that is on cannot be applied to this sweep.
        """
        return self.with_steps_of({key: tuple(steps)})

    def with_steps_of(self, steps: Mapping[int, tuple[Step, ...]]) -> Self:
        """Several sweeps with other steps, by their key; as `with_steps`."""
        for key in steps:
            self.entry(key)
        entries = [
            replace(one, steps=steps[one.key]) if one.key in steps else one for one in self.entries
        ]
        return self._with_points(tuple(entries))

    def with_plane(self, key: int, plane: Plane | None) -> Self:
        """Where a sweep was taken; None is not stated."""
        return self._with_entry(key, plane=plane)

    def with_accuracy(
        self, keys: Collection[int], accuracy: ErrorModel, calibration: str = ""
    ) -> Self:
        """Sweeps with these errors of their analyzer; if none is known, with an unknown analyzer.

        Analyzers without a name that no sweep refers to are dropped.
        """
        from fairlead.core.document.session import Instrument  # noqa: PLC0415 - rarely needed

        instruments, key = self.instruments, None
        if accuracy.left_out != UNKNOWN.left_out:
            wanted = Instrument(
                self.next_key,
                "",
                calibration,
                accuracy.directivity_db,
                accuracy.source_match_db,
                accuracy.tracking_db,
            )
            same = [one for one in instruments if replace(one, key=wanted.key) == wanted]
            if not same:
                instruments = (*instruments, wanted)
            key = (same or [wanted])[0].key
        entries = tuple(
            replace(entry, instrument_key=key)
            if entry.key in keys and entry.instrument_key != key
            else entry
            for entry in self.entries
        )
        used = {entry.instrument_key for entry in entries}
        return self._with(
            entries=entries,
            instruments=tuple(one for one in instruments if one.name or one.key in used),
            next_key=max(self.next_key, (key or 0) + 1),
        )

    def with_copy(self, key: int) -> Self:
        """A copy of an entry below it, with the same measured sweep and a style of its own."""
        entry = self.entry(key)
        style = free_style(self.used_styles)
        copy = replace(entry, key=self.next_key, style=style, is_visible=True)
        place = self.entries.index(entry) + 1
        entries = (*self.entries[:place], copy, *self.entries[place:])
        return self._with(entries=entries, next_key=self.next_key + 1)

    def with_label(self, key: int, label: str) -> Self:
        """A sweep renamed; blanks around the name are removed, an empty name changes nothing."""
        label = " ".join(label.split())
        return self._with_entry(key, label=label) if label else self

    def with_condition(self, key: int, condition: str) -> Self:
        """A sweep's condition; may be empty."""
        return self._with_entry(key, condition=" ".join(condition.split()))

    def with_circumstances(self, key: int, circumstances: Circumstances) -> Self:
        """Under what circumstances a sweep was taken."""
        return self._with_entry(key, circumstances=circumstances)

    def with_visibility(self, key: int, *, is_visible: bool) -> Self:
        """A sweep shown or hidden; hidden ones keep their figures."""
        return self._with_entry(key, is_visible=is_visible)

    def with_style(self, key: int, style: Style) -> Self:
        """A sweep drawn in another style."""
        return self._with_entry(key, style=style)

    def with_next_style(self, key: int) -> Self:
        """A sweep drawn in the next style that no other sweep has."""
        own = self.entry(key).style
        place = next((index for index in range(_STYLES) if nth_style(index) == own), -1)
        return self.with_style(key, free_style(self.used_styles, place + 1))

    def with_reference(self, key: int) -> Self:
        """Another sweep as the reference (KeyError if there is no such sweep)."""
        return self._with(reference_key=self.entry(key).key)

    def with_move(self, key: int, index: int) -> Self:
        """A sweep moved to an index of the list, which is clipped to the list."""
        entry = self.entry(key)
        others = [other for other in self.entries if other.key != key]
        others.insert(min(max(index, 0), len(others)), entry)
        return self._with(entries=tuple(others))

    def with_order(self, keys: Sequence[int]) -> Self:
        """All sweeps in the order of these keys; others follow in their current order."""
        places = {key: place for place, key in enumerate(keys)}
        order = sorted(self.entries, key=lambda entry: places.get(entry.key, len(places)))
        return self._with(entries=tuple(order))

    def with_band(self, band: Band) -> Self:
        """Another band, chosen by the user."""
        return self._with(band=band, has_own_band=True)

    def with_whole_span(self) -> Self:
        """The band given up for the common span of the sweeps."""
        band = common_span(self.entries) if self.entries else EMPTY_BAND
        return self._with(band=band, has_own_band=False)

    def with_limit(self, limit_swr: float) -> Self:
        """Another SWR limit, clipped to 1.05 ... 20; NaN changes nothing."""
        if math.isnan(limit_swr):
            return self
        return self._with(limit_swr=min(max(limit_swr, LIMIT_LOWEST), LIMIT_HIGHEST))

    def with_advice(self, asked: AdviceRequest) -> Self:
        """Another question to the advice."""
        return self._with(advice=asked)

    def with_picture(self, picture: PictureRequest) -> Self:
        """Other settings for the printed picture."""
        return self._with(picture=picture)

    def with_plan(self, plan: Plan | None) -> Self:
        """Another plan of the measurement."""
        return self._with(plan=plan)

    def with_log(self, lines: Sequence[LogEntry]) -> Self:
        """Another log; its lines get the keys of those they replace, then new ones."""
        old = [one.key for one in self.log[: len(lines)]]
        new = range(self.next_key, self.next_key + len(lines) - len(old))
        log = tuple(replace(one, key=key) for one, key in zip(lines, [*old, *new], strict=True))
        return self._with(log=log, next_key=new.stop if new else self.next_key)

    def in_legend(self, legend: Legend) -> Self:
        """The bench with the legend texts of a picture as captions."""
        entries = tuple(entry.in_legend(legend) for entry in self.entries)
        return self._with(entries=entries)

    def with_z0(self, z0_ohm: float) -> Self:
        """Another reference impedance.

        Raises
        ------
        ValueTextError
            Unless it is positive and finite.
        """
        if not 0 < z0_ohm < math.inf:
            raise ValueTextError(
                f"{z0_ohm:g} ohm is not a reference impedance",
                "give a positive number; 50 is usual",
            )
        return self._with(z0_ohm=z0_ohm)

    def _with_points(self, entries: tuple[Entry, ...]) -> Self:
        """Entries with other points: the band follows unless it is the user's own."""
        if entries == self.entries:
            return self
        band = self.band if self.has_own_band or not entries else common_span(entries)
        return self._with(entries=entries, band=band)

    def _with(self, **changes: object) -> Self:
        """A new bench, or this one if nothing differs."""
        changed: Self = replace(cast("Any", self), **changes)  # the dataclass is `Bench`
        return self if changed == self else changed

    def _replaced(self, changed: Entry) -> tuple[Entry, ...]:
        return tuple(changed if old.key == changed.key else old for old in self.entries)

    def _with_entry(self, key: int, **changes: object) -> Self:
        entry = self.entry(key)
        changed = replace(entry, **changes)  # type: ignore[arg-type]  # checked by every caller
        if changed == entry:
            return self
        return self._with(entries=self._replaced(changed))


def common_z0_ohm(entries: Sequence[Entry]) -> float:
    """The reference impedance that all sweeps share, else 50 ohm."""
    found = {entry.sweep.z0_ohm for entry in entries}
    return found.pop() if len(found) == 1 else USUAL_Z0_OHM


def common_span(entries: Sequence[Entry]) -> Band:
    """The span that all sweeps cover; where there is none, from the lowest to the highest."""
    lows = [float(entry.sweep.frequency_hz[0]) for entry in entries]
    highs = [float(entry.sweep.frequency_hz[-1]) for entry in entries]
    low_hz, high_hz = max(lows), min(highs)
    return Band(low_hz, high_hz) if low_hz < high_hz else Band(min(lows), max(highs))


def _left_by(group: Group, gone: Collection[int]) -> Group:
    """A group that some sweeps leave; without its reference it is compared with its mean."""
    if not any(key in gone for key in group.members):
        return group
    members = tuple(key for key in group.members if key not in gone)
    reference_key = None if group.reference_key in gone else group.reference_key
    return replace(group, members=members, reference_key=reference_key)


def _with_measured(entry: Entry, measured: AnySweep, **changes: object) -> Entry:
    """Another measured sweep; steps that cannot be applied to it are switched off, not lost."""
    changed: dict[str, Any] = {**changes, "measured": measured}
    try:
        return replace(entry, **changed)
    except FairleadError:
        off = tuple(replace(step, is_on=False) for step in entry.steps)
        return replace(entry, steps=off, **changed)


def _read_anew(entry: Entry, reading: Reading) -> Entry:
    noted = entry.circumstances
    return _with_measured(
        entry,
        reading.sweep,
        file=reading.file,
        notices=reading.notices,
        circumstances=replace(noted, taken_at=reading.taken_at or noted.taken_at),
        typed=Typed(),
    )


def free_style(used: Collection[Style], first: int = 0) -> Style:
    """The first style that no entry and no group uses, from a number of the sequence on.

    Colour, dash and marker advance together, so that sweeps remain distinct in print without colour
    as well.
    """
    index = first
    while nth_style(index) in used and index < first + _STYLES:
        index += 1
    return nth_style(index)


def nth_style(index: int) -> Style:
    """A style of the sequence in which sweeps get theirs."""
    return Style(index % COLOUR_KINDS, index % DASH_KINDS, index % MARKER_KINDS)
