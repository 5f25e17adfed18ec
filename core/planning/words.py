"""The plan in sentences, as a checklist to print, as Markdown and as JSON."""

from __future__ import annotations

from dataclasses import asdict
from typing import TYPE_CHECKING

from fairlead.core.advice.cautions import EXPOSURE, FIRST, MASTS, STATIC
from fairlead.core.planning.needs import MOST_REPEATS, Q_CHANGE, SWR_STEP, good_enough
from fairlead.core.report import escaped
from fairlead.core.report_page.words import Section
from fairlead.core.table_lines import plain_mhz
from fairlead.core.units import mhz_decimals

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from fairlead.core.bands import Band
    from fairlead.core.document.session import Plan
    from fairlead.core.planning.needs import Needs

TITLE = "Checklist for the measurement"
# Long enough to write on.
_BLANK = "." * 60
NOTHING_LOADED = "No sweep is loaded yet."
MET = "The sweeps that are loaded meet the plan."


def khz(value_hz: float) -> str:
    """A width or a shift with two or three digits that matter."""
    value = value_hz / 1e3
    if value >= 1000:
        return f"{value / 1e3:.2f} MHz"
    return f"{value:.0f} kHz" if value >= 10 else f"{value:.2g} kHz"


def span_text(low_hz: float, high_hz: float) -> str:
    """A span to type into an analyzer: rounded outwards."""
    decimals = max(1, mhz_decimals((high_hz - low_hz) / 20) - 1)
    step = 10.0**-decimals
    low, high = low_hz / 1e6 // step * step, -(-high_hz / 1e6 // step) * step
    return f"{low:.{decimals}f} to {high:.{decimals}f} MHz"


def sentences(plan: Plan, band: Band, found: Needs) -> tuple[str, ...]:
    """What the plan asks for, one sentence each, with what it rests on."""
    aims = []
    if plan.shift_hz is not None:
        aims.append(f"detect a shift of {khz(plan.shift_hz)}")
    if plan.cover_swr is not None:
        edges = f"{plain_mhz(band.low_hz)} to {plain_mhz(band.high_hz)} MHz"
        aims.append(f"decide whether {edges} is covered at SWR {plan.cover_swr:g}")
    margin = "one 2:1 width"
    if plan.shift_hz is not None:
        margin += " and the shift"
    aim = (
        f"Purpose: {' and '.join(aims)}, for an antenna with a Q of about {plan.q:.3g} "
        f"(2:1 width about {khz(found.width_hz)})."
    )
    span = span_text(found.low_hz, found.high_hz)
    said = [
        aim,
        f"Span: {span}, the band with {margin} on each side.",
        _points(plan, found),
        _repeats(plan, found),
        *_calibration(plan, found),
        _where(plan),
    ]
    return tuple(said)


def _points(plan: Plan, found: Needs) -> str:
    why = "four points for each 2:1 width"
    if found.clock == "noise":
        why = "with fewer, the noise of a sweep cannot be determined"
    elif found.clock == "turn":
        why = f"{plan.line_m:g} m of line turn the reflection by an eighth of a turn per step"
    return f"Points: at least {found.points}, one every {khz(found.step_hz)}: {why}."


def _repeats(plan: Plan, found: Needs) -> str:
    if plan.shift_hz is None:
        return "Repeats: none needed to judge one antenna; sweep once more at the end anyway."
    if found.repeats is None:
        advice = (
            "sweep the same antenna five times, put up again each time, and enter the scatter"
            if found.best_match_sd_hz is None
            else "reduce it (same place, same cable, choke), or look for a larger shift"
        )
        return f"Repeats: unknown, because {found.why_no_repeats}; {advice}."
    by = []
    if found.best_match_sd_hz is not None:
        by.append(f"noise of {khz(found.best_match_sd_hz)} in one best match")
    if plan.repeatability_hz is not None:
        by.append(f"a scatter of {khz(plan.repeatability_hz)} from putting it up again")
    times = "one sweep" if found.repeats == 1 else f"{found.repeats} sweeps"
    return (
        f"Repeats: {times} of each condition, for {' and '.join(by)}; the first condition once "
        "more at the end."
    )


def _calibration(plan: Plan, found: Needs) -> list[str]:
    said = []
    if found.kept_db is not None and found.anew_db is not None:
        said.append(
            f"Calibration: with one calibration kept for all sweeps, a directivity of "
            f"{found.kept_db:.0f} dB{_presets(found.kept_db)}, if the Q changes by no more than "
            f"{100 * Q_CHANGE:.0f} %; with a new one for each sweep it would take "
            f"{found.anew_db:.0f} dB{_presets(found.anew_db)}."
        )
    if found.cover_db is not None:
        said.append(
            f"To know SWR {plan.cover_swr:g} to within {SWR_STEP:g} takes a directivity of "
            f"{found.cover_db:.0f} dB{_presets(found.cover_db)}."
        )
    return said


def _presets(least_db: float) -> str:
    """The usual calibrations that do, by their names in the options."""
    fine = good_enough(least_db)
    return f" ({', '.join(fine)})" if fine else " (none of the usual calibrations)"


def _where(plan: Plan) -> str:
    if plan.line_m is None and plan.line_loss_db is None:
        return (
            "Where: calibrate at the antenna's feed point, at the end of the cable that stays; "
            "then no cable has to be removed by calculation."
        )
    more = ""
    if plan.line_loss_db is not None:
        more = (
            f" Its {plan.line_loss_db:g} dB make every error of the analyzer "
            f"{10 ** (plan.line_loss_db / 10):.2g} times as large; the numbers above include that."
        )
    return (
        "Where: better at the feed point, at the end of the cable; else at the analyzer, and the "
        f"line is removed by calculation, so measure it too, open and shorted.{more}"
    )


def checklist(plan: Plan, band: Band, found: Needs) -> tuple[Section, ...]:
    """What to tick and to fill in at the antenna, on one page."""
    aim, *asked = sentences(plan, band, found)
    times = "1" if found.repeats is None else str(found.repeats)
    return (
        Section("What for", (aim,), ""),
        Section("Before you connect anything", (MASTS, STATIC, EXPOSURE, FIRST), ""),
        Section("Set the analyzer", tuple(asked), ""),
        Section(
            "Keep the same, and write it down",
            (
                "Calibrated at ............ o'clock, and not again in between",
                f"Calibration plane: {plan.plane or _BLANK}",
                f"Height of the feed point: {plan.height or _BLANK}",
                f"Cable, and how it runs: {plan.cable or _BLANK}",
                f"Choke, and where: {plan.choke or _BLANK}",
                f"Water: how much, where: {plan.water or _BLANK}",
                f"Time between water and sweep: {plan.time or _BLANK}",
                "Weather, temperature: " + _BLANK,
                "Nobody touches the cable, and nobody stands within an antenna's length",
            ),
            "",
        ),
        Section(
            "In this order",
            (
                f"First condition, {times} times. Saved as: {_BLANK}",
                f"Second condition, {times} times. Saved as: {_BLANK}",
                f"First condition again, last of all: what drifted? Saved as: {_BLANK}",
                "Look at each sweep before anything moves: is the dip inside the span? No jumps?",
            ),
            "",
        ),
    )


def as_text(plan: Plan, band: Band, found: Needs, lacking: Sequence[str] | None) -> str:
    """Sentences, and how the loaded sweeps do not meet them; None without sweeps."""
    said = sentences(plan, band, found)
    return "\n".join([*said, "", *_loaded(lacking), "", FIRST]) + "\n"


def _loaded(lacking: Sequence[str] | None) -> tuple[str, ...]:
    if lacking is None:
        return (NOTHING_LOADED,)
    return tuple(lacking) or (MET,)


def as_markdown(
    plan: Plan, band: Band, found: Needs, lacking: Sequence[str] | None, title: str
) -> str:
    """The checklist with boxes, and after it what the loaded sweeps lack."""
    parts = [f"# {escaped(title)}"]
    for section in checklist(plan, band, found):
        lines = "\n".join(f"- [ ] {escaped(line)}" for line in section.lines)
        parts.append(f"## {section.heading}\n\n{lines}")
    loaded = "\n".join(f"- {escaped(line)}" for line in _loaded(lacking))
    parts.append(f"## Sweeps that are loaded\n\n{loaded}")
    return "\n\n".join(parts) + "\n"


def as_json(
    plan: Plan,
    band: Band,
    found: Needs,
    lacking: Mapping[str, Sequence[str]],
    *,
    program: str,
) -> dict[str, object]:
    """The object of the headless contract; ``lacking`` is by the label of each sweep."""
    return {
        "format": 1,
        "program": program,
        "band": {"name": band.name, "low_hz": band.low_hz, "high_hz": band.high_hz},
        "plan": asdict(plan),
        "needs": {
            **asdict(found),
            "most_repeats": MOST_REPEATS,
            "good_enough": [] if found.least_db is None else list(good_enough(found.least_db)),
        },
        "sentences": list(sentences(plan, band, found)),
        "lacking": {label: list(lines) for label, lines in lacking.items()},
    }
