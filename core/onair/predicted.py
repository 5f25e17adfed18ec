"""What the power budget predicts of two antennas that were compared on the air."""

from __future__ import annotations

from typing import TYPE_CHECKING

from fairlead.core.advice.budget import Station
from fairlead.core.advice.differences import differences
from fairlead.core.advice.places import budget_of
from fairlead.core.onair.lines import names_of

if TYPE_CHECKING:
    from collections.abc import Iterable

    from fairlead.core.comparison.rows import Row
    from fairlead.core.document.bench import Bench


def predicted_db(rows: Iterable[Row], bench: Bench, first: str, second: str) -> float | None:
    """The largest difference by match alone, of a radio without a tuner.

    Parameters
    ----------
    rows : iterable of Row
        Of the bench, with their intervals.
    bench : Bench
    first, second : str
        Two of the names of `lines.names_of`.

    Returns
    -------
    float or None
        Second against first, in dB; None if one of them is no sweep as it was measured, or does not
        cover the band.
    """
    names = names_of(bench)
    known = {names[row.entry.key]: row for row in rows}
    if any(name not in known or known[name].entry.is_what_if for name in (first, second)):
        return None
    own, reference = (budget_of(known[name], bench.band, Station()) for name in (second, first))
    found = [one.difference_db for one in differences(own, reference)]
    return max(found, key=abs, default=None)
