"""Between which sweeps the user says that the radiation did not change; nothing measured tells."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Collection

    from fairlead.core.document.bench import Bench


def radiates_alike(bench: Bench, key: int) -> bool:
    """Whether a sweep is said to radiate as the reference does."""
    pairs = (bench.reference_key, key), (key, bench.reference_key)
    return not set(pairs).isdisjoint(bench.same_radiation)


def with_same_radiation(bench: Bench, keys: Collection[int], *, is_same: bool) -> Bench:
    """Say of sweeps that they radiate as the reference does, or take that back.

    What is said of another reference stays, for when that one is chosen again.

    Parameters
    ----------
    bench : Bench
    keys : collection of int
        The reference's own is left out.
    is_same : bool
    """
    reference_key = bench.reference_key
    wanted = {key for key in keys if key != reference_key and radiates_alike(bench, key) != is_same}
    if reference_key is None or not wanted:
        return bench
    if is_same:
        pairs = (*bench.same_radiation, *((reference_key, key) for key in sorted(wanted)))
    else:
        gone = {frozenset((reference_key, key)) for key in wanted}
        pairs = tuple(pair for pair in bench.same_radiation if frozenset(pair) not in gone)
    return replace(bench, same_radiation=pairs)
