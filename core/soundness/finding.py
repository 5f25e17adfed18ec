"""What a check found in a sweep, and a description of the check itself."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

Severity = Literal["note", "suspect"]
Answer = Literal["yes", "no"]


@dataclass(frozen=True, slots=True)
class Finding:
    """One thing that an expert would point out about a sweep.

    Attributes
    ----------
    code : str
        Stable, lower case, words joined by hyphens; the code of its `About`.
    text : str
        One sentence about this sweep, with numbers and units.
    reason : str
        Why it matters.
    advice : str
        What to do.
    low_hz, high_hz : float or None
        Where in the sweep; None if it concerns the whole sweep.
    severity : "note" or "suspect"
        A note is worth knowing; if something is suspect, figures may mislead.
    """

    code: str
    text: str
    reason: str
    advice: str
    low_hz: float | None = None
    high_hz: float | None = None
    severity: Severity = "suspect"


@dataclass(frozen=True, slots=True)
class About:
    """The description of a check, whatever the sweep.

    Attributes
    ----------
    code : str
    title : str
        A few words, for a heading.
    reason, advice : str
        Of its findings, unless one has its own advice.
    threshold : str
        When it reports something, in words and numbers.
    source : str
        Published, or "common practice, no source".
    doubt : str
        What a verdict on a band cannot rule out because of it; empty if the SWR is right in spite
        of it.
    doubted : tuple of {"yes", "no"}
        The verdicts that it rules out.
    """

    code: str
    title: str
    reason: str
    threshold: str
    source: str
    advice: str
    doubt: str = ""
    doubted: tuple[Answer, ...] = ()

    def found(
        self,
        text: str,
        low_hz: float | None = None,
        high_hz: float | None = None,
        *,
        severity: Severity = "suspect",
    ) -> Finding:
        """A finding of this check."""
        return Finding(self.code, text, self.reason, self.advice, low_hz, high_hz, severity)
