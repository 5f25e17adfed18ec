"""What a reader hands over: a sweep and everything known about where it came from."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from fairlead.core.notice import Notice
    from fairlead.core.sweep import AnySweep


@dataclass(frozen=True, slots=True)
class Reading:
    """One sweep as read.

    Attributes
    ----------
    sweep : Sweep or ScalarSweep
    label : str
        Short name for lists and legends, made from the file's name.
    file : str
        The path as the user gave it.
    notices : tuple of Notice
        What the reader noticed: defaults it applied, points it left out.
    taken_at : str
        Date and time of the measurement in ISO 8601 if the file says so, else empty.
    """

    sweep: AnySweep
    label: str
    file: str
    notices: tuple[Notice, ...] = ()
    taken_at: str = ""
