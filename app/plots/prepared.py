"""Slow computations that plots need for a sweep, done on the thread that loads it."""

from __future__ import annotations

from typing import TYPE_CHECKING
from weakref import WeakKeyDictionary

import numpy as np

from fairlead.app.plots.projection import QuantityProjection, SmithProjection
from fairlead.core.comparison.viewed import needs_bench
from fairlead.core.guarded_figures import figures_or_reasons
from fairlead.core.soundness.reported import checked
from fairlead.core.views.swr import SWR

if TYPE_CHECKING:
    from fairlead.app.plots.projection import Projection
    from fairlead.app.plots.simplify import WeightArray
    from fairlead.core.analysis.analyses import Analyses
    from fairlead.core.analysis.analysis import Analysis
    from fairlead.core.document.bench import Bench
    from fairlead.core.sweep import AnySweep
    from fairlead.core.views.quantity import Quantity

_READY: WeakKeyDictionary[AnySweep, dict[Projection, tuple[Analysis, WeightArray]]] = (
    WeakKeyDictionary()
)


def prepare(
    analyses: Analyses,
    sweep: AnySweep,
    bench: Bench,
    quantity: Quantity = SWR,
    *,
    is_log: bool = False,
) -> None:
    """Compute in advance what the window will need of a sweep about to join a bench.

    Figures and checks fill the caches of the analysis; then the weight of each point in the plot of
    ``quantity`` over frequency, on a logarithmic axis if ``is_log``, and on the Smith chart.
    """
    analysis = analyses.of(sweep, bench.z0_ohm)
    checked(analysis, figures_or_reasons(analysis, bench.band, bench.limit_swr), bench.band)
    projections: list[Projection] = [SmithProjection()]
    if not needs_bench(quantity):
        projections.append(QuantityProjection(quantity, is_log))
    _READY[sweep] = {
        projection: (analysis, weights_of(projection, analysis))
        for projection in projections
        if projection.shows(analysis)
    }


def weights_of(projection: Projection, analysis: Analysis) -> WeightArray:
    """The weight of each point; where that fails, all points matter.

    An odd sweep must not prevent its file from loading nor the other curves from being drawn.
    """
    try:
        return projection.weights(analysis)
    except Exception:  # noqa: BLE001 - unforeseen, and every point can be drawn
        return np.full(analysis.power.size, np.inf, dtype=np.float32)


def take_weights(sweep: AnySweep, analysis: Analysis, projection: Projection) -> WeightArray | None:
    """Take the weights worked out for one plot, which keeps them from now on; None if none."""
    found = _READY.get(sweep, {}).get(projection)
    if found is None or found[0] is not analysis:
        return None
    del _READY[sweep][projection]
    return found[1]
