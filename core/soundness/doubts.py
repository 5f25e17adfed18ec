"""The doubts that checks cast on a verdict: a sweep that cannot be trusted covers no band."""

from __future__ import annotations

from typing import TYPE_CHECKING

from fairlead.core.soundness.ceiling import ABOUT as CEILING
from fairlead.core.soundness.checks import about

if TYPE_CHECKING:
    from collections.abc import Iterable

    from fairlead.core.bands import Band
    from fairlead.core.soundness.finding import Finding
    from fairlead.core.verdict import Covers


def doubts_of(
    findings: Iterable[Finding], band: Band, *, is_at_feed: bool = False
) -> dict[Covers, str]:
    """What the findings cannot rule out, by the answer that they undermine.

    Parameters
    ----------
    findings : iterable of Finding
        From the checks; the first of several is named.
    band : Band
        A finding elsewhere undermines nothing.
    is_at_feed : bool
        A user who states that the sweep was taken at the feed point, or removes the line, has
        ruled out a lossy line that hides the antenna.
    """
    doubts: dict[Covers, str] = {}
    for finding in findings:
        own = about(finding.code)
        if own is None or not _touches(finding, band) or (is_at_feed and own is CEILING):
            continue
        for answer in own.doubted:
            doubts.setdefault(answer, own.doubt)
    return doubts


def _touches(finding: Finding, band: Band) -> bool:
    """Whether a finding concerns the band or the whole sweep."""
    if finding.low_hz is None or finding.high_hz is None:
        return True
    return finding.low_hz <= band.high_hz and band.low_hz <= finding.high_hz
