"""What the checks leave of a verdict: a sweep that cannot be trusted covers no band."""

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
        Of the checks; the first of several is named.
    band : Band
        A finding that lies elsewhere undermines nothing.
    is_at_feed : bool
        Whoever states that the sweep was taken at the feed point, or takes the line away, has
        answered the question whether a lossy line hides the antenna.
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
    """Whether it concerns the band, or the whole sweep."""
    if finding.low_hz is None or finding.high_hz is None:
        return True
    return finding.low_hz <= band.high_hz and band.low_hz <= finding.high_hz
