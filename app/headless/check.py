"""``fairlead check``: what is suspect about each sweep, and what its figures are worth."""

from __future__ import annotations

import json
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from fairlead.app.headless.arguments import (
    VerbParser,
    add_accuracy,
    add_band,
    add_files,
    add_limit,
    chosen_accuracy,
    chosen_band,
    chosen_columns,
    chosen_limit,
)
from fairlead.app.headless.feed_line import (
    add_feed_line,
    chosen_line,
    with_requested_line,
    with_stated_plane,
)
from fairlead.app.headless.gathering import gather_on_one_bench
from fairlead.app.headless.output import DONE, SUSPECT, UNREAD, printable, say_all
from fairlead.app.version import version
from fairlead.core.bands import Band
from fairlead.core.comparison.knowledge import compare_known
from fairlead.core.figure_table import shown
from fairlead.core.json_values import json_unread
from fairlead.core.report import FORMAT, sweep_object
from fairlead.core.soundness import match_outside
from fairlead.core.soundness.duplicates import duplicates, repeated
from fairlead.core.soundness.reported import checked, reported
from fairlead.core.table_lines import interval_line, plain_mhz

if TYPE_CHECKING:
    from collections.abc import Sequence

    from fairlead.core.comparison.rows import Row
    from fairlead.core.document.bench import Bench
    from fairlead.core.document.entry import Entry
    from fairlead.core.errors import ReadError
    from fairlead.core.soundness.finding import Finding

NOTHING = "nothing suspect"
STRICTLY = "3 something is suspect (with --strict)"
# Figures that the findings speak about, by their ids; the worst SWR only in a band.
_SPOKEN_OF = ("best_match", "best_swr", "worst", "width", "resonance", "q")
_IN_BAND = "worst"


@dataclass(frozen=True, slots=True)
class Checked:
    """One sweep, its figures and its findings.

    Attributes
    ----------
    row : Row
        With the intervals of its figures: in the band, or in the whole sweep if none was given.
    bench : Bench
        Of this sweep alone, in that band and at the sweep's own reference impedance.
    has_band : bool
        Whether a band was given; without one there is no verdict.
    findings : tuple of Finding
        Suspect ones first; the reader's notices last.
    """

    row: Row
    bench: Bench
    has_band: bool
    findings: tuple[Finding, ...]

    @property
    def is_suspect(self) -> bool:
        """Whether any finding is more than a note."""
        return any(one.severity == "suspect" for one in self.findings)


def run(arguments: Sequence[str]) -> int:
    """Print what is suspect about the files; exit status."""
    parser = make_parser()
    options = parser.read(arguments)
    band = chosen_band(parser, options)
    limit_swr = chosen_limit(parser, options)
    accuracy = chosen_accuracy(parser, options)
    columns = chosen_columns(parser, options)
    line = chosen_line(parser, options)
    gathered = gather_on_one_bench(options.files, columns, is_quiet=options.quiet)
    bench = with_stated_plane(options, gathered.bench)
    bench, is_whole = with_requested_line(parser, bench, line, gathered.unread)
    if limit_swr is not None:
        bench = bench.with_limit(limit_swr)
    if accuracy is not None:
        bench = bench.with_accuracy([entry.key for entry in bench.entries], accuracy)
    if band is None and gathered.has_settings and bench.has_own_band:
        band = bench.band
    say_all(gathered.unread)
    again = duplicates(bench.entries)
    found = [check(one, bench, band, again.get(one.key, "")) for one in bench.entries]
    if options.form == "json":
        print(
            json.dumps(
                _as_json(found, bench, band, gathered.unread),
                ensure_ascii=False,
                indent=2,
                allow_nan=False,
            )
        )
    else:
        texts = [text for one in found for text in _lines(one)]
        if any("±" in text for text in texts):
            texts.append(interval_line([one.row for one in found]))
        for text in texts:
            print(printable(text))
    if gathered.unread or not is_whole:
        return UNREAD
    return SUSPECT if options.strict and any(one.is_suspect for one in found) else DONE


def make_parser() -> VerbParser:
    """What the verb takes."""
    parser = VerbParser("check", "Report what is suspect about each sweep.", also=STRICTLY)
    add_files(parser)
    add_band(parser)
    add_limit(parser)
    add_accuracy(parser)
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
    return parser


def check(entry: Entry, bench: Bench, band: Band | None = None, first: str = "") -> Checked:
    """The findings about a sweep, at its own reference impedance.

    Parameters
    ----------
    entry : Entry
    bench : Bench
        It is on; gives the limit and the accuracy of the analyzer.
    band : Band or None
        None leaves out the checks that need one, and takes the figures of the whole sweep.
    first : str
        Label of an earlier sweep with the same numbers, if there is one.
    """
    hz = entry.sweep.frequency_hz
    alone = replace(
        bench,
        entries=(entry,),
        reference_key=entry.key,
        groups=(),
        z0_ohm=entry.sweep.z0_ohm,
        band=Band(float(hz[0]), float(hz[-1])) if band is None else band,
    )
    (row,) = compare_known(alone)
    found = checked(row.analysis, None if band is None else row.figures, band)
    if band is None and not found:
        # Without a band the whole sweep is the matter, and a sweep that ends too early shows it.
        found = tuple(match_outside.find(row.figures))
    findings = reported(entry.notices, (repeated(first), *found) if first else found)
    return Checked(row, alone, band is not None, findings)


def _lines(found: Checked) -> list[str]:
    entry, sweep = found.row.entry, found.row.entry.sweep
    about = (
        f"{len(sweep)} points",
        _span(float(sweep.frequency_hz[0]), float(sweep.frequency_hz[-1])),
        f"step {_step(found.row.analysis.step_hz)}",
        f"{sweep.z0_ohm:g} Ω",
        "with phase" if sweep.has_phase else "SWR only, no phase",
    )
    lines = [f"{entry.label} ({entry.file})", f"  {', '.join(about)}", *_figure_lines(found)]
    for one in found.findings:
        lines.append(f"  {one.severity}: {one.code}: {one.text}")
        lines += [f"    why: {one.reason}"] if one.reason else []
        lines += [f"    what to do: {one.advice}"] if one.advice else []
    return lines if found.is_suspect else [*lines, f"  {NOTHING}"]


def _figure_lines(found: Checked) -> list[str]:
    """The verdict, the figures with what is known of them, and why the others do not exist."""
    row, band = found.row, found.bench.band
    lines = []
    verdict = row.figures.verdict
    if found.has_band and verdict is not None:
        span = f"{_span(band.low_hz, band.high_hz)} at SWR {found.bench.limit_swr:.4g}"
        lines.append(f"  covers {span}: {verdict.covers}: {verdict.reason}")
    said: list[str] = []
    missing: dict[str, list[str]] = {}
    for spec in shown("text"):
        if spec.id not in _SPOKEN_OF or (spec.id == _IN_BAND and not found.has_band):
            continue
        if spec.value(row) is not None:
            said.append(f"{spec.title(found.bench)} {spec.cell(row)}")
        elif reason := _why_not(row, spec.key):
            missing.setdefault(reason, []).append(spec.heading)
    if said:
        lines.append(f"  {'; '.join(said)}")
    return lines + [f"  – {', '.join(names)}: {reason}" for reason, names in missing.items()]


def _why_not(row: Row, key: str) -> str:
    """The reason of a figure that does not exist."""
    why_not = row.figures.why_not
    return why_not.get(key) or (why_not.get("resonances", "") if key == "resonance_hz" else "")


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


def _as_json(
    found: Sequence[Checked], bench: Bench, band: Band | None, unread: Sequence[ReadError]
) -> dict[str, object]:
    """Each sweep as in `figures --as json`, with more about it and its findings in full."""
    return {
        "format": FORMAT,
        "program": f"fairlead {version()}",
        "band": None
        if band is None
        else {"name": band.name, "low_hz": band.low_hz, "high_hz": band.high_hz},
        "limit_swr": bench.limit_swr,
        "sweeps": [
            {
                **sweep_object(one.row),
                **({} if one.has_band else {"verdict": None}),
                "step_hz": one.row.analysis.step_hz,
                "above_one": one.row.analysis.above_one,
                "warnings": [_as_object(finding) for finding in one.findings],
            }
            for one in found
        ],
        "unread": json_unread(unread),
    }
