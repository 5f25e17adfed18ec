"""SWR over frequency divided by the best match: the shapes of curves, wherever each is tuned.

Moving an antenna along the band as a whole moves its curve and leaves the shape; what differs here
is width and depth. A percentage of its own best match has no band in it: the band's edges are at
other percentages for each sweep, so they are not drawn, and the SWR limit is.
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from fairlead.core.sweep import Sweep
from fairlead.core.views.swr import SWR

if TYPE_CHECKING:
    from fairlead.core.sweep import AnySweep

SHAPE = replace(
    SWR,
    id="shape",
    title="SWR, best matches aligned",
    menu="SWR, best matches &aligned",
    hint="SWR with each frequency divided by the sweep's own best match, in per cent: the shape "
    "without the tuning",
    keys=("Ctrl+8",),
    is_scaled=True,
)

MATCH_HZ = 100e6
"""Where the best match of a scaled sweep stands: a megahertz of the axis reads as a per cent."""


def scaled_to_match(sweep: AnySweep, best_match_hz: float) -> AnySweep:
    """The sweep with its frequencies divided by the best match, in units of a per cent per MHz.

    Raises
    ------
    SweepError
        If two frequencies fall together, or one is no longer finite.
    """
    frequency_hz = sweep.frequency_hz * (MATCH_HZ / best_match_hz)
    if isinstance(sweep, Sweep):
        return Sweep(frequency_hz, sweep.reflection, sweep.z0_ohm)
    return sweep.with_values(frequency_hz)
