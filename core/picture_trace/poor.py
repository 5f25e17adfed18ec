"""Whether a followed curve is good enough to be a sweep at all."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from fairlead.core.errors import FairleadError

if TYPE_CHECKING:
    from fairlead.core.picture_trace.trace import FollowedCurve, PictureTrace

_MOST_LOST = 0.5
"""Of the columns: if more is lost than seen, what is seen may well be several other things."""
_MOST_OPEN = 0.05
"""Of the clicked frequencies' span, at 95 %: ten times what a fair photo leaves open. Points that
contradict each other by more than 3 % of their extent are refused before, by `fit_axes`."""
_SIGMAS = 1.96


def refuse_poor(found: FollowedCurve, trace: PictureTrace) -> None:
    """Refuse a curve that is too poor.

    Raises
    ------
    FairleadError
        In one line, with the figure that is too large.
    """
    if found.share_lost > _MOST_LOST:
        raise FairleadError(
            f"too poor for a sweep: {found.share_lost:.0%} of the curve cannot be seen",
            "click on more of it, draw a search area around what can be seen, or trace it by hand",
        )
    clicked_hz = [point.value for point in trace.frequency.points]
    share = _SIGMAS * found.frequency_sigma_hz / float(np.ptp(clicked_hz))
    if share > _MOST_OPEN:
        raise FairleadError(
            f"too poor for a sweep: the known points leave its frequencies open by {share:.0%} of "
            "their span",
            "click known points that are further apart, and check the typed numbers",
        )
