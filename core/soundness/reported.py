"""Everything reported about one sweep: its reader's notices and the findings of the checks."""

from __future__ import annotations

from typing import TYPE_CHECKING

from fairlead.core.analysis.bare import why_failed
from fairlead.core.guarded_figures import figures_or_reasons
from fairlead.core.reading.remarks import MEANINGS
from fairlead.core.soundness import above_one, repeated_values
from fairlead.core.soundness.checks import check_sweep
from fairlead.core.soundness.duplicates import repeated
from fairlead.core.soundness.finding import Finding

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from fairlead.core.analysis.analyses import Analyses
    from fairlead.core.analysis.analysis import Analysis
    from fairlead.core.bands import Band
    from fairlead.core.document.bench import Bench
    from fairlead.core.document.entry import Entry
    from fairlead.core.figures import Figures
    from fairlead.core.notice import Notice

NOT_CHECKED = "not-checked"
_UNCHECKED = "Whether this sweep can be trusted is not known; the others are not affected."
# Noticed by readers but judged better by a check, whose result counts, also if it is none.
_JUDGED = {"reflection-above-one": above_one.ABOUT.code}
# Reported once where both notice it.
_SAME = {"nothing-measured": repeated_values.ABOUT.code}


def reported(notices: Iterable[Notice], findings: Sequence[Finding]) -> tuple[Finding, ...]:
    """Suspect findings, then notes, then the notices of the reader.

    Parameters
    ----------
    notices : iterable of Notice
        Of the sweep's reader.
    findings : sequence of Finding
        Of the checks.
    """
    said = {finding.code for finding in findings}
    rest = [
        Finding(one.code, one.text, _sentence(MEANINGS.get(one.code, "")), "", severity="note")
        for one in notices
        if one.code not in _JUDGED and _SAME.get(one.code) not in said
    ]
    return (*findings, *rest)


def checked(analysis: Analysis, figures: Figures | None, band: Band | None) -> tuple[Finding, ...]:
    """The findings of the checks, or only the failure if one fails.

    Parameters
    ----------
    analysis, figures, band
        As `fairlead.core.soundness.checks.check_sweep` takes them.
    """
    failure = analysis.failure
    if not failure:
        try:
            return check_sweep(analysis, figures, band)
        except Exception as error:  # noqa: BLE001 - an odd sweep must not take the others along
            failure = why_failed(error)
    return (Finding(NOT_CHECKED, f"Not checked: {failure}.", _UNCHECKED, ""),)


def reported_of(
    entry: Entry, bench: Bench, analyses: Analyses, first: str = ""
) -> tuple[Finding, ...]:
    """The same for an entry of a bench, in the bench's band.

    Parameters
    ----------
    entry : Entry
    bench : Bench
    analyses : Analyses
        Caches what does not depend on the band.
    first : str
        Label of an earlier entry with the same numbers, if there is one.
    """
    analysis = analyses.of(entry.sweep, bench.z0_ohm)
    figures = figures_or_reasons(analysis, bench.band, bench.limit_swr)
    found = checked(analysis, figures, bench.band)
    return reported(entry.notices, (repeated(first), *found) if first else found)


def _sentence(text: str) -> str:
    return f"{text[:1].upper()}{text[1:]}." if text else ""
