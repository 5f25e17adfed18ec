"""All kinds of steps, by their names in files.

The steps of a sweep are applied in this order: first everything between analyzer and antenna is
removed, then what-ifs are applied.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from fairlead.core.transform.feed_line import LineAdded, LineRemoved
from fairlead.core.transform.frequency_scale import FrequencyScale
from fairlead.core.transform.renormalise import Renormalise
from fairlead.core.transform.transformer import TransformerRemoved

if TYPE_CHECKING:
    from collections.abc import Sequence

    from fairlead.core.transform.step import Step

KINDS: dict[str, type[Step]] = {
    kind.kind: kind
    for kind in (LineRemoved, TransformerRemoved, Renormalise, FrequencyScale, LineAdded)
}


def with_step(steps: Sequence[Step], step: Step) -> tuple[Step, ...]:
    """The steps with one more, in the order of `KINDS`, after others of its kind."""
    order = list(KINDS)
    return tuple(sorted([*steps, step], key=lambda one: order.index(one.kind)))
