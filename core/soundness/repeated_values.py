"""Identical values at point after point."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from fairlead.core.soundness.finding import About, Finding
from fairlead.core.soundness.wording import shown_span

if TYPE_CHECKING:
    from fairlead.core.soundness.facts import Facts

ABOUT = About(
    code="values-repeat",
    title="Repeated values",
    reason=(
        "Two measured points hardly ever agree in every digit of real and imaginary part. The "
        "same value at many points was not measured: the export was padded, the analyzer "
        "stalled, or a channel was not connected. Figures from these points mean nothing."
    ),
    threshold=(
        "all points are alike (three or more); or eight or more neighbours are, five times as many "
        "as rounding makes alike elsewhere in the sweep; of SWR alone only if all are alike"
    ),
    source="common practice, no source",
    advice="Export the sweep again and look at the raw numbers there.",
    doubt="many points have the same values: they were not measured",
    doubted=("yes", "no"),
)
_FEWEST_POINTS = 3
_LEAST_RUN = 8
_TIMES = 5.0


def find(facts: Facts) -> list[Finding]:
    """Compares with the usual length of a run, because rounded numbers repeat everywhere."""
    if facts.rho.size < _FEWEST_POINTS:
        return []
    values = facts.rho if facts.reflection is None else facts.reflection
    starts = np.flatnonzero(np.concatenate(([True], values[1:] != values[:-1])))
    if starts.size == 1:
        return [ABOUT.found(f"the same value at all {facts.rho.size} points: nothing was measured")]
    if facts.reflection is None:
        return []
    runs = np.diff(np.append(starts, values.size))
    longest = int(runs.argmax())
    length = int(runs[longest])
    usual = float(np.sort(runs)[int(0.95 * (runs.size - 1))]) if runs.size > 1 else 1.0
    if length < max(_LEAST_RUN, _TIMES * usual):
        return []
    first = int(starts[longest])
    low_hz, high_hz = (float(facts.frequency_hz[i]) for i in (first, first + length - 1))
    text = f"the same value at {length} points in a row, {shown_span(low_hz, high_hz)}"
    return [ABOUT.found(text, low_hz, high_hz)]
