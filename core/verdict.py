"""Whether a sweep keeps to the limit in the whole band: yes, no, or it cannot be told."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

Covers = Literal["yes", "no", "cannot tell"]


@dataclass(frozen=True, slots=True)
class Verdict:
    """The answer with its reason.

    Attributes
    ----------
    covers : "yes", "no" or "cannot tell"
        The SWR stays at or under the limit from one edge of the band to the other.
    reason : str
        One sentence with its numbers.
    """

    covers: Covers
    reason: str
