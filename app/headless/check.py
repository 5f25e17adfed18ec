"""``fairlead check``: what is suspect about each sweep."""

from __future__ import annotations

import json
from dataclasses import dataclass
from typing import TYPE_CHECKING

from fairlead.app.headless.arguments import (
    VerbParser,
    add_band,
    add_files,
    chosen_band,
    chosen_columns,
)
from fairlead.app.headless.feed_line import add_feed_line, chosen_line, with_requested_line
from fairlead.app.headless.gathering import gather_on_one_bench
from fairlead.app.headless.output import DONE, SUSPECT, UNREAD, printable, say_all
from fairlead.core.analysis.analyses import analysis_or_reason
from fairlead.core.figures import DEFAULT_LIMIT_SWR
from fairlead.core.guarded_figures import figures_or_reasons
from fairlead.core.json_values import json_unread
from fairlead.core.reading import Reading
from fairlead.core.soundness.duplicates import duplicates, repeated
from fairlead.core.soundness.reported import checked, reported
from fairlead.core.table_lines import plain_mhz

if TYPE_CHECKING:
    from collections.abc import Sequence

    from fairlead.core.bands import Band
    from fairlead.core.errors import ReadError
    from fairlead.core.soundness.finding import Finding

NOTHING = "nothing suspect"
STRICTLY = "3 something is suspect (with --strict)"


@dataclass(frozen=True, slots=True)
class Checked:
    """One sweep and its findings.

    Attributes
    ----------
    reading : Reading
    step_hz : float
        Median distance of the points.
    above_one : int
        Points with |reflection| > 1.
    findings : tuple of Finding
        Suspect ones first; the reader's notices last.
    """

    reading: Reading
    step_hz: float
    above_one: int
    findings: tuple[Finding, ...]

    @property
    def is_suspect(self) -> bool:
        """Whether any finding is more than a note."""
        return any(one.severity == "suspect" for one in self.findings)


def run(arguments: Sequence[str]) -> int:
    """Print what is suspect about the files; exit status."""
    parser = VerbParser("check", "Report what is suspect about each sweep.", also=STRICTLY)
    add_files(parser)
    add_band(parser)
    add_feed_line(parser)
    parser.add_argument(
        "--as",
        dest="form",
        choices=("text", "json"),
        default="text",
        help="form of the output (default text)",
    )
    parser.add_argument(
        "--strict",
        action="store_true",
        help="exit with status 3 if something is suspect about a sweep; notes do not count",
    )
    options = parser.read(arguments)
    band = chosen_band(parser, options)
    columns = chosen_columns(parser, options)
    line = chosen_line(parser, options)
    gathered = gather_on_one_bench(options.files, columns)
    bench, is_whole = with_requested_line(parser, gathered.bench, line, gathered.unread)
    if band is None and gathered.has_settings and bench.has_own_band:
        band = bench.band
    say_all(gathered.unread)
    again = duplicates(bench.entries)
    checked = [
        check(Reading(one.sweep, one.label, one.file, one.notices), band, again.get(one.key, ""))
        for one in bench.entries
    ]
    if options.form == "json":
        found = _as_json(checked, gathered.unread)
        print(json.dumps(found, ensure_ascii=False, indent=2, allow_nan=False))
    else:
        for one in checked:
            print("\n".join(_lines(one)))
    if gathered.unread or not is_whole:
        return UNREAD
    return SUSPECT if options.strict and any(one.is_suspect for one in checked) else DONE


def check(reading: Reading, band: Band | None = None, first: str = "") -> Checked:
    """The findings about a sweep, at its own reference impedance.

    Parameters
    ----------
    reading : Reading
    band : Band or None
        None leaves out the checks that need one.
    first : str
        Label of an earlier sweep with the same numbers, if there is one.
    """
    analysis = analysis_or_reason(reading.sweep, reading.sweep.z0_ohm)
    figures = None if band is None else figures_or_reasons(analysis, band, DEFAULT_LIMIT_SWR)
    found = checked(analysis, figures, band)
    findings = reported(reading.notices, (repeated(first), *found) if first else found)
    return Checked(reading, analysis.step_hz, analysis.above_one, findings)


def _lines(checked: Checked) -> list[str]:
    reading, sweep = checked.reading, checked.reading.sweep
    about = (
        f"{len(sweep)} points",
        _span(float(sweep.frequency_hz[0]), float(sweep.frequency_hz[-1])),
        f"step {_step(checked.step_hz)}",
        f"{sweep.z0_ohm:g} Ω",
        "with phase" if sweep.has_phase else "SWR only, no phase",
    )
    lines = [printable(f"{reading.label} ({reading.file})"), f"  {', '.join(about)}"]
    for one in checked.findings:
        lines.append(printable(f"  {one.severity}: {one.code}: {one.text}"))
        lines += [printable(f"    why: {one.reason}")] if one.reason else []
        lines += [printable(f"    what to do: {one.advice}")] if one.advice else []
    return lines if checked.is_suspect else [*lines, f"  {NOTHING}"]


def _step(step_hz: float) -> str:
    return f"{step_hz / 1e3:.6g} kHz" if step_hz < 1e6 else f"{step_hz / 1e6:.6g} MHz"


def _span(low_hz: float, high_hz: float) -> str:
    return f"{plain_mhz(low_hz)} to {plain_mhz(high_hz)} MHz"


def _as_object(finding: Finding) -> dict[str, object]:
    return {
        "code": finding.code,
        "text": finding.text,
        "severity": finding.severity,
        "reason": finding.reason or None,
        "advice": finding.advice or None,
        "low_hz": finding.low_hz,
        "high_hz": finding.high_hz,
    }


def _as_json(checked: Sequence[Checked], unread: Sequence[ReadError]) -> dict[str, object]:
    return {
        "sweeps": [
            {
                "label": one.reading.label,
                "file": one.reading.file,
                "points": len(one.reading.sweep),
                "low_hz": float(one.reading.sweep.frequency_hz[0]),
                "high_hz": float(one.reading.sweep.frequency_hz[-1]),
                "step_hz": one.step_hz,
                "z0_ohm": one.reading.sweep.z0_ohm,
                "has_phase": one.reading.sweep.has_phase,
                "above_one": one.above_one,
                "warnings": [_as_object(found) for found in one.findings],
            }
            for one in checked
        ],
        "unread": json_unread(unread),
    }
