"""Figures against models with known truth, one table: `truth.py [SWEEPS [SET...]]`.

Every model is a closed form: one to three resonances in parallel, straight or behind up to 60 m of
lossy line (losses of common coaxial cable, from memory). Each set draws its own points, span, Q,
noise or thinning. Counted are claims that the truth does not bear out, what was missed without a
word, and what was withheld though the points would have done; missed ones count by sweeps.
"""

from __future__ import annotations

import math
import sys
from dataclasses import dataclass, field
from pathlib import Path

import numpy as np

sys.path.insert(0, str(Path(__file__).parents[1] / "helpers"))

from circuits import behind_line

from fairlead.core.analysis.analysis import analyse
from fairlead.core.analysis.resonances import hidden_resonances
from fairlead.core.bands import Band
from fairlead.core.figures import figures
from fairlead.core.soundness import noisy
from fairlead.core.soundness.checks import check_sweep
from fairlead.core.sweep import ScalarSweep, Sweep

LIMIT = 2.0
RHO_LIMIT = 1 / 3
# Off by more than this plus 4 sigma is false: SWR 1.5 read as 1.4 or as 1.6.
TOLERANCE = 0.03
NOISE_SIGMAS = 4.0
FINE = 40_001


@dataclass(frozen=True)
class Model:
    """Resonances in parallel behind a line."""

    f0_hz: tuple[float, ...]
    r_ohm: tuple[float, ...]
    q: tuple[float, ...]
    length_m: float = 0.0
    loss_db_per_100m: float = 0.0

    def reflection(self, frequency_hz):
        admittance = 0
        for f0_hz, r_ohm, q in zip(self.f0_hz, self.r_ohm, self.q, strict=True):
            u = frequency_hz / f0_hz - f0_hz / frequency_hz
            admittance = admittance + 1 / (r_ohm * (1 + 1j * q * u))
        gamma = (1 - 50 * admittance) / (1 + 50 * admittance)
        if self.length_m == 0:
            return gamma
        loss_db = self.loss_db_per_100m * self.length_m / 100 * np.sqrt(frequency_hz / 50e6)
        return behind_line(gamma, frequency_hz, self.length_m, loss_db=loss_db)

    @property
    def narrowest_hz(self):
        """Least width between the half-power points of a loaded resonance."""
        rows = zip(self.f0_hz, self.r_ohm, self.q, strict=True)
        return min(f0_hz * (r_ohm + 50) / (q * r_ohm) for f0_hz, r_ohm, q in rows)

    @property
    def delay_s(self):
        return 2 * self.length_m / (0.66 * 299_792_458.0)


@dataclass(frozen=True)
class Drawn:
    """One sweep; ``error`` is the analyzer's, which no program can tell from the antenna."""

    model: Model
    frequency_hz: np.ndarray
    reflection: np.ndarray
    sigma: float
    scalar: bool = False
    error: float = 0.0


@dataclass
class Tally:
    """What one set came to."""

    name: str
    sweeps: int = 0
    false_dips: int = 0
    false_segments: int = 0
    missed_dips: int = 0
    in_gaps: int = 0
    false_resonances: int = 0
    missed_resonances: int = 0
    aliased: int = 0
    sound: int = 0
    withheld: int = 0
    errors: dict[str, list[float]] = field(default_factory=dict)
    # Which sweeps failed, to be drawn again.
    numbers: dict[str, list[int]] = field(default_factory=dict)

    def note(self, name, error):
        self.errors.setdefault(name, []).append(abs(error))


def draw_model(rng, *, line=True):
    count = int(rng.choice([1, 1, 1, 2, 3]))
    centre_hz = 10 ** rng.uniform(6.7, 8.7)
    f0_hz = centre_hz * np.cumprod(np.concatenate(([1], rng.uniform(1.15, 1.8, count - 1))))
    q = 10 ** rng.uniform(math.log10(2), math.log10(300), count)
    length_m = float(rng.uniform(0.5, 60)) if line and rng.random() < 0.5 else 0.0
    return Model(
        tuple(f0_hz.tolist()),
        tuple(rng.uniform(15, 140, count).tolist()),
        tuple(q.tolist()),
        length_m,
        float(rng.uniform(2, 12)),
    )


def draw_grid(rng, model, points):
    """Around the resonances, from a few widths of the narrowest to several octaves."""
    low_hz, high_hz = min(model.f0_hz), max(model.f0_hz)
    margin = 1 + min(4.0, model.narrowest_hz / low_hz * 10 ** rng.uniform(0, 1.7))
    return np.linspace(low_hz / margin, high_hz * margin, points)


def is_sound(model, frequency_hz):
    """4 points for each 2:1 width (11.3 for the loaded half-power width), 1/8 line turn a step."""
    step_hz = frequency_hz[1] - frequency_hz[0]
    return step_hz * 11.3 <= model.narrowest_hz and model.delay_s * step_hz <= 1 / 8


def judge(tally, drawn):
    """Count one sweep."""
    model, frequency_hz, reflection = drawn.model, drawn.frequency_hz, drawn.reflection
    sigma, scalar, error = drawn.sigma, drawn.scalar, drawn.error
    tally.sweeps += 1
    # A line that turns by 7/8 to 9/8 of a turn a step looks like one that hardly turns, and no
    # number of the sweep tells: such sweeps are counted apart.
    turns = model.delay_s * float(frequency_hz[1] - frequency_hz[0])
    is_aliased = turns > 1 / 2 and abs(turns - round(turns)) <= 1 / 8
    tally.aliased += is_aliased
    low_hz, high_hz = float(frequency_hz[0]), float(frequency_hz[-1])
    span_hz = high_hz - low_hz
    band = Band(low_hz + 0.05 * span_hz, high_hz - 0.05 * span_hz)
    sweep = (
        ScalarSweep(frequency_hz, np.abs(reflection)) if scalar else Sweep(frequency_hz, reflection)
    )
    own = figures(sweep, band, 50.0, LIMIT)
    slack = TOLERANCE + NOISE_SIGMAS * sigma + error
    step_hz = float(frequency_hz[1] - frequency_hz[0])
    fine_hz = np.linspace(band.low_hz, band.high_hz, FINE)
    truth = model.reflection(fine_hz)
    rho = np.abs(truth)

    def true_rho(hz):
        return abs(complex(model.reflection(np.array([hz]))[0]))

    best = None
    if own.best_match_hz is not None and own.best_match_swr is not None:
        best = (own.best_match_swr - 1) / (own.best_match_swr + 1)
        tally.false_dips += abs(true_rho(own.best_match_hz) - best) > slack
        is_missed = best > float(rho.min()) + slack
        is_missed = is_missed and band.low_hz <= own.best_match_hz <= band.high_hz
        true_hz = float(fine_hz[rho.argmin()])
        # A gap that is marked says that anything may lie in it.
        is_told = any(low_hz <= true_hz <= high_hz for low_hz, high_hz in own.gaps)
        tally.in_gaps += is_missed and is_told
        tally.missed_dips += is_missed and not is_told
        tally.note("|G| at best match", true_rho(own.best_match_hz) - best)
    for segment in own.usable:
        middle_hz = (segment.low_hz + segment.high_hz) / 2
        tally.false_segments += true_rho(middle_hz) > RHO_LIMIT + slack
    if own.swr_low_edge is not None and math.isfinite(own.swr_low_edge):
        edge = (own.swr_low_edge - 1) / (own.swr_low_edge + 1)
        tally.note("|G| at band edge", true_rho(band.low_hz) - edge)
    if scalar or is_aliased:
        return
    hidden = _hidden(analyse(sweep, 50.0))
    _judge_resonances(tally, own, fine_hz, truth, step_hz, slack, hidden)
    lowest = int(rho.argmin())
    is_dip = 0 < lowest < FINE - 1 and rho.max() - rho.min() > 0.1 + 12 * sigma
    if sigma <= 1e-9 and is_sound(model, frequency_hz) and is_dip:
        tally.sound += 1
        tally.withheld += best is None


def _hidden(analysis):
    """Spans that the check of the noise names."""
    hidden = hidden_resonances(analysis.track, analysis.sampling.is_phase_known, analysis.sigma)
    is_told = hidden and any(one.code == noisy.ABOUT.code for one in check_sweep(analysis))
    return hidden if is_told else ()


def _judge_resonances(tally, own, fine_hz, truth, step_hz, slack, hidden):
    crossing = np.flatnonzero(np.diff(truth.imag > 0))
    true_hz = fine_hz[crossing]
    # A crossing lies where it does but for the noise over the slope.
    for found in own.resonances:
        if not fine_hz[0] <= found.frequency_hz <= fine_hz[-1]:
            continue
        at = min(int(fine_hz.searchsorted(found.frequency_hz)), FINE - 1)
        near = true_hz.size and np.abs(true_hz - found.frequency_hz).min() <= step_hz
        tally.false_resonances += not near and abs(truth.imag[at]) > slack
    if getattr(own, "gaps", ()) or "resonances" in getattr(own, "why_not", {}):
        return
    claimed = np.array([found.frequency_hz for found in own.resonances])
    clear = np.abs(truth.imag) > max(0.05, 2 * slack)
    clear_at = np.flatnonzero(clear)
    sides = truth.imag[clear_at] > 0
    for change in np.flatnonzero(sides[1:] != sides[:-1]):
        low_hz, high_hz = fine_hz[clear_at[change]], fine_hz[clear_at[change + 1]]
        is_met = (claimed >= low_hz - step_hz) & (claimed <= high_hz + step_hz)
        is_told = any(low <= high_hz and high >= low_hz for low, high in hidden)
        if not is_met.any() and not is_told:
            tally.missed_resonances += 1
            return


def noise_like(rng, size, sigma):
    return sigma * (rng.standard_normal(size) + 1j * rng.standard_normal(size))


def clean(rng):
    model = draw_model(rng)
    grid_hz = draw_grid(rng, model, int(rng.choice([11, 21, 51, 101, 201, 401, 1001])))
    return Drawn(model, grid_hz, model.reflection(grid_hz), 0.0)


def noisy_set(rng):
    model = draw_model(rng)
    grid_hz = draw_grid(rng, model, int(rng.choice([51, 101, 401, 1001])))
    sigma = float(10 ** rng.uniform(-3, math.log10(0.05)))
    noise = noise_like(rng, grid_hz.size, sigma)
    return Drawn(model, grid_hz, model.reflection(grid_hz) + noise, sigma)


def thinned(rng):
    model = draw_model(rng)
    dense_hz = draw_grid(rng, model, 4001)
    thin_hz = dense_hz[:: int(rng.integers(2, 201))]
    noise = noise_like(rng, thin_hz.size, 0.0005)
    return Drawn(model, thin_hz, model.reflection(thin_hz) + noise, 0.0005)


def coarse(rng):
    """Wide and coarse, as a first look over decades is, mostly behind a line."""
    model = draw_model(rng)
    grid_hz = np.linspace(0.05, 4, int(rng.choice([51, 101, 181]))) * model.f0_hz[0]
    noise = noise_like(rng, grid_hz.size, 0.0005)
    return Drawn(model, grid_hz, model.reflection(grid_hz) + noise, 0.0005)


def ripple(rng):
    model = draw_model(rng)
    grid_hz = draw_grid(rng, model, 401)
    directivity = 10 ** (-rng.uniform(30, 40) / 20)
    turn = np.exp(-2j * np.pi * grid_hz * rng.uniform(0, 30e-9))
    seen = model.reflection(grid_hz) + directivity * turn
    return Drawn(model, grid_hz, seen, 0.0, error=directivity)


def rounded(rng):
    model = draw_model(rng, line=False)
    grid_hz = draw_grid(rng, model, int(rng.choice([21, 51, 101, 401])))
    rho = np.abs(model.reflection(grid_hz))
    swr = np.round((1 + rho) / (1 - rho), 2)
    return Drawn(model, grid_hz, (swr - 1) / (swr + 1) + 0j, 0.002, scalar=True)


def few(rng):
    model = draw_model(rng)
    grid_hz = draw_grid(rng, model, int(rng.choice([5, 6, 7])))
    return Drawn(model, grid_hz, model.reflection(grid_hz), 0.0)


SETS = {
    "clean": clean,
    "noisy": noisy_set,
    "thinned": thinned,
    "coarse": coarse,
    "ripple": ripple,
    "rounded": rounded,
    "few": few,
}
_FALSE_OR_MISSED = (
    "false_dips",
    "false_segments",
    "missed_dips",
    "false_resonances",
    "missed_resonances",
    "withheld",
)


def draw(name, number, seed=1):
    """Sweep ``number`` of a set, the same whatever else is measured."""
    return SETS[name](np.random.default_rng([seed, list(SETS).index(name), number]))


def measure(sweeps, seed=1, names=tuple(SETS)):
    """The named sets with so many sweeps."""
    tallies = [Tally(name) for name in names]
    for tally in tallies:
        for number in range(sweeps):
            before = [getattr(tally, name) for name in _FALSE_OR_MISSED]
            judge(tally, draw(tally.name, number, seed))
            for name, was in zip(_FALSE_OR_MISSED, before, strict=True):
                if getattr(tally, name) > was:
                    tally.numbers.setdefault(name, []).append(number)
    return tallies


def print_table(sets):
    """One line a set."""
    print(
        f"{'set':<14}{'sweeps':>7}{'false dip':>11}{'segment':>9}{'missed':>8}{'in gaps':>9}"
        f"{'false X=0':>11}{'missed':>8}{'aliased':>9}{'withheld of sound':>20}"
        "   p95 and worst error of |G|"
    )
    for row in sets:
        errors = "; ".join(
            f"{name} {np.percentile(found, 95):.4f} {max(found):.3f} ({len(found)})"
            for name, found in row.errors.items()
        )
        print(
            f"{row.name:<14}{row.sweeps:>7}{row.false_dips:>11}{row.false_segments:>9}"
            f"{row.missed_dips:>8}{row.in_gaps:>9}{row.false_resonances:>11}{row.missed_resonances:>8}"
            f"{row.aliased:>9}{row.withheld:>12} of {row.sound:<5}   {errors}"
        )
    for row in sets:
        for name, numbers in row.numbers.items():
            print(f"{row.name}: {name.replace('_', ' ')} in {', '.join(map(str, numbers))}")


if __name__ == "__main__":
    own_sweeps = int(sys.argv[1]) if len(sys.argv) > 1 else 1000
    print_table(measure(own_sweeps, names=tuple(sys.argv[2:]) or tuple(SETS)))
