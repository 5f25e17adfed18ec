"""The bench: the whole document as one frozen value; its edits are in `edits`."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from fairlead.core.document.advice_request import AdviceRequest
from fairlead.core.document.edits import EMPTY_BAND, USUAL_Z0_OHM, Edits
from fairlead.core.document.picture_request import PictureRequest
from fairlead.core.figures import DEFAULT_LIMIT_SWR

if TYPE_CHECKING:
    from collections.abc import Collection, Iterable, Sequence

    from fairlead.core.bands import Band
    from fairlead.core.document.entry import Entry
    from fairlead.core.document.session import (
        Group,
        Instrument,
        KeptPicture,
        LogEntry,
        Marker,
        Plan,
    )
    from fairlead.core.sweep import AnySweep


@dataclass(frozen=True, slots=True)
class Bench(Edits):
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
        Settings of the printed picture.
    next_key : int
        For the next thing added to the bench: sweep, instrument, group, line of the log, picture,
        marker.
    instruments : tuple of Instrument
    groups : tuple of Group
    log : tuple of LogEntry
    pictures : tuple of KeptPicture
    same_radiation : tuple of (int, int)
        Pairs of sweeps, the reference of that time first, between which the user says that the
        radiation did not change.
    plan : Plan or None
    advice : AdviceRequest
        What is asked of the advice.
    markers : tuple of Marker
        Pinned frequencies, rising.
    """

    entries: tuple[Entry, ...] = ()
    reference_key: int | None = None
    band: Band = EMPTY_BAND
    has_own_band: bool = False
    limit_swr: float = DEFAULT_LIMIT_SWR
    z0_ohm: float = USUAL_Z0_OHM
    picture: PictureRequest = field(default_factory=PictureRequest)
    next_key: int = 1
    instruments: tuple[Instrument, ...] = ()
    groups: tuple[Group, ...] = ()
    log: tuple[LogEntry, ...] = ()
    pictures: tuple[KeptPicture, ...] = ()
    same_radiation: tuple[tuple[int, int], ...] = ()
    plan: Plan | None = None
    advice: AdviceRequest = field(default_factory=AdviceRequest)
    markers: tuple[Marker, ...] = ()

    @property
    def reference(self) -> Entry | None:
        """The reference entry."""
        return None if self.reference_key is None else self.entry(self.reference_key)

    @property
    def source_files(self) -> frozenset[str]:
        """Files that the sweeps were read from: the originals, which are never overwritten."""
        return frozenset(entry.file for entry in self.entries if entry.file)

    @property
    def visible(self) -> tuple[Entry, ...]:
        """Entries that are drawn, in order."""
        return tuple(entry for entry in self.entries if entry.is_visible)

    def as_read(self, keys: Collection[int] | None = None) -> dict[AnySweep, str]:
        """The measured sweeps, before any step, each with the label of the first entry that has it.

        Parameters
        ----------
        keys : collection of int, optional
            Only of these sweeps.
        """
        wanted = [one for one in reversed(self.entries) if keys is None or one.key in keys]
        return {entry.measured: entry.label for entry in wanted}

    @property
    def contradiction(self) -> str | None:
        """What is wrong with the keys, as text; None if nothing is."""
        sweeps = [entry.key for entry in self.entries]
        instruments = [one.key for one in self.instruments]
        groups = [one.key for one in self.groups]
        pictures = [one.key for one in self.pictures]
        log, markers = [one.key for one in self.log], [one.key for one in self.markers]
        keys = [*sweeps, *instruments, *groups, *pictures, *log, *markers]

        def dangle(pointers: Iterable[int | None], there: Sequence[int]) -> bool:
            return not {None, *there}.issuperset(pointers)

        problems = (
            (len(set(sweeps)) < len(sweeps), "two sweeps have the same key"),
            (len(set(keys)) < len(keys), "two things have the same key"),
            (max(keys, default=0) >= self.next_key, "next_key is not above all keys"),
            (self.reference_key is None and bool(sweeps), "no sweep is the reference"),
            (dangle([self.reference_key], sweeps), "reference_key is the key of no sweep"),
            (
                dangle((entry.instrument_key for entry in self.entries), instruments),
                "instrument_key is the key of no instrument",
            ),
            (
                dangle((entry.picture_key for entry in self.entries), pictures),
                "picture_key is the key of no picture",
            ),
            (
                any(dangle(group.members, sweeps) for group in self.groups),
                "a member of a group is the key of no sweep",
            ),
            (
                any(dangle([group.reference_key], group.members) for group in self.groups),
                "the reference of a group is none of its members",
            ),
            (
                len({key for group in self.groups for key in group.members})
                < sum(len(group.members) for group in self.groups),
                "a sweep is in two groups, or twice in one",
            ),
            (
                dangle((one.about_key for one in self.log), [*sweeps, *groups]),
                "about_key is the key of no sweep or group",
            ),
            (
                any(dangle(pair, sweeps) for pair in self.same_radiation),
                "same_radiation names the key of no sweep",
            ),
        )
        return next((problem for is_there, problem in problems if is_there), None)
