"""The findings about each sweep of a comparison: by its reader, and by the checks in its band."""

from __future__ import annotations

from typing import TYPE_CHECKING

from fairlead.core.soundness.duplicates import duplicates, repeated
from fairlead.core.soundness.reported import checked, reported

if TYPE_CHECKING:
    from collections.abc import Iterable

    from fairlead.core.comparison.rows import Row
    from fairlead.core.document.bench import Bench
    from fairlead.core.soundness.finding import Finding


def findings_of(bench: Bench, rows: Iterable[Row]) -> dict[int, tuple[Finding, ...]]:
    """The findings about the sweeps of some rows, by the keys of their entries.

    Parameters
    ----------
    bench : Bench
        Gives the band, and the entries among which copies of a sweep are looked for.
    rows : iterable of Row
        Their analyses cache earlier findings.
    """
    copies = duplicates(bench.entries)
    found = {}
    for row in rows:
        findings = checked(row.analysis, row.figures, bench.band)
        first = copies.get(row.entry.key, "")
        own = (repeated(first), *findings) if first else findings
        found[row.entry.key] = reported(row.entry.notices, own)
    return found
