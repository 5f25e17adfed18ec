"""The sections of the report page: verdict, changes, conditions, notes and cautions.

Paper and Markdown have the same sections; only paper has to leave something out.
"""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import PurePath
from typing import TYPE_CHECKING

from fairlead.core.advice.cautions import EXPOSURE, FIRST, MASTS, POWER, STATIC
from fairlead.core.comparison.findings import findings_of
from fairlead.core.document.entry import PLANE_WORDS
from fairlead.core.figure_table.values import one_line
from fairlead.core.group_report import group_tables
from fairlead.core.report import sentences

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from fairlead.core.comparison.changes import ChangeSummary
    from fairlead.core.comparison.rows import Row
    from fairlead.core.document.bench import Bench

# An SWR from which a caution about the transmitter is worth its line (common practice, no source).
_BAD_MATCH = 2.0
_NOTED = {
    "taken_at": "taken",
    "place": "place",
    "height": "height",
    "feed_line": "feed line",
    "weather": "weather",
    "continuity": "continuity at the connector",
}


@dataclass(frozen=True, slots=True)
class Section:
    """A heading and its lines.

    Attributes
    ----------
    heading : str
    lines : tuple of str
        Each stands for itself.
    what : str
        Its lines in the plural, for saying how many were left out.
    may_go : int
        Where there is no room, lines of the section with the highest number go first; 0: never.
    """

    heading: str
    lines: tuple[str, ...]
    what: str
    may_go: int = 0


def page_title(bench: Bench, rows: Sequence[Row]) -> str:
    """The title of the picture, or one that says what is compared where."""
    if bench.picture.title:
        return one_line(bench.picture.title)
    what = one_line(rows[0].entry.caption) if len(rows) == 1 else f"{len(rows)} sweeps compared"
    if bench.has_own_band and bench.band.name is not None:
        return f"{what} in the {bench.band.name.split(',')[0]} band"
    return what


def page_sections(
    bench: Bench,
    rows: Sequence[Row],
    changes: Mapping[int, ChangeSummary],
    remarks: Sequence[str] = (),
) -> tuple[Section, ...]:
    """The sections in the order in which they are read; none is empty.

    Parameters
    ----------
    bench : Bench
    rows : sequence of Row
        Of the sweeps that are drawn, with their intervals.
    changes : mapping of int to ChangeSummary
        Of these rows.
    remarks : sequence of str
        What has to be said about the picture.
    """
    groups = [
        f"{table[0][0]}: {line}"
        for table, below in group_tables(bench, rows, "text")
        for line in below
    ]
    sections = (
        Section("Does it cover the band", _verdicts(bench, rows), "verdicts", 2),
        Section("What changed", tuple(sentences(changes)), "sentences on what changed", 4),
        Section("Units and repeats", tuple(groups), "lines on groups", 5),
        Section("What is suspect", _suspect(bench, rows), "findings", 1),
        Section("Conditions", _conditions(rows), "lines on conditions", 6),
        Section("Notes", _notes(rows), "notes", 7),
        Section("About the figure", tuple(map(one_line, remarks)), "remarks on the figure", 3),
        Section("Cautions", _cautions(rows), "cautions"),
        Section("Where the data come from", _sources(rows), "lists of files", 8),
    )
    return tuple(section for section in sections if section.lines)


def _verdicts(bench: Bench, rows: Sequence[Row]) -> tuple[str, ...]:
    """Those that cover the band in one line, the others with their reasons."""
    if not bench.has_own_band:
        return ("No band was chosen.",)
    judged = [(row, verdict) for row in rows if (verdict := row.figures.verdict) is not None]
    covering = [(row, verdict) for row, verdict in judged if verdict.covers == "yes"]
    if len(covering) == 1:
        (row, verdict), *_ = covering
        lines = [f"{_name(row)}: yes, {verdict.reason}."]
    elif covering:
        names = ", ".join(_name(row) for row, _ in covering)
        lines = [f"Yes, under the limit from edge to edge: {names}."]
    else:
        lines = []
    for answer in ("no", "cannot tell"):
        lines += [f"{_name(r)}: {answer}, {v.reason}." for r, v in judged if v.covers == answer]
    return tuple(map(one_line, lines))


def _suspect(bench: Bench, rows: Sequence[Row]) -> tuple[str, ...]:
    """Findings that undermine a sweep; the same words about several sweeps once."""
    found: dict[str, list[str]] = {}
    said = findings_of(bench, rows)
    for row in rows:
        for finding in said[row.entry.key]:
            if finding.severity == "suspect":
                found.setdefault(one_line(finding.text), []).append(_name(row))
    return tuple(f"{', '.join(names)}: {text}" for text, names in found.items())


def _conditions(rows: Sequence[Row]) -> tuple[str, ...]:
    """What was noted of all sweeps alike, then of each."""
    noted = {row.entry.key: _noted(row) for row in rows}
    first = next(iter(noted.values()))
    common = first if len(rows) > 1 else {}
    common = {
        key: text
        for key, text in common.items()
        if all(one.get(key) == text for one in noted.values())
    }
    lines = [f"All sweeps: {_joined(common)}."] if common else []
    for row in rows:
        own = {key: text for key, text in noted[row.entry.key].items() if key not in common}
        if own:
            lines.append(f"{_name(row)}: {_joined(own)}.")
    return tuple(lines)


def _noted(row: Row) -> dict[str, str]:
    entry = row.entry
    own = {name: one_line(getattr(entry.circumstances, name)) for name in _NOTED}
    own["taken_at"] = own["taken_at"].replace("T", " ")
    if entry.seen_at is not None:
        own["seen_at"] = PLANE_WORDS[entry.seen_at]
    return {key: text for key, text in own.items() if text}


def _joined(noted: Mapping[str, str]) -> str:
    return "; ".join(f"{_NOTED.get(key, 'seen')} {text}" for key, text in noted.items())


def _notes(rows: Sequence[Row]) -> tuple[str, ...]:
    return tuple(
        f"{_name(row)}: {text}" for row in rows if (text := one_line(row.entry.circumstances.notes))
    )


def _cautions(rows: Sequence[Row]) -> tuple[str, ...]:
    worst = [row.figures.worst_swr for row in rows if row.figures.worst_swr is not None]
    said = [POWER] if any(swr > _BAD_MATCH for swr in worst) else []
    return (*said, EXPOSURE, STATIC, MASTS, FIRST)


def _sources(rows: Sequence[Row]) -> tuple[str, ...]:
    """Names of the files without their folders, which are nobody's business."""
    files = dict.fromkeys(PurePath(row.entry.file).name for row in rows if row.entry.file)
    return (f"Read from {', '.join(files)}.",) if files else ()


def _name(row: Row) -> str:
    return one_line(row.entry.title)
