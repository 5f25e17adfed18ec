"""More power is reflected than was sent."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from fairlead.core.reflection import above_one
from fairlead.core.soundness.finding import About, Finding
from fairlead.core.soundness.wording import counted, shown_mhz, shown_span

if TYPE_CHECKING:
    from fairlead.core.soundness.facts import Facts
    from fairlead.core.soundness.finding import Severity

ABOUT = About(
    code="reflection-above-one",
    title="More reflected than sent",
    reason=(
        "A passive antenna reflects no more than it receives: |G| is at most 1. More is caused by "
        "noise, from a calibration that has drifted or was made with another cable, or from "
        "numbers in another format. At these points there is no SWR and no mismatch loss."
    ),
    threshold=(
        "|G| above 1 by more than rounding and four times the noise; suspect from 1.032 on, by "
        "which a plain calibration (30 dB) may be off"
    ),
    source="conservation of energy; 30 dB is common practice, no source",
    advice=(
        "Calibrate again at the end of the cable you used, and compare with an open and a "
        "short. If the values are far above 1, check the number format of the file."
    ),
)
_SIGMAS = 4.0
# By no more than a plain calibration leaves, -30 dB, an open or a short may read above 1.
_CALIBRATED = 10 ** (-30 / 20)


def find(facts: Facts) -> list[Finding]:
    """How many points, where, and by how much."""
    worst = int(facts.rho.argmax())
    over = np.flatnonzero(above_one(facts.rho))
    if not over.size or float(facts.rho[worst]) <= 1 + _SIGMAS * facts.noise:
        return []
    low_hz, high_hz = (float(facts.frequency_hz[i]) for i in (over[0], over[-1]))
    where = f"at {shown_mhz(low_hz)}" if over.size == 1 else f"from {shown_span(low_hz, high_hz)}"
    text = (
        f"|reflection| > 1 at {over.size} of {counted(facts.rho.size, 'point')}, {where}, largest "
        f"{facts.rho[worst]:.4g}: no SWR exists there"
    )
    severity: Severity = "note" if float(facts.rho[worst]) <= 1 + _CALIBRATED else "suspect"
    return [ABOUT.found(text, low_hz, high_hz, severity=severity)]
