"""What changed in every sweep of a bench, in parts and in words.

This is slow, so it is done only on request, and results that are still valid are reused.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from fairlead.core.comparison.added_loss import added_loss
from fairlead.core.comparison.dc_loss import NO_DC_LOSS, dc_loss_of
from fairlead.core.comparison.sentence import sentence_of
from fairlead.core.comparison.what_changed import parts_of
from fairlead.core.document.measuring_errors import errors_of, instrument_of
from fairlead.core.document.radiation import radiates_alike

if TYPE_CHECKING:
    from collections.abc import Callable, Collection, Mapping, Sequence

    from fairlead.core.comparison.added_loss import AddedLoss
    from fairlead.core.comparison.dc_loss import DcLoss
    from fairlead.core.comparison.parts.result import Parts
    from fairlead.core.comparison.rows import Row
    from fairlead.core.document.bench import Bench
    from fairlead.core.document.entry import Entry
    from fairlead.core.document.session import Instrument
    from fairlead.core.sweep import AnySweep
    from fairlead.core.transform.step import Plane, Step

_UNFORESEEN = "the change could not be taken apart"


@dataclass(frozen=True, slots=True)
class _Basis:
    """Everything about one sweep on which the parts depend; compared by the sweep's identity."""

    sweep: AnySweep
    steps: tuple[Step, ...]
    instrument: Instrument | None
    seen_at: Plane | None

    def is_same(self, other: _Basis) -> bool:
        return self.sweep is other.sweep and (self.steps, self.instrument, self.seen_at) == (
            other.steps,
            other.instrument,
            other.seen_at,
        )


@dataclass(frozen=True, slots=True)
class ChangeSummary:
    """What changed in one sweep.

    Attributes
    ----------
    parts : Parts or str
        The reason, as a string, if the change could not be separated into parts.
    sentence : str
    added_loss : AddedLoss or None
        None unless the user says that the radiation did not change.
    dc_loss : DcLoss
        What the DC check noted with the sweep says.
    """

    parts: Parts | str
    sentence: str
    _bases: tuple[_Basis, _Basis]
    _z0_ohm: float
    added_loss: AddedLoss | None = None
    dc_loss: DcLoss = NO_DC_LOSS

    @property
    def why_not(self) -> str | None:
        """Why there are no parts."""
        return self.parts if isinstance(self.parts, str) else None

    def holds_for(self, bases: tuple[_Basis, _Basis], z0_ohm: float) -> bool:
        """Whether the parts are still valid for this pair."""
        pairs = zip(self._bases, bases, strict=True)
        return self._z0_ohm == z0_ohm and all(one.is_same(other) for one, other in pairs)


NOTHING_TOLD: Mapping[int, ChangeSummary] = {}


def changes_of(
    bench: Bench,
    rows: Sequence[Row],
    before: Mapping[int, ChangeSummary] = NOTHING_TOLD,
    is_wanted: Callable[[], bool] = lambda: True,
) -> Mapping[int, ChangeSummary] | None:
    """What changed in each row against the reference, by the keys of the entries.

    Parameters
    ----------
    bench : Bench
    rows : sequence of Row
        Of the bench; without the reference's row there is no result.
    before : mapping of int to ChangeSummary
        Of an earlier bench; parts that are still valid are reused.
    is_wanted : callable
        Called before each row; if it returns False, the result is None.
    """
    reference = next((row for row in rows if row.is_reference), None)
    if reference is None:
        return {}
    found: dict[int, ChangeSummary] = {}
    for row in rows:
        if not is_wanted():
            return None
        if row.is_reference:
            continue
        bases = _basis(bench, reference.entry), _basis(bench, row.entry)
        known = before.get(row.entry.key)
        if known is not None and known.holds_for(bases, bench.z0_ohm):
            parts = known.parts
        else:
            parts = _parts(bench, reference, row)
        loss = _added_loss(bench, row, bases, parts)
        dc_loss = dc_loss_of(row)
        sentence = sentence_of(row, reference, bench.band, bench.limit_swr, parts, loss, dc_loss)
        found[row.entry.key] = ChangeSummary(parts, sentence, bases, bench.z0_ohm, loss, dc_loss)
    return found


def chosen(
    changes: Mapping[int, ChangeSummary], keys: Collection[int]
) -> Mapping[int, ChangeSummary]:
    """Those of the sweeps with these keys; all if none of them is compared with the reference."""
    return {key: one for key, one in changes.items() if key in keys} or changes


def _basis(bench: Bench, entry: Entry) -> _Basis:
    return _Basis(entry.sweep, entry.steps, instrument_of(bench, entry), entry.seen_at)


def _added_loss(
    bench: Bench, row: Row, bases: tuple[_Basis, _Basis], parts: Parts | str
) -> AddedLoss | None:
    if not radiates_alike(bench, row.entry.key):
        return None
    one, two = bases
    return added_loss(
        parts,
        (one.seen_at, two.seen_at),
        # Two that are calibrated alike are known by the same key.
        is_one_calibration=one.instrument is not None and one.instrument == two.instrument,
        is_radiation_unchanged=True,
    )


def _parts(bench: Bench, reference: Row, row: Row) -> Parts | str:
    planes = reference.entry.seen_at, row.entry.seen_at
    try:
        errors = errors_of(bench, reference.entry), errors_of(bench, row.entry)
        return parts_of(reference.analysis, row.analysis, planes, errors)
    except Exception:  # noqa: BLE001 - what nobody has foreseen costs its own parts, no others
        return _UNFORESEEN
