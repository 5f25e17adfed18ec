"""Random sweeps of the families with the truth of every figure that has an interval."""

from __future__ import annotations

import time
from collections import defaultdict
from dataclasses import dataclass, field

import numpy as np
from antenna_families import FAMILIES, SOLVED, Antenna

from fairlead.core.analysis.analysis import analyse
from fairlead.core.bands import Band
from fairlead.core.figures import figures_of
from fairlead.core.sweep import ScalarSweep, Sweep
from fairlead.core.uncertainty.error_model import errors_along
from fairlead.core.uncertainty.intervals import assess

POINTS = (51, 101, 201, 401, 1001)
LIMIT_SWR = 2.0
LIMIT_RHO = 1 / 3
FIGURES = (
    *("best_match_hz", "best_match_swr", "swr_low_edge", "swr_high_edge"),
    *("usable_low_hz", "usable_high_hz", "usable_width_hz", "worst_swr", "q"),
)


@dataclass(frozen=True)
class Case:
    """A sweep without and with noise, and a band."""

    family: str
    antenna: Antenna
    frequency_hz: np.ndarray
    measured: np.ndarray
    noise: float
    low_hz: float
    high_hz: float


def families(*, solver):
    return {**FAMILIES, **(SOLVED if solver else {})}


def draw_case(rng, family, draw, points=None):
    """A sweep 1.2 to 12 widths wide with its dip somewhere in the middle."""
    antenna = draw(rng)
    count = int(points or rng.choice(POINTS))
    noise = float(np.exp(rng.uniform(np.log(0.001), np.log(0.03))))
    span_hz = antenna.width_hz * float(np.exp(rng.uniform(np.log(1.2), np.log(12))))
    span_hz = min(span_hz, antenna.widest_hz)
    centre_hz = antenna.centre_hz + rng.uniform(-0.2, 0.2) * span_hz
    frequency_hz = np.linspace(centre_hz - span_hz / 2, centre_hz + span_hz / 2, count)
    exact = antenna.reflection(frequency_hz)
    measured = exact + noise * (rng.standard_normal(count) + 1j * rng.standard_normal(count))
    half_hz = antenna.width_hz * rng.uniform(0.1, 0.6)
    low_hz = max(antenna.centre_hz - half_hz, frequency_hz[0])
    high_hz = min(antenna.centre_hz + half_hz, frequency_hz[-1])
    return Case(family, antenna, frequency_hz, measured, noise, low_hz, high_hz)


def truth_of(case, found):
    """The true figures next to the ones found, by JSON key.

    None if the case has no match, none under the limit, or fewer than 8 points to its width.
    """
    if found.best_match_hz is None or found.best_match_at_end or found.main_segment is None:
        return None
    antenna = case.antenna
    hz, rho = _dense(antenna, case.frequency_hz[0], case.frequency_hz[-1], 6001)
    nearest = int(np.abs(hz - found.best_match_hz).argmin())
    if rho[nearest] >= LIMIT_RHO:
        return None
    above = np.flatnonzero(rho >= LIMIT_RHO)
    start = int(max(above[above < nearest], default=-1))
    stop = int(min(above[above > nearest], default=hz.size))
    index = start + 1 + int(rho[start + 1 : stop].argmin())
    step_hz = case.frequency_hz[1] - case.frequency_hz[0]
    if not 0 < index < hz.size - 1 or hz[stop - 1] - hz[start + 1] < 8 * step_hz:
        return None
    best_hz = _least(antenna, hz[index - 1], hz[index + 1])
    _, inside = _dense(antenna, case.low_hz, case.high_hz, 801)
    truth = {
        "best_match_hz": best_hz,
        "best_match_swr": _swr(abs(antenna.reflection(best_hz))),
        "swr_low_edge": _swr(abs(antenna.reflection(case.low_hz))),
        "swr_high_edge": _swr(abs(antenna.reflection(case.high_hz))),
        "worst_swr": _swr(inside.max()),
    }
    if start >= 0:
        truth["usable_low_hz"] = _crossing(antenna, hz[start], hz[start + 1])
    if stop < hz.size:
        truth["usable_high_hz"] = _crossing(antenna, hz[stop], hz[stop - 1])
    if start >= 0 and stop < hz.size:
        truth["usable_width_hz"] = truth["usable_high_hz"] - truth["usable_low_hz"]
    if found.q_hz is not None:
        truth["q"] = _q(antenna, found.q_hz)
    return truth


@dataclass
class Coverage:
    """Counts by figure and by family, number of points or "all": held, with interval, existing."""

    counts: dict = field(default_factory=lambda: defaultdict(lambda: [0, 0, 0]))
    cases: int = 0
    seconds: float = 0.0
    figure_seconds: float = 0.0

    def share(self, figure, of="all"):
        held, with_interval, _ = self.counts[figure, of]
        return held / with_interval if with_interval else float("nan")

    def shares(self):
        """Of all cases, by figure that has any interval."""
        return {key: self.share(key) for key in FIGURES if self.counts[key, "all"][1]}


def covered(
    cases, seed, *, solver, is_scalar=False, points=None, errors=None, kind="repeatability"
):
    """The coverage over a number of cases, the families in turn.

    ``errors`` is an analyzer's `ErrorModel`: each sweep gets its errors at full size and random
    phase, and the intervals are told.
    """
    rng = np.random.default_rng(seed)
    known = families(solver=solver)
    result = Coverage()
    drawn = 0
    while result.cases < cases:
        family = list(known)[drawn % len(known)]
        drawn += 1
        case = draw_case(rng, family, known[family], points)
        values = case.measured
        if errors is not None:
            d, t, m = np.exp(2j * np.pi * rng.random(3))
            values = values + d * errors.directivity + t * errors.tracking * values
            values = values + m * errors.source_match * case.measured**2
        sweep = (
            ScalarSweep(case.frequency_hz, np.abs(values))
            if is_scalar
            else Sweep(case.frequency_hz, values)
        )
        band = Band(case.low_hz, case.high_hz)
        analysis = analyse(sweep, 50.0)
        start = time.perf_counter()
        figures = figures_of(analysis, band, LIMIT_SWR)
        result.figure_seconds += time.perf_counter() - start
        truth = truth_of(case, figures)
        if truth is None:
            continue
        result.cases += 1
        along = None if errors is None else errors_along(errors, values)
        start = time.perf_counter()
        intervals = assess(analysis, figures, band, LIMIT_SWR, along).intervals
        result.seconds += time.perf_counter() - start
        _count(result, case, truth, intervals, kind)
    return result


def _count(result, case, truth, intervals, kind):
    size = "noise < 1 %" if case.noise < 0.01 else "noise > 1 %"
    for key, value in truth.items():
        own = intervals.get(key)
        interval = None if own is None else getattr(own, kind)
        for of in ("all", case.family, case.frequency_hz.size, size):
            count = result.counts[key, of]
            count[2] += 1
            if interval is not None:
                count[1] += 1
                count[0] += interval.low <= value <= interval.high


def _swr(rho):
    return (1 + rho) / (1 - rho) if rho < 1 else np.inf


def _dense(antenna, low_hz, high_hz, count):
    hz = np.linspace(low_hz, high_hz, count)
    return hz, np.abs(antenna.reflection(hz))


def _least(antenna, low_hz, high_hz):
    for _ in range(5):
        hz, rho = _dense(antenna, low_hz, high_hz, 41)
        index = min(max(int(rho.argmin()), 1), 39)
        low_hz, high_hz = hz[index - 1], hz[index + 1]
    # The vertex of a parabola through |G|^2: finer than the differences of |G| can show.
    hz, rho = _dense(antenna, hz[0], hz[-1], 41)
    return float(hz[int((rho**2).argmin())])


def _crossing(antenna, outside_hz, inside_hz):
    for _ in range(60):
        middle_hz = (outside_hz + inside_hz) / 2
        if abs(antenna.reflection(middle_hz)) < LIMIT_RHO:
            inside_hz = middle_hz
        else:
            outside_hz = middle_hz
    return float((outside_hz + inside_hz) / 2)


def _q(antenna, at_hz):
    step_hz = 1e-6 * at_hz
    z_ohm = [
        50 * (1 + g) / (1 - g) for g in antenna.reflection(at_hz + np.array([-1, 0, 1]) * step_hz)
    ]
    slope = (z_ohm[2] - z_ohm[0]) / (2 * step_hz)
    total = np.hypot(slope.real, slope.imag + abs(z_ohm[1].imag) / at_hz)
    return float(at_hz / (2 * z_ohm[1].real) * total)
