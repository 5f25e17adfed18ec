"""Single points thrown off the curve by a carrier or a spur."""

from __future__ import annotations

from itertools import pairwise
from typing import TYPE_CHECKING

from fairlead.core.soundness.finding import About, Finding
from fairlead.core.soundness.wording import counted, shown_mhz, shown_span

if TYPE_CHECKING:
    from fairlead.core.soundness.facts import Facts

ABOUT = About(
    code="points-off-the-curve",
    title="Points off the curve",
    reason=(
        "A transmitter nearby or a spur of the analyzer throws single points off an otherwise "
        "smooth curve. They could be mistaken for a best match or a narrow usable segment, so no "
        "figure uses them; they are still drawn."
    ),
    threshold=(
        "one or two neighbouring points more than eight standard deviations of the noise off the "
        "curve through the points on both sides, which is smooth without them; four or more at "
        "even distances are called a comb and suspect"
    ),
    source="common practice, no source",
    advice="Sweep again when the band is quiet, or with a narrower bandwidth, and compare.",
)
_TEETH = 4
_MOST_NAMED = 3


def find(facts: Facts) -> list[Finding]:
    """How many points were left out, and where."""
    places = facts.analysis.outliers
    if not places.size:
        return []
    hz = [float(facts.frequency_hz[i]) for i in places]
    apart = [int(after - before) for before, after in pairwise(places)]
    if places.size >= _TEETH and max(apart) - min(apart) <= 1 < min(apart):
        every = counted(round(sum(apart) / len(apart)), "point")
        text = (
            f"{places.size} single points off the curve at even distances, one every {every} from "
            f"{shown_span(hz[0], hz[-1])}: a comb, as from segments or a clock"
        )
        return [ABOUT.found(text, hz[0], hz[-1])]
    named = ", ".join(shown_mhz(one) for one in hz[:_MOST_NAMED])
    more = " and more" if places.size > _MOST_NAMED else ""
    text = (
        f"{counted(int(places.size), 'point')} off the curve and left out of the figures: "
        f"{named}{more}"
    )
    return [ABOUT.found(text, hz[0], hz[-1], severity="note")]
