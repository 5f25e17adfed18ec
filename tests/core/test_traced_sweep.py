"""A traced sweep in figures, files and steps: its uncertainty is given, its gaps stay closed."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from fairlead.core.analysis.analysis import analyse
from fairlead.core.bands import Band
from fairlead.core.comparison.knowledge import compare_known
from fairlead.core.document.bench import Bench
from fairlead.core.document.entry import Entry
from fairlead.core.errors import ReadError, SweepError
from fairlead.core.export import as_csv, as_touchstone
from fairlead.core.figure_table import shown
from fairlead.core.figures import figures_of
from fairlead.core.reading import read_sweeps
from fairlead.core.report import as_json, as_text
from fairlead.core.sweep import ScalarSweep, Sweep
from fairlead.core.traced import Traced
from fairlead.core.transform.frequency_scale import FrequencyScale
from fairlead.core.transform.renormalise import Renormalise
from fairlead.core.uncertainty.intervals import assess
from fairlead.core.uncertainty.traced_dip import traced_dip

HZ = np.linspace(50e6, 54e6, 401)
BEST_HZ = 51.8e6
BAND = Band(50.8e6, 52.6e6)


def impedance(hz):
    return 56 * (1 + 14j * (hz / BEST_HZ - BEST_HZ / hz))


def rho_of(hz):
    z = impedance(hz)
    return np.abs((z - 50) / (z + 50))


def scalar(seed=1, sigma=0.002, lost=(), keep=None, **more):
    """With errors that neighbours share, as those of a traced line are."""
    rng = np.random.default_rng(seed)
    errors = np.convolve(rng.normal(0, 1, HZ.size + 2), np.ones(3) / 3, "valid") * sigma
    rho = np.maximum(rho_of(HZ) + errors, 0)
    kept = np.ones(HZ.size, bool) if keep is None else keep
    traced = Traced(np.full(int(kept.sum()), sigma), lost, 2e3, 3.0, "12" * 32, **more)
    return ScalarSweep(HZ[kept], rho[kept], 50.0, traced=traced)


def assessed(sweep, band=BAND, limit_swr=2.0):
    analysis = analyse(sweep, 50.0)
    return assess(analysis, figures_of(analysis, band, limit_swr), band, limit_swr)


def test_the_given_uncertainty_stands_for_the_noise():
    analysis = analyse(scalar(), 50.0)
    assert analysis.sigma == 0.002
    assert analysis.outliers.size == 0


def test_intervals_hold_the_truth_and_are_wider_than_the_axis():
    held = []
    for seed in range(12):
        known = assessed(scalar(seed))
        best = known.intervals["best_match_hz"]
        assert best.repeatability is None
        held.append(best.accuracy.low <= BEST_HZ <= best.accuracy.high)
        assert best.accuracy.half_width > 1.96 * 2e3
        assert known.figures.best_match_hz == pytest.approx(BEST_HZ, abs=20e3)
    assert sum(held) >= 11
    swr = known.intervals["swr_low_edge"].accuracy
    true = float((1 + rho_of(BAND.low_hz)) / (1 - rho_of(BAND.low_hz)))
    assert swr.low < true < swr.high
    width = known.intervals["usable_width_hz"].accuracy
    ends = [known.intervals[f"usable_{end}_hz"].accuracy for end in ("low", "high")]
    assert width.half_width < ends[0].half_width + ends[1].half_width
    assert set(known.intervals) >= {"worst_swr", "worst_mismatch_loss_db", "best_match_swr"}


def test_ends_beyond_the_sweep_or_on_a_level_part_have_no_interval():
    for keep, band, is_open, other in (
        (HZ < BEST_HZ + 0.1e6, Band(51e6, 51.85e6), "high", "low"),
        (HZ > BEST_HZ - 0.1e6, Band(51.75e6, 52.5e6), "low", "high"),
    ):
        known = assessed(scalar(keep=keep), band)
        assert f"usable_{is_open}_hz" not in known.intervals
        assert "usable_width_hz" not in known.intervals
        assert f"usable_{other}_hz" in known.intervals


def test_a_few_points_have_a_best_match_without_an_interval():
    few = np.arange(HZ.size) % 40 == 20
    known = assessed(scalar(keep=few, sigma=1e-5), Band(50.4e6, 53.4e6))
    assert known.figures.best_match_hz == pytest.approx(BEST_HZ, abs=60e3)
    assert "best_match_hz" not in known.intervals


def test_a_total_reflection_is_open_upwards():
    rho = np.minimum(rho_of(HZ) * 2.2, 0.985)
    sigma = np.where(HZ < 50.5e6, 0.01, 0.003)
    sweep = ScalarSweep(HZ, rho, traced=Traced(sigma))
    known = assessed(sweep, Band(50e6, 53e6))
    assert known.intervals["swr_low_edge"].accuracy.high == np.inf


def test_a_complex_traced_sweep_has_a_resonance_with_an_interval():
    z = impedance(HZ) + 3
    rng = np.random.default_rng(3)
    noise = rng.normal(0, 0.001, (2, HZ.size))
    gamma = (z - 50) / (z + 50) + noise[0] + 1j * noise[1]
    sweep = Sweep(HZ, gamma, 50.0, Traced(np.full(HZ.size, 0.001), frequency_sigma_hz=1e3))
    known = assessed(sweep)
    assert known.intervals["resonance_hz"].accuracy.half_width > 1.96e3
    assert known.intervals["q"].accuracy is not None


@pytest.mark.parametrize("gap_hz", [(51.6e6, 52.0e6), (51.82e6, 52.2e6)])
def test_no_best_match_where_the_dip_may_be_lost(gap_hz):
    keep = (gap_hz[0] >= HZ) | (gap_hz[1] <= HZ)
    before = int(np.flatnonzero(keep)[HZ[keep] <= gap_hz[0]].max())
    found = assessed(scalar(lost=(before,), keep=keep)).figures
    assert found.best_match_hz is None
    assert "trace it by hand" in found.why_not["best_match_hz"]
    assert found.worst_swr is None
    assert found.swr_low_edge is not None


def test_a_gap_on_a_steep_side_hides_no_dip():
    keep = (HZ <= 50.95e6) | (HZ >= 51.05e6)
    before = int(np.flatnonzero(HZ[keep] <= 50.95e6).max())
    known = assessed(scalar(lost=(before,), keep=keep))
    assert known.figures.best_match_hz == pytest.approx(BEST_HZ, abs=20e3)


def test_a_dip_needs_points_and_a_bottom():
    few = Traced(np.full(8, 0.01))
    assert traced_dip(HZ[:8], rho_of(HZ[:8]) ** 2, few, float(HZ[4])) is None
    falling = HZ < BEST_HZ - 0.3e6
    part = HZ[falling]
    traced = Traced(np.full(part.size, 0.001))
    assert traced_dip(part, rho_of(part) ** 2, traced, float(part[-1])) is None
    rough = rho_of(HZ) + 0.03 * (-1.0) ** np.arange(HZ.size)
    traced = Traced(np.full(HZ.size, 0.001))
    assert traced_dip(HZ, np.abs(rough) ** 2, traced, BEST_HZ) is None


def entry(sweep, **more):
    return Entry(1, sweep, "plot", **more)


def test_a_table_says_that_it_was_traced_and_is_read_back_so():
    sweep = scalar(lost=(100, 250))
    text = as_csv(entry(sweep))
    (reading,) = read_sweeps(text.encode(), "a.csv")
    again = reading.sweep
    assert again.frequency_hz.tolist() == sweep.frequency_hz.tolist()
    assert again.traced.sigma == pytest.approx(sweep.traced.sigma)
    assert again.traced.lost_after == (100, 250)
    assert again.traced.picture_sha256 == "12" * 32
    assert reading.notices[-1].text == "traced from a picture: not a measurement"


def test_touchstone_carries_the_largest_uncertainty():
    z = impedance(HZ)
    traced = Traced(np.linspace(0.001, 0.004, HZ.size), (7,))
    sweep = Sweep(HZ, (z - 50) / (z + 50), 50.0, traced)
    (reading,) = read_sweeps(as_touchstone(entry(sweep)).encode(), "a.s1p")
    assert set(reading.sweep.traced.sigma) == {0.004}
    assert reading.sweep.traced.lost_after == (7,)


def test_comments_that_contradict_each_other_are_refused_or_ignored():
    text = as_csv(entry(scalar()))
    lines = text.splitlines()
    table = [line.rsplit(",", 1)[0] for line in lines if not line.startswith("#")]
    mark = next(line for line in lines if "not measured" in line)
    with pytest.raises(ReadError, match="but not how well"):
        read_sweeps("\n".join([mark, *table]).encode(), "a.csv")
    other = "# not traced from a picture at all"
    (reading,) = read_sweeps("\n".join([other, *table]).encode(), "a.csv")
    assert reading.sweep.traced is None
    wild = text.replace("share their error: 3", "share their error: 0")
    with pytest.raises(ReadError, match="uncertainty of a traced frequency"):
        read_sweeps(wild.encode(), "a.csv")
    rows = text.replace(",0.002\n", ",unknown\n")
    (reading,) = read_sweeps(rows.encode(), "a.csv")
    assert set(reading.sweep.traced.sigma) == {0.002}


@pytest.mark.parametrize(
    ("change", "words"),
    [
        ({"sigma": np.array([0.1, -0.1])}, "not a positive number"),
        ({"frequency_sigma_hz": -1.0}, "uncertainty of a traced frequency"),
        ({"alike_points": 0.5}, "uncertainty of a traced frequency"),
        ({"picture_sha256": "abc"}, "64 hexadecimal digits"),
        ({"lost_after": (1,)}, "not between two points"),
    ],
)
def test_what_cannot_be_is_refused(change, words):
    with pytest.raises(SweepError, match=words):
        replace(Traced(np.array([0.1, 0.1])), **change)


def test_sweeps_differ_by_how_they_were_traced():
    plain = replace(scalar(), traced=None)
    assert len({plain, scalar(), replace(scalar())}) == 2
    assert scalar() != plain
    assert Traced(np.array([0.1, 0.1])) != 3
    with pytest.raises(SweepError, match="401 frequencies but 2 uncertainties"):
        replace(scalar(), traced=Traced(np.array([0.1, 0.1])))


def test_steps_carry_the_uncertainty_along():
    moved = entry(scalar(lost=(5,)), steps=(FrequencyScale(10.0),)).sweep
    assert moved.traced.lost_after == (5,)
    assert moved.traced.frequency_sigma_hz == pytest.approx(2.2e3)
    z = impedance(HZ)
    sweep = Sweep(HZ, (z - 50) / (z + 50), 50.0, Traced(np.full(HZ.size, 0.001)))
    other = entry(sweep, steps=(Renormalise(75.0),)).sweep
    at = int(np.abs(z - 50).argmin())
    assert other.traced.sigma[at] > 0.001
    assert (other.traced.sigma >= 0.001).all()
    scaled = analyse(scalar(), 50.0).scaled(2.0)
    assert scaled.traced.frequency_sigma_hz == 4e3


def test_every_output_carries_the_mark():
    bench = Bench((entry(scalar()),), reference_key=1, next_key=2, band=BAND, has_own_band=True)
    text = as_text(bench)
    assert "traced from a picture" in text
    assert "± covers 95 % of what the picture leaves open of traced sweeps." in text
    (told,) = as_json(bench)["sweeps"]
    assert told["traced"]["picture_sha256"] == "12" * 32
    assert told["traced"]["magnitude_sigma"] == 0.002
    measured = Entry(2, Sweep(HZ, 0.3 * np.exp(1j * HZ / 1e6)), "measured")
    both = replace(bench, entries=(*bench.entries, measured), next_key=3)
    assert as_json(both)["sweeps"][1]["traced"] is None


def test_a_cell_says_what_its_interval_is_of():
    bench = Bench((entry(scalar()),), reference_key=1, next_key=2, band=BAND, has_own_band=True)
    (row,) = compare_known(bench)
    spec = next(one for one in shown("text") if one.key == "best_match_hz")
    assert "Traced from a picture, it is between" in spec.tip(row)
