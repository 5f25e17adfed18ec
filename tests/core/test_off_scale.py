"""An SWR beyond the meter's scale is a lower bound from the file to every output."""

from __future__ import annotations

import numpy as np
import pytest
from circuits import SeriesCircuit

from fairlead.core import Analyses, Band, Bench, as_csv, as_json, as_text, compare, load_bench
from fairlead.core.analysis.analysis import analyse
from fairlead.core.analysis.bare import bare_analysis
from fairlead.core.bench_file import bench_to_bytes, save_bench
from fairlead.core.errors import FairleadError, SweepError
from fairlead.core.export import as_csv as sweep_as_csv
from fairlead.core.figures import figures, swr_at
from fairlead.core.reading import read_sweeps
from fairlead.core.reflection import magnitude_from_swr
from fairlead.core.soundness.checks import check_sweep
from fairlead.core.sweep import ScalarSweep
from fairlead.core.transform.frequency_scale import FrequencyScale
from fairlead.core.transform.transformer import TransformerRemoved
from fairlead.core.uncertainty.highest import highest_within
from fairlead.core.uncertainty.intervals import assess
from fairlead.core.views.points import Sample
from fairlead.core.views.return_loss import RETURN_LOSS
from fairlead.core.views.swr import SWR

TABLE = """Frequency (MHz),SWR
49.0,OL
49.5,> 10
50.0,3.4
50.2,2.6
50.4,2.0
50.6,1.5
50.8,1.2
51.0,1.3
51.2,1.7
51.4,2.2
51.6,2.9
52.0,>10
52.5,inf
"""
BAND = Band(50e6, 52e6)


def meter(text=TABLE):
    (reading,) = read_sweeps(text.encode(), "meter.csv")
    return reading


def bench_of(text=TABLE, band=BAND):
    return Bench().with_band(band).with_readings([meter(text)])


def sweep_of(*ratios, low_hz=50e6, step_hz=0.25e6):
    """Of SWR values; negative ones are bounds."""
    ratios = np.array(ratios)
    hz = low_hz + step_hz * np.arange(ratios.size)
    return ScalarSweep(hz, magnitude_from_swr(np.abs(ratios)), 50.0, ratios < 0)


def test_edge_and_worst_are_lower_bounds():
    found = figures(meter().sweep, BAND, 50.0)
    assert found.swr_low_edge == pytest.approx(3.4)
    assert (found.swr_high_edge, found.worst_swr) == (10.0, 10.0)
    assert found.at_least == {"swr_high_edge", "worst_swr", "worst_mismatch_loss_db"}
    assert found.worst_hz is None
    assert "beyond the meter's scale" in found.why_not["worst_hz"]
    assert found.best_match_swr == pytest.approx(1.18, abs=0.02)


def test_between_a_reading_and_a_bound_at_least_the_reading_is_known():
    sweep = meter().sweep
    assert swr_at(analyse(sweep, 50.0), 51.8e6) == pytest.approx(2.9)
    found = figures(sweep, Band(50e6, 51.8e6), 50.0)
    assert "swr_high_edge" in found.at_least
    assert found.worst_swr == pytest.approx(3.4)
    assert "worst_swr" in found.at_least


def test_within_the_scale_nothing_is_a_bound():
    found = figures(meter().sweep, Band(50e6, 51.6e6), 50.0)
    assert not found.at_least
    assert found.worst_swr == pytest.approx(3.4)


def test_the_curve_beside_a_bound_does_not_bend_to_it():
    """Without the bounds the readings give the same crossings."""
    (inside,) = read_sweeps(
        "".join(line + "\n" for line in TABLE.splitlines() if "OL" not in line)
        .replace("49.5,> 10\n", "")
        .replace("52.0,>10\n52.5,inf\n", "")
        .encode(),
        "inside.csv",
    )
    assert inside.sweep.is_bound is None
    for limit in (1.5, 2.0, 2.5):
        own, other = (
            figures(sweep, BAND, 50.0, limit).main_segment
            for sweep in (meter().sweep, inside.sweep)
        )
        assert own.low_hz == pytest.approx(other.low_hz, abs=2e3)
        assert own.high_hz == pytest.approx(other.high_hz, abs=2e3)


def test_a_limit_that_is_reached_beside_a_bound_leaves_the_end_open():
    dip = SeriesCircuit(51e6, 60.0, 8.0).swr(np.arange(49.5e6, 51.6e6, 0.25e6))
    found = figures(sweep_of(-5, *dip, -5, low_hz=49.25e6), BAND, 50.0, 1.5)
    segment = found.main_segment
    assert not segment.low_is_open
    assert (segment.high_hz, segment.high_is_open) == (51.5e6, True)
    assert found.usable_width_hz is None


@pytest.mark.parametrize(
    ("bound", "limit", "covers", "words"),
    [
        (10, 2.0, "no", "SWR > 10 in a part of the band, over the limit of 2"),
        (1.8, 2.0, "cannot tell", "within what the meter could show"),
        (2.0, 2.0, "no", "over the limit"),
    ],
)
def test_the_verdict_goes_by_the_bound(bound, limit, covers, words):
    found = figures(sweep_of(-bound, 1.6, 1.4, 1.2, 1.1, 1.2, 1.4, 1.6, -bound), BAND, 50.0, limit)
    assert found.verdict.covers == covers
    assert words in found.verdict.reason
    within = highest_within(analyse(sweep_of(1, 2), 50.0), found, {}, None)
    assert (within.low, within.high) == (bound, np.inf)


def test_no_best_match_is_claimed_beside_a_bound():
    wide = Band(50e6, 53e6)
    found = figures(
        sweep_of(*[3.6, 3.3, 3, 2.7, 2.4, 2.1], -5, -5, *[2.6, 2.9, 3.2, 3.5, 3.8]), wide, 50.0
    )
    assert found.best_match_hz is None
    assert "off the meter's scale" in found.why_not["best_match_hz"]


def test_a_lonely_reading_between_bounds_is_no_best_match():
    found = figures(sweep_of(-5, 2.0, -5, -5, -5, -5, -5, -5, -5), BAND, 50.0)
    assert found.best_match_hz is None


@pytest.mark.parametrize(
    ("sweep", "band"),
    [
        (sweep_of(-9, 3.0, 1.2, 3.0, 1.2, 3.0, 1.2, -9), Band(50e6, 51.75e6)),
        (sweep_of(2.0, 1.8, 1.6, 1.4, 1.2, 1.5, 1.9, -9), Band(50e6, 54e6)),
    ],
)
def test_the_worst_is_beyond_a_bound_also_where_there_is_a_gap_or_the_sweep_ends(sweep, band):
    found = figures(sweep, band, 50.0)
    assert (found.worst_swr, found.verdict.covers) == (9, "no")
    assert "worst_swr" in found.at_least
    assert "worst_swr" not in found.why_not


def test_a_gap_stays_one_beside_bounds():
    sweep = sweep_of(-9, 3.0, 1.2, 3.0, 1.2, 3.0, 1.2, -9)
    analysis = analyse(sweep, 50.0)
    assert analysis.gaps == ((50.25e6, 51.5e6),)
    assert figures(sweep, BAND, 50.0).best_match_hz is None


def test_a_sweep_of_nothing_but_bounds_has_no_best_match():
    found = figures(sweep_of(-10, -10, -10, -10), Band(50e6, 50.75e6), 50.0)
    assert found.best_match_hz is None
    assert (found.worst_swr, found.verdict.covers) == (10.0, "no")


def test_two_dips_with_a_bound_between_are_each_followed():
    ratios = SeriesCircuit(51e6, 60.0, 30.0).swr(np.arange(50.2e6, 51.85e6, 0.1e6))
    sweep = sweep_of(*ratios, -9, *ratios, low_hz=50.2e6, step_hz=0.1e6)
    low, high = (figures(sweep, Band(a, b), 50.0) for a, b in ((50.8e6, 51.2e6), (52.6e6, 53e6)))
    assert low.best_match_hz == pytest.approx(51e6, abs=5e3)
    assert high.best_match_hz == pytest.approx(52.8e6, abs=5e3)


def test_no_check_takes_a_bound_for_a_value():
    sweep = sweep_of(*[-3] * 20, 2.5, 1.9, 1.5, 1.3, 1.5, 1.9, 2.5, *[-3] * 20, step_hz=1e6)
    assert {one.code for one in check_sweep(analyse(sweep, 50.0))} <= {"points-too-far-apart"}


def test_no_interval_is_made_up_from_bounds():
    analysis = analyse(meter().sweep, 50.0)
    own = figures(meter().sweep, BAND, 50.0)
    assert assess(analysis, own, BAND, 2.0).intervals == {}
    assert bare_analysis(meter().sweep, 50.0, "odd").is_bound.sum() == 4


def test_every_text_says_so():
    bench = bench_of()
    assert "Worst SWR                         > 10\n" in as_text(bench)
    header, row = (line.split(",") for line in as_csv(bench).splitlines())
    cells = dict(zip(header, [*row, ""], strict=False))
    assert "> 10" in row
    assert cells["label"] == "meter"
    (found,) = as_json(bench)["sweeps"]
    assert found["worst_swr"] == 10
    assert found["at_least"] == ["swr_high_edge", "worst_mismatch_loss_db", "worst_swr"]


def test_two_bounds_have_no_difference():
    bench = bench_of().with_readings([meter()])
    _, row = compare(bench, Analyses())
    assert row.change.worst_swr_change is None
    assert row.change.best_match_swr_change == pytest.approx(0)


def test_an_exported_table_reads_back_as_the_same_sweep():
    (entry,) = bench_of().entries
    text = sweep_as_csv(entry)
    assert "49500000,> 10,< 1.743" in text
    (again,) = read_sweeps(text.encode(), "again.csv")
    assert again.sweep.is_bound.tolist() == entry.sweep.is_bound.tolist()
    np.testing.assert_allclose(again.sweep.magnitude, entry.sweep.magnitude, rtol=1e-5)


def test_a_bench_keeps_them(tmp_path):
    save_bench(bench_of(), tmp_path / "b.fairlead")
    again = load_bench(tmp_path / "b.fairlead")
    assert again.entries[0].measured == meter().sweep
    assert again.entries[0].measured.is_bound.sum() == 4
    assert b'"bounds"' not in bench_to_bytes(bench_of("MHz,SWR\n50,2\n51,1.5\n52,2\n"))


@pytest.mark.parametrize("bounds", ["[\n     13\n    ]", "[\n     -1\n    ]"])
def test_bounds_of_points_that_do_not_exist_are_refused(tmp_path, bounds):
    path = tmp_path / "b.fairlead"
    lines = bench_to_bytes(bench_of()).decode()
    start = lines.index('"bounds": ') + len('"bounds": ')
    text = lines[:start] + bounds + lines[lines.index("]", start) + 1 :]
    kept = [line for line in text.splitlines() if '"checksum"' not in line]
    path.write_text("\n".join(kept), "utf-8")
    with pytest.raises(FairleadError):
        load_bench(path)


def test_steps_keep_them():
    sweep = meter().sweep
    for step in (FrequencyScale(1.0), TransformerRemoved(1.0, 0.5)):
        assert step.applied(sweep).is_bound.tolist() == sweep.is_bound.tolist()


def test_sweeps_differ_by_their_bounds():
    hz, rho = [1e6, 2e6], [0.1, 0.5]
    plain, bound = ScalarSweep(hz, rho), ScalarSweep(hz, rho, 50.0, [False, True])
    assert plain != bound
    assert bound != plain
    assert bound == ScalarSweep(hz, rho, 50.0, [False, True])
    assert bound != ScalarSweep(hz, rho, 50.0, [True, True])
    assert plain == ScalarSweep(hz, rho, 50.0, [False, False])
    with pytest.raises(SweepError, match="shape"):
        ScalarSweep(hz, rho, 50.0, [True])


def test_a_plot_has_a_mark_and_no_value_there():
    analysis = analyse(meter().sweep, 50.0)
    for quantity, words in ((SWR, "SWR > 10"), (RETURN_LOSS, "Return loss < 1.7 dB")):
        assert quantity.edge_points(analysis).tolist() == [0, 1, 11, 12]
        assert np.isnan(quantity.values(analysis)[[0, 1, 11, 12]]).all()
        assert quantity.text_at(analysis, 11).startswith(words)
    between = SWR.values(Sample.between(analysis, np.array([51.6e6, 51.7e6, 52e6])))
    assert np.isnan(between).tolist() == [False, True, True]
