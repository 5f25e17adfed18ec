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
from fairlead.app.headless.gathering import gather_on_one_bench
from fairlead.app.headless.output import DONE, UNREAD, printable, say_all
from fairlead.core.analysis.analysis import analyse
from fairlead.core.notice import Notice
from fairlead.core.reading import Reading
from fairlead.core.report import plain_mhz
from fairlead.core.soundness.duplicates import duplicates

if TYPE_CHECKING:
    from collections.abc import Sequence

    from fairlead.core.bands import Band
    from fairlead.core.errors import ReadError

NOTHING = "nothing suspect"


@dataclass(frozen=True, slots=True)
class Checked:
    """One sweep and what is suspect about it.

    Attributes
    ----------
    reading : Reading
    step_hz : float
        Median distance of the points.
    above_one : int
        Points with |reflection| > 1.
    notices : tuple of Notice
        The reader's and ours.
    """

    reading: Reading
    step_hz: float
    above_one: int
    notices: tuple[Notice, ...]


def run(arguments: Sequence[str]) -> int:
    """Print what is suspect about the files; exit status."""
    parser = VerbParser("check", "Say what is suspect about each sweep.")
    add_files(parser)
    add_band(parser)
    parser.add_argument(
        "--as",
        dest="form",
        choices=("text", "json"),
        default="text",
        help="form of the output (text if not given)",
    )
    options = parser.read(arguments)
    band = chosen_band(parser, options)
    columns = chosen_columns(parser, options)
    gathered = gather_on_one_bench(options.files, columns)
    bench = gathered.bench
    if band is None and gathered.has_settings and bench.has_own_band:
        band = bench.band
    say_all(gathered.unread)
    again = duplicates(bench.entries)
    readings = [
        Reading(one.sweep, one.label, one.file, (*one.notices, *_repeated(again.get(one.key))))
        for one in bench.entries
    ]
    checked = [check(reading, band) for reading in readings]
    if options.form == "json":
        found = _as_json(checked, gathered.unread)
        print(json.dumps(found, ensure_ascii=False, indent=2, allow_nan=False))
    else:
        for one in checked:
            print("\n".join(_lines(one)))
    return UNREAD if gathered.unread else DONE


def check(reading: Reading, band: Band | None = None) -> Checked:
    """What the reader noticed, impossible points, and a band that the sweep does not cover."""
    analysis = analyse(reading.sweep, reading.sweep.z0_ohm)
    return Checked(
        reading,
        analysis.step_hz,
        analysis.above_one,
        (*reading.notices, *_impossible(reading, analysis.above_one), *_uncovered(reading, band)),
    )


def _repeated(first: str | None) -> list[Notice]:
    if first is None:
        return []
    return [Notice("same-content", f'holds the same numbers as "{first}"')]


def _impossible(reading: Reading, above_one: int) -> list[Notice]:
    if above_one == 0 or any(notice.code == "reflection-above-one" for notice in reading.notices):
        return []
    text = (
        f"|reflection| > 1 at {above_one} of {len(reading.sweep)} points: "
        "more comes back than was sent, so the calibration or the noise is suspect"
    )
    return [Notice("reflection-above-one", text)]


def _uncovered(reading: Reading, band: Band | None) -> list[Notice]:
    low_hz, high_hz = (float(hz) for hz in reading.sweep.frequency_hz[[0, -1]])
    if band is None or (low_hz <= band.low_hz and band.high_hz <= high_hz):
        return []
    reaches = low_hz < band.high_hz and band.low_hz < high_hz
    text = (
        f"covers the band {_span(band.low_hz, band.high_hz)} only in part"
        if reaches
        else f"has nothing in the band {_span(band.low_hz, band.high_hz)}"
    )
    return [Notice("band-not-covered", text)]


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
    lines += [printable(f"  {notice.code}: {notice.text}") for notice in checked.notices]
    return lines if checked.notices else [*lines, f"  {NOTHING}"]


def _step(step_hz: float) -> str:
    return f"{step_hz / 1e3:.6g} kHz" if step_hz < 1e6 else f"{step_hz / 1e6:.6g} MHz"


def _span(low_hz: float, high_hz: float) -> str:
    return f"{plain_mhz(low_hz)} to {plain_mhz(high_hz)} MHz"


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
                "warnings": [{"code": n.code, "text": n.text} for n in one.notices],
            }
            for one in checked
        ],
        "unread": [
            {"file": error.file, "line": error.line, "reason": error.reason, "advice": error.advice}
            for error in unread
        ],
    }
