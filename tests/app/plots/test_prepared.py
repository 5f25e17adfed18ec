"""What the loading thread has worked out is taken by the plots, and is what they would make."""

from __future__ import annotations

import numpy as np
from circuits import SeriesCircuit

from fairlead.app.plots.prepared import prepare, take_weights
from fairlead.app.plots.projection import QuantityProjection, SmithProjection
from fairlead.core.analysis.analyses import Analyses
from fairlead.core.analysis.analysis import analyse
from fairlead.core.document.bench import Bench
from fairlead.core.sweep import ScalarSweep, Sweep
from fairlead.core.views.swr import SWR

BENCH = Bench()


def sweep_of(points=201):
    frequency_hz = np.linspace(48e6, 54e6, points)
    return Sweep(frequency_hz, SeriesCircuit(51e6, 60.0, 8.0).reflection(frequency_hz))


def test_both_plots_get_what_they_would_make_and_only_once():
    sweep = sweep_of()
    analyses = Analyses()
    prepare(analyses, sweep, BENCH)
    analysis = analyses.of(sweep, 50.0)
    for projection in (QuantityProjection(SWR), SmithProjection()):
        found = take_weights(sweep, analysis, projection)
        assert np.array_equal(found, projection.weights(analysis))
        assert take_weights(sweep, analysis, projection) is None


def test_another_reference_impedance_makes_it_useless():
    sweep = sweep_of()
    analyses = Analyses()
    prepare(analyses, sweep, BENCH)
    assert take_weights(sweep, analyses.of(sweep, 75.0), QuantityProjection(SWR)) is None


def test_without_phase_there_is_nothing_for_the_smith_chart():
    sweep = ScalarSweep([50e6, 51e6, 52e6], [0.1, 0.2, 0.1])
    analyses = Analyses()
    prepare(analyses, sweep, BENCH)
    analysis = analyses.of(sweep, 50.0)
    assert take_weights(sweep, analysis, SmithProjection()) is None
    assert take_weights(sweep, analysis, QuantityProjection(SWR)) is not None


def test_nothing_prepared_is_nothing():
    sweep = sweep_of(101)
    assert take_weights(sweep, analyse(sweep, 50.0), QuantityProjection(SWR)) is None
