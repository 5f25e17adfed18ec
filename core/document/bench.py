"""The bench: the whole document as one frozen value.

Every edit is a function from a bench to a new one. Parts that did not change are the same
objects in both, so that a view finds by identity what it has to redraw.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING

from fairlead.core.bands import Band
from fairlead.core.document.picture_request import PictureRequest
from fairlead.core.errors import ValueTextError
from fairlead.core.figures import DEFAULT_LIMIT_SWR

if TYPE_CHECKING:
    from collections.abc import Collection, Iterable, Mapping, Sequence

    from fairlead.core.document.picture_request import Legend
    from fairlead.core.notice import Notice
    from fairlead.core.reading.reading import Reading
    from fairlead.core.sweep import AnySweep, ScalarSweep

USUAL_Z0_OHM = 50.0
LIMIT_LOWEST = 1.05
_STYLES = 60
LIMIT_HIGHEST = 20.0
_EMPTY_BAND = Band(50e6, 52e6)


@dataclass(frozen=True, slots=True)
class Style:
    """How a sweep is drawn: indices into the lists of colours, dashes and markers.

    Views take them modulo the length of their lists.
    """

    colour: int
    dash: int
    marker: int


@dataclass(frozen=True, slots=True)
class Circumstances:
    """Under what circumstances a sweep was taken, in the user's own words; all may be empty.

    Attributes
    ----------
    taken_at : str
        Date and time, ISO 8601 where it came from a file ("2026-05-14T18:30").
    place, height, feed_line, weather : str
    continuity : str
        Reading of a direct-current continuity check at the connector, with its unit.
    notes : str
        Free text, may have several lines.
    """

    taken_at: str = ""
    place: str = ""
    height: str = ""
    feed_line: str = ""
    weather: str = ""
    continuity: str = ""
    notes: str = ""


@dataclass(frozen=True, slots=True)
class Typed:
    """Readings as they were typed, to be edited again.

    Attributes
    ----------
    quantity : str
        "swr" or "forward+reflected": a value of `fairlead.core.reading.Kind`.
    rows : tuple of tuple of str
        Cells as typed; empty for a sweep that was read from a file.
    """

    quantity: str = "swr"
    rows: tuple[tuple[str, ...], ...] = ()


@dataclass(frozen=True, slots=True)
class Entry:
    """One sweep on the bench.

    Attributes
    ----------
    key : int
        Unique on its bench for as long as the bench lives, never used again.
    sweep : Sweep or ScalarSweep
    label : str
    condition : str
        What was different: dry, wet, iced; may be empty.
    is_visible : bool
    style : Style
    file : str
        Where it was read from; may be empty.
    notices : tuple of Notice
    circumstances : Circumstances
    typed : Typed
    """

    key: int
    sweep: AnySweep
    label: str
    condition: str = ""
    is_visible: bool = True
    style: Style = Style(0, 0, 0)
    file: str = ""
    notices: tuple[Notice, ...] = ()
    circumstances: Circumstances = Circumstances()
    typed: Typed = Typed()

    @property
    def caption(self) -> str:
        """Label and condition, for legends."""
        return f"{self.label} ({self.condition})" if self.condition else self.label

    def in_legend(self, legend: Legend) -> Entry:
        """The entry with what a legend shall say as its caption."""
        noted = self.circumstances
        more = {"date": noted.taken_at.replace("T", " "), "place": noted.place}.get(legend, "")
        words = ["" if legend == "name" else self.condition, " ".join(more.split())]
        return replace(self, condition=", ".join(filter(None, words)))


@dataclass(frozen=True, slots=True)
class Bench:
    """The document.

    An edit that changes nothing returns the bench itself.

    Attributes
    ----------
    entries : tuple of Entry
        In the order of the list.
    reference_key : int or None
        The entry that the others are compared with; None only on a bench without sweeps.
    band : Band
    has_own_band : bool
        False while the band is only the common span of the sweeps, which follows them.
    limit_swr : float
    z0_ohm : float
        Reference impedance of all figures.
    picture : PictureRequest
        Size and words of the printed picture.
    next_key : int
    """

    entries: tuple[Entry, ...] = ()
    reference_key: int | None = None
    band: Band = _EMPTY_BAND
    has_own_band: bool = False
    limit_swr: float = DEFAULT_LIMIT_SWR
    z0_ohm: float = USUAL_Z0_OHM
    picture: PictureRequest = field(default_factory=PictureRequest)
    next_key: int = 1

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

    @property
    def reference(self) -> Entry | None:
        """The reference entry."""
        return None if self.reference_key is None else self.entry(self.reference_key)

    @property
    def visible(self) -> tuple[Entry, ...]:
        """Entries that are drawn, in order."""
        return tuple(entry for entry in self.entries if entry.is_visible)

    def with_readings(self, readings: Iterable[Reading]) -> Bench:
        """Sweeps added at the end, each with a style of its own.

        The first sweep ever becomes the reference. A bench without sweeps takes the reference
        impedance that all new ones share (else 50 ohm); a band that the user has not chosen
        follows the sweeps.
        """
        entries, key = list(self.entries), self.next_key
        styles = {entry.style for entry in entries}
        for reading in readings:
            style = _free_style(styles)
            styles.add(style)
            entries.append(
                Entry(
                    key=key,
                    sweep=reading.sweep,
                    label=reading.label,
                    style=style,
                    file=reading.file,
                    notices=reading.notices,
                    circumstances=Circumstances(taken_at=reading.taken_at),
                )
            )
            key += 1
        if len(entries) == len(self.entries):
            return self
        return replace(
            self,
            entries=tuple(entries),
            reference_key=entries[0].key if self.reference_key is None else self.reference_key,
            z0_ohm=self.z0_ohm if self.entries else common_z0_ohm(entries),
            band=self.band if self.has_own_band else common_span(entries),
            next_key=key,
        )

    def without(self, keys: Iterable[int]) -> Bench:
        """Sweeps removed; if the reference goes, the first one left takes its place."""
        gone = set(keys)
        entries = tuple(entry for entry in self.entries if entry.key not in gone)
        if len(entries) == len(self.entries):
            return self
        reference_key = self.reference_key
        if reference_key in gone:
            reference_key = entries[0].key if entries else None
        band = self.band if self.has_own_band or not entries else common_span(entries)
        return replace(self, entries=entries, reference_key=reference_key, band=band)

    def with_sweeps(self, readings: Mapping[int, Reading]) -> Bench:
        """Sweeps read anew from their files, by key; what the user said of them stays.

        Only a date and time that the file itself states replaces the one that is noted. A band
        that the user has not chosen follows the sweeps.
        """
        entries = tuple(
            _read_anew(entry, readings[entry.key]) if entry.key in readings else entry
            for entry in self.entries
        )
        return self._with_measured(entries)

    def with_typed(self, key: int, sweep: ScalarSweep, typed: Typed) -> Bench:
        """A sweep whose readings were typed, or typed anew."""
        changed = replace(self.entry(key), sweep=sweep, typed=typed)
        entries = tuple(changed if entry.key == key else entry for entry in self.entries)
        return self._with_measured(entries)

    def with_label(self, key: int, label: str) -> Bench:
        """A sweep renamed; blanks around the name go, an empty name changes nothing."""
        label = " ".join(label.split())
        return self._with_entry(key, label=label) if label else self

    def with_condition(self, key: int, condition: str) -> Bench:
        """A sweep's condition; may be empty."""
        return self._with_entry(key, condition=" ".join(condition.split()))

    def with_circumstances(self, key: int, circumstances: Circumstances) -> Bench:
        """Under what circumstances a sweep was taken."""
        return self._with_entry(key, circumstances=circumstances)

    def with_visibility(self, key: int, *, is_visible: bool) -> Bench:
        """A sweep shown or hidden; hidden ones keep their figures."""
        return self._with_entry(key, is_visible=is_visible)

    def with_style(self, key: int, style: Style) -> Bench:
        """A sweep drawn in another style."""
        return self._with_entry(key, style=style)

    def with_next_style(self, key: int) -> Bench:
        """A sweep drawn in the next style that no other sweep has."""
        own = self.entry(key).style
        place = next((index for index in range(_STYLES) if _style(index) == own), -1)
        used = {entry.style for entry in self.entries}
        return self.with_style(key, _free_style(used, place + 1))

    def with_reference(self, key: int) -> Bench:
        """Another sweep as the reference (KeyError if there is no such sweep)."""
        return self._with(reference_key=self.entry(key).key)

    def with_move(self, key: int, index: int) -> Bench:
        """A sweep moved to an index of the list, which is clipped to the list."""
        entry = self.entry(key)
        others = [other for other in self.entries if other.key != key]
        others.insert(min(max(index, 0), len(others)), entry)
        return self._with(entries=tuple(others))

    def with_order(self, keys: Sequence[int]) -> Bench:
        """All sweeps in the order of these keys; those that are not named follow as they stand."""
        places = {key: place for place, key in enumerate(keys)}
        order = sorted(self.entries, key=lambda entry: places.get(entry.key, len(places)))
        return self._with(entries=tuple(order))

    def with_band(self, band: Band) -> Bench:
        """Another band, chosen by the user."""
        return self._with(band=band, has_own_band=True)

    def with_whole_span(self) -> Bench:
        """The band given up for the common span of the sweeps."""
        band = common_span(self.entries) if self.entries else _EMPTY_BAND
        return self._with(band=band, has_own_band=False)

    def with_limit(self, limit_swr: float) -> Bench:
        """Another SWR limit, clipped to 1.05 ... 20; NaN changes nothing."""
        if math.isnan(limit_swr):
            return self
        return self._with(limit_swr=min(max(limit_swr, LIMIT_LOWEST), LIMIT_HIGHEST))

    def with_picture(self, picture: PictureRequest) -> Bench:
        """Another size or other words for the printed picture."""
        return self._with(picture=picture)

    def in_legend(self, legend: Legend) -> Bench:
        """The bench with what the legend of a picture shall say as the captions."""
        entries = tuple(entry.in_legend(legend) for entry in self.entries)
        return self._with(entries=entries)

    def with_z0(self, z0_ohm: float) -> Bench:
        """Another reference impedance.

        Raises
        ------
        ValueTextError
            Unless it is positive and finite.
        """
        if not 0 < z0_ohm < math.inf:
            raise ValueTextError(
                f"{z0_ohm:g} ohm is no reference impedance", "give a positive number; 50 is usual"
            )
        return self._with(z0_ohm=z0_ohm)

    def _with_measured(self, entries: tuple[Entry, ...]) -> Bench:
        """Entries with other points: the band follows unless it is the user's own."""
        if entries == self.entries:
            return self
        band = self.band if self.has_own_band else common_span(entries)
        return replace(self, entries=entries, band=band)

    def _with(self, **changes: object) -> Bench:
        """A new bench, or this one if nothing differs."""
        changed = replace(self, **changes)  # type: ignore[arg-type]  # checked by every caller
        return self if changed == self else changed

    def _with_entry(self, key: int, **changes: object) -> Bench:
        entry = self.entry(key)
        changed = replace(entry, **changes)  # type: ignore[arg-type]  # checked by every caller
        if changed == entry:
            return self
        entries = tuple(changed if old is entry else old for old in self.entries)
        return replace(self, entries=entries)


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


def _read_anew(entry: Entry, reading: Reading) -> Entry:
    noted = entry.circumstances
    return replace(
        entry,
        sweep=reading.sweep,
        file=reading.file,
        notices=reading.notices,
        circumstances=replace(noted, taken_at=reading.taken_at or noted.taken_at),
        typed=Typed(),
    )


def _free_style(used: Collection[Style], first: int = 0) -> Style:
    """The first style that no entry uses, from a number of the sequence on.

    Colour, dash and marker advance together, with lists of 5, 4 and 6, so that sweeps stay apart
    in print without colour as well.
    """
    index = first
    while _style(index) in used and index < first + _STYLES:
        index += 1
    return _style(index)


def _style(index: int) -> Style:
    return Style(index % 5, index % 4, index % 6)
