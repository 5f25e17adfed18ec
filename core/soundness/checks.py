"""All checks: a new one is one file and one line here."""

from __future__ import annotations

from typing import TYPE_CHECKING

from fairlead.core.soundness import (
    above_one,
    backwards,
    band_not_covered,
    ceiling,
    duplicates,
    flat,
    jumps,
    match_outside,
    noisy,
    off_curve,
    repeated_values,
    residual_line,
    sign_lost,
    undersampled,
)
from fairlead.core.soundness.facts import facts_of

if TYPE_CHECKING:
    from collections.abc import Callable

    from fairlead.core.analysis.analysis import Analysis
    from fairlead.core.bands import Band
    from fairlead.core.figures import Figures
    from fairlead.core.soundness.facts import Facts
    from fairlead.core.soundness.finding import About, Finding

# Checks of the sweep alone; their findings are cached with its analysis.
_OF_SWEEP: tuple[Callable[[Facts], list[Finding]], ...] = (
    repeated_values.find,
    flat.find,
    ceiling.find,
    above_one.find,
    backwards.find,
    sign_lost.find,
    undersampled.find,
    off_curve.find,
    jumps.find,
    noisy.find,
    residual_line.find,
)
# The others would blame the antenna for values that repeat or stop at the end of the scale.
_BESIDE_BOUNDS = (above_one.find, undersampled.find, noisy.find)
# What one finding explains is not reported again under another name.
_EXPLAINS = {
    repeated_values.ABOUT.code: {
        flat.ABOUT.code,
        ceiling.ABOUT.code,
        jumps.ABOUT.code,
        residual_line.ABOUT.code,
    },
    flat.ABOUT.code: {residual_line.ABOUT.code, ceiling.ABOUT.code, undersampled.ABOUT.code},
    sign_lost.ABOUT.code: {jumps.ABOUT.code, backwards.ABOUT.code, residual_line.ABOUT.code},
    undersampled.ABOUT.code: {jumps.ABOUT.code, residual_line.ABOUT.code},
}
_WITHOUT_DIP = {flat.ABOUT.code, ceiling.ABOUT.code, repeated_values.ABOUT.code}
ABOUTS: tuple[About, ...] = (
    match_outside.ABOUT,
    band_not_covered.ABOUT,
    undersampled.ABOUT,
    ceiling.ABOUT,
    flat.ABOUT,
    above_one.ABOUT,
    noisy.ABOUT,
    backwards.ABOUT,
    sign_lost.ABOUT,
    residual_line.ABOUT,
    off_curve.ABOUT,
    jumps.ABOUT,
    repeated_values.ABOUT,
    duplicates.ABOUT,
)
"""The description of each check, in the order of the manual."""
_BY_CODE = {about.code: about for about in ABOUTS}


def about(code: str) -> About | None:
    """The description of the check with this code; None for the notices of readers."""
    return _BY_CODE.get(code)


def check_sweep(
    analysis: Analysis, figures: Figures | None = None, band: Band | None = None
) -> tuple[Finding, ...]:
    """What an expert would point out about a sweep, suspect findings first.

    Parameters
    ----------
    analysis : Analysis
        It caches what does not depend on the band.
    figures : Figures or None
        Of the sweep in the band; None leaves out what needs them.
    band : Band or None
        None leaves out the checks that need a band; the best match then decides what concerns it.
    """
    found = [one for one in _of_sweep(analysis) if _concerns(one, figures, band)]
    if band is not None:
        found += band_not_covered.find(analysis, band)
    # Where there is no significant dip, none was missed.
    if figures is not None and not any(one.code in _WITHOUT_DIP for one in found):
        found += match_outside.find(figures)
    # The first of several with one code is the worst of them.
    first = {one.code: one for one in reversed(found)}
    found = [one for one in found if first[one.code] is one]
    return tuple(sorted(found, key=lambda one: one.severity != "suspect"))


def _of_sweep(analysis: Analysis) -> tuple[Finding, ...]:
    if not analysis.findings:
        facts = facts_of(analysis)
        is_plain = analysis.is_bound is None and analysis.traced is None
        checks = _OF_SWEEP if is_plain else _BESIDE_BOUNDS
        found = [one for find in checks for one in find(facts)]
        explained = {code for one in found for code in _EXPLAINS.get(one.code, ())}
        analysis.findings.append(tuple(one for one in found if one.code not in explained))
    return analysis.findings[0]


def _concerns(finding: Finding, figures: Figures | None, band: Band | None) -> bool:
    """Whether a finding concerns the band; parts with too few points may lie elsewhere."""
    if finding.code != undersampled.ABOUT.code or (band is None and figures is None):
        return True
    low_hz, high_hz = finding.low_hz or 0.0, finding.high_hz or 0.0
    if band is not None and low_hz <= band.high_hz and band.low_hz <= high_hz:
        return True
    best_hz = None if figures is None else figures.best_match_hz
    return best_hz is not None and low_hz <= best_hz <= high_hz
