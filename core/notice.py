"""What a reader or a check noticed about a sweep: a stable code and a text for people."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Notice:
    """Something suspect or worth knowing that did not prevent reading.

    Attributes
    ----------
    code : str
        Stable, lower case, words joined by hyphens: ``"defaults-applied"``.
    text : str
        One line for people, with numbers and units.
    """

    code: str
    text: str
