"""Whether loaded sweeps meet the plan, in the plan's own terms."""

from __future__ import annotations

from typing import TYPE_CHECKING

from fairlead.core.document.measuring_errors import error_model_of
from fairlead.core.figure_table.values import one_line
from fairlead.core.planning.words import khz, span_text

if TYPE_CHECKING:
    from collections.abc import Sequence

    from fairlead.core.document.bench import Bench
    from fairlead.core.document.entry import Entry
    from fairlead.core.planning.needs import Needs

# Ends and steps of a grid that was typed are not met to the hertz.
_SLACK = 0.02


def lacking_in(bench: Bench, found: Needs) -> dict[str, tuple[str, ...]]:
    """What each sweep and each group of repeats lacks, by label; empty where it meets the plan."""
    lacks = {
        one_line(entry.label): tuple(_entry(bench, entry, found))
        for entry in bench.entries
        if not entry.is_what_if
    }
    if found.repeats is not None and found.repeats > 1:
        for group in bench.groups:
            count = len(group.members)
            if group.kind == "repeats" and count < found.repeats:
                text = f"repeats: {count}, where the plan asks for {found.repeats}"
                lacks[one_line(group.label)] = (text,)
    return {label: lines for label, lines in lacks.items() if lines}


def lines_of(lacking: dict[str, tuple[str, ...]]) -> Sequence[str]:
    """The same as sentences."""
    return [f"{label}: {'; '.join(lines)}." for label, lines in lacking.items()]


def _entry(bench: Bench, entry: Entry, found: Needs) -> list[str]:
    low_hz, high_hz = entry.measured_span_hz
    said = []
    slack_hz = _SLACK * (found.high_hz - found.low_hz)
    if low_hz > found.low_hz + slack_hz or high_hz < found.high_hz - slack_hz:
        said.append(
            f"span: {low_hz / 1e6:.2f} to {high_hz / 1e6:.2f} MHz, where the plan asks for "
            f"{span_text(found.low_hz, found.high_hz)}"
        )
    step_hz = (high_hz - low_hz) / max(1, entry.sweep.frequency_hz.size - 1)
    if step_hz > found.step_hz * (1 + _SLACK):
        said.append(
            f"points: one every {khz(step_hz)}, where the plan asks for one every "
            f"{khz(found.step_hz)}"
        )
    least_db = found.least_db
    model = error_model_of(bench, entry)
    if least_db is not None and model.directivity_db is None:
        said.append(
            f"calibration: not stated, where the plan asks for a directivity of {least_db:.0f} dB"
        )
    elif least_db is not None and (model.directivity_db or 0.0) < least_db:
        said.append(
            f"calibration: a directivity of {model.directivity_db:.0f} dB, where the plan asks for "
            f"{least_db:.0f} dB"
        )
    return said
