"""What an unfriendly examiner would try: few points, odd bands, loads that are no antennas."""

from __future__ import annotations

import math

import numpy as np
import pytest
from circuits import (
    C_M_PER_S,
    ParallelCircuit,
    SeriesCircuit,
    behind_line,
    complex_noise,
    reflection_of,
)

from fairlead.core.analysis.analysis import analyse
from fairlead.core.bands import Band
from fairlead.core.errors import SweepError
from fairlead.core.figures import figures, swr_at
from fairlead.core.sweep import ScalarSweep, Sweep

GRID_HZ = np.linspace(48e6, 54e6, 101)
CIRCUIT = SeriesCircuit(51e6, 62, 8)
BAND = Band(50e6, 52e6)


def flat(value, count=101):
    return Sweep(np.linspace(48e6, 54e6, count), np.full(count, value))


def antenna(circuit=CIRCUIT, frequency_hz=GRID_HZ, z0_ohm=50.0):
    return Sweep(frequency_hz, circuit.reflection(frequency_hz, z0_ohm), z0_ohm)


class TestFewPoints:
    @pytest.mark.parametrize("count", [2, 3, 4])
    def test_too_few_points_give_what_they_show_and_nothing_between_them(self, count):
        own = figures(Sweep(np.linspace(50e6, 52e6, count), np.linspace(0.2, 0.4, count)), BAND, 50)
        assert (own.swr_low_edge, own.swr_high_edge) == pytest.approx((1.5, 1.4 / 0.6))
        assert own.best_match_hz is own.best_match_swr is own.worst_swr is own.q is None
        assert own.resonances == ()
        assert own.why_not["best_match_hz"].startswith("points too far apart")
        assert own.gaps == ((50e6, 52e6),)
        assert own.points_wanted > count
        # A point below the limit says so of itself; two of them with no more |G| between them than
        # half their distance above their mean belong to one segment.
        assert all(one.low_is_open and one.high_is_open for one in own.usable)
        assert own.usable[0].low_hz == 50e6
        assert len(own.usable) == {2: 1, 3: 2, 4: 1}[count]
        assert own.usable[-1].high_hz < 52e6
        assert own.verdict.covers == "no"

    def test_no_segment_leads_from_one_side_of_the_chart_to_the_other(self):
        """Both points are below the limit, and the curve may be anywhere between them."""
        own = figures(Sweep([50e6, 51e6, 52e6], [0.3, 0.3j, -0.3]), BAND, 50.0)
        assert [(one.low_hz, one.high_hz) for one in own.usable] == [
            (50e6, 50e6),
            (51e6, 51e6),
            (52e6, 52e6),
        ]
        assert all(one.low_is_open and one.high_is_open for one in own.usable)

    def test_without_phase_no_segment_leads_across_a_gap(self):
        """Points too few to tell whether the curve stays below the limit between them."""
        own = figures(ScalarSweep([50e6, 51e6, 52e6], [0.1, 0.2, 0.1]), BAND, 50.0)
        assert [(one.low_hz, one.high_hz) for one in own.usable] == [
            (50e6, 50e6),
            (51e6, 51e6),
            (52e6, 52e6),
        ]
        assert all(one.low_is_open and one.high_is_open for one in own.usable)

    def test_without_phase_a_dip_below_zero_divides_no_segment(self):
        """The cubic of |G|^2 goes below zero beside a match; the points are close enough."""
        frequency_hz = np.linspace(49e6, 53e6, 60)
        magnitude = np.abs(frequency_hz - 51.03e6) / 4e6
        own = analyse(ScalarSweep(frequency_hz, magnitude), 50.0)
        assert (own.track.is_straight & ~own.track.is_unsupported).any()
        assert len(own.usable(2.0)) == 1

    def test_no_match_is_made_up_between_open_and_short(self):
        own = figures(Sweep([50e6, 52e6], [1, -1]), BAND, 50.0)
        assert own.best_match_swr is None
        assert own.swr_low_edge == own.swr_high_edge == own.highest_swr == math.inf
        assert own.usable == ()
        assert own.resonances == ()

    def test_no_match_is_made_up_where_neighbours_lie_far_apart(self):
        own = figures(Sweep([50e6, 51e6, 52e6], [0.6j, -0.6j, 0.6j]), BAND, 50.0)
        assert own.best_match_swr is None
        assert own.highest_swr == pytest.approx(4)
        assert own.resonances == ()

    def test_five_points_are_enough_for_q(self):
        own = figures(antenna(frequency_hz=np.linspace(50e6, 52e6, 5)), BAND, 50.0)
        assert own.q == pytest.approx(8, rel=1e-3)

    @pytest.mark.parametrize("count", [2, 3, 4, 5, 6, 7])
    def test_every_small_count_has_figures(self, count):
        frequency_hz = np.linspace(50e6, 52e6, count)
        own = figures(antenna(frequency_hz=frequency_hz), BAND, 50.0)
        assert own.points == count
        assert own.covers_band
        assert (own.best_match_swr is None) == (count < 5)


class TestWhereTheBandLies:
    def test_a_band_between_two_points(self):
        own = figures(antenna(), Band(51.61e6, 51.65e6), 50.0)
        assert own.covers_band
        assert own.swr_low_edge == pytest.approx(CIRCUIT.swr(51.61e6), rel=1e-6)
        assert own.swr_high_edge == pytest.approx(CIRCUIT.swr(51.65e6), rel=1e-6)
        assert own.worst_hz == 51.65e6
        # The SWR keeps falling outside the band, but its dip lies many widths of the band away.
        assert own.best_match_hz is own.best_match_swr is None
        assert "keeps falling outside the band" in own.why_not["best_match_hz"]

    def test_a_dip_beyond_the_edge_serves_the_band_and_is_labelled(self):
        own = figures(antenna(), Band(51.5e6, 52.1e6), 50.0)
        assert own.best_match_hz == pytest.approx(51e6, abs=100)
        assert not own.best_match_in_band
        assert figures(antenna(), BAND, 50.0).best_match_in_band

    def test_a_band_between_two_points_that_holds_the_dip(self):
        circuit = SeriesCircuit(51.03e6, 62, 8)
        own = figures(antenna(circuit), Band(51.01e6, 51.05e6), 50.0)
        assert own.best_match_hz == pytest.approx(51.03e6, abs=100)

    @pytest.mark.parametrize("band", [Band(40e6, 47e6), Band(55e6, 60e6)])
    def test_a_band_outside_the_sweep_has_no_figures(self, band):
        own = figures(antenna(), band, 50.0)
        assert not own.covers_band
        for name in ("best_match_hz", "best_match_swr", "swr_low_edge", "worst_swr", "q"):
            assert getattr(own, name) is None, name
        assert own.usable == own.resonances == ()
        assert own.usable_width_hz is own.main_segment is own.main_resonance is None
        assert own.best_match_at_end is False

    @pytest.mark.parametrize(
        ("band", "low", "high"),
        [(Band(47e6, 52e6), None, 52e6), (Band(53e6, 60e6), 53e6, None)],
    )
    def test_a_band_half_outside_has_no_worst_swr(self, band, low, high):
        own = figures(antenna(), band, 50.0)
        assert not own.covers_band
        assert own.worst_swr is own.worst_hz is own.worst_mismatch_loss_db is None
        for value, edge_hz in ((own.swr_low_edge, low), (own.swr_high_edge, high)):
            if edge_hz is None:
                assert value is None
            else:
                assert value == pytest.approx(CIRCUIT.swr(edge_hz), rel=1e-6)

    def test_a_band_wider_than_the_sweep(self):
        own = figures(antenna(), Band(10e6, 100e6), 50.0)
        assert own.best_match_hz == pytest.approx(51e6, abs=100)
        assert own.worst_swr is None

    def test_a_band_that_touches_the_sweep_in_one_point(self):
        own = figures(antenna(), Band(54e6, 55e6), 50.0)
        assert own.swr_low_edge == pytest.approx(CIRCUIT.swr(54e6), rel=1e-6)
        assert own.best_match_hz is None
        assert not own.best_match_at_end

    def test_an_edge_that_a_files_rounding_puts_outside_is_inside(self):
        """0.0501 GHz is 50.099999999999994 MHz: a band from 50.1 MHz still has its edge."""
        frequency_hz = np.linspace(0.0501, 0.0521, 21) * 1e9
        frequency_hz[0] *= 1 + 1e-12
        own = figures(antenna(frequency_hz=frequency_hz), Band(50.1e6, 52.1e6), 50.0)
        assert own.covers_band
        assert own.swr_low_edge == pytest.approx(CIRCUIT.swr(50.1e6), rel=1e-6)

    def test_the_worst_of_the_band_may_lie_inside_it(self):
        """Two dips with a hump between: the edges are not the worst."""
        one, two = SeriesCircuit(50.3e6, 50, 60), SeriesCircuit(51.7e6, 50, 60)
        y = 1 / one.impedance_ohm(GRID_HZ) + 1 / two.impedance_ohm(GRID_HZ)
        own = figures(Sweep(GRID_HZ, (1 - 50 * y) / (1 + 50 * y)), Band(50.2e6, 51.8e6), 50.0)
        assert 50.9e6 < own.worst_hz < 51.1e6
        assert own.worst_swr > max(own.swr_low_edge, own.swr_high_edge)

    def test_the_better_of_two_dips_in_the_band_wins(self):
        one, two = SeriesCircuit(50.3e6, 80, 60), SeriesCircuit(51.7e6, 55, 60)
        y = 1 / one.impedance_ohm(GRID_HZ) + 1 / two.impedance_ohm(GRID_HZ)
        sweep = Sweep(GRID_HZ, (1 - 50 * y) / (1 + 50 * y))
        assert figures(sweep, BAND, 50.0).best_match_hz > 51e6
        assert figures(sweep, Band(50e6, 51e6), 50.0).best_match_hz < 51e6


class TestDipsAtTheEnd:
    @pytest.mark.parametrize("end", ["low", "high"])
    def test_a_sweep_that_starts_or_stops_inside_the_dip(self, end):
        low_hz, high_hz = (51.2e6, 60e6) if end == "low" else (42e6, 50.8e6)
        frequency_hz = np.linspace(low_hz, high_hz, 101)
        own = figures(antenna(frequency_hz=frequency_hz), Band(50e6, 52e6), 50.0)
        assert own.best_match_hz == (51.2e6 if end == "low" else 50.8e6)
        assert own.best_match_at_end
        assert own.q is None
        (segment,) = own.usable
        assert (segment.low_is_open, segment.high_is_open) == (end == "low", end == "high")
        assert own.usable_width_hz is None

    def test_above_the_limit_at_the_end_the_width_is_unknown_not_zero(self):
        frequency_hz = np.linspace(53.5e6, 60e6, 101)
        own = figures(antenna(frequency_hz=frequency_hz), Band(54e6, 56e6), 50.0)
        assert own.best_match_at_end
        assert own.usable == ()
        assert own.usable_width_hz is None

    def test_a_slope_that_bottoms_just_inside_is_no_end(self):
        frequency_hz = np.linspace(50.9e6, 60e6, 101)
        own = figures(antenna(frequency_hz=frequency_hz), Band(51e6, 52e6), 50.0)
        assert not own.best_match_at_end
        assert own.best_match_hz == pytest.approx(51e6, abs=200)

    def test_a_small_rise_does_not_stop_the_way_down(self):
        """A ripple of 0.01 in |G| on the slope, as connectors make it, is not the bottom."""
        ripple = 0.008 * np.sin(2 * np.pi * (GRID_HZ - 48e6) / 0.5e6)
        rho = np.abs(CIRCUIT.reflection(GRID_HZ)) + ripple
        own = figures(Sweep(GRID_HZ, rho), Band(52e6, 53.5e6), 50.0)
        assert own.best_match_hz == pytest.approx(51e6, abs=0.3e6)

    def test_a_real_rise_stops_it(self):
        """Two dips 3 MHz apart: the band beside the high one does not get the low one."""
        one, two = SeriesCircuit(49.5e6, 50, 80), SeriesCircuit(52.5e6, 60, 80)
        y = 1 / one.impedance_ohm(GRID_HZ) + 1 / two.impedance_ohm(GRID_HZ)
        sweep = Sweep(GRID_HZ, (1 - 50 * y) / (1 + 50 * y))
        own = figures(sweep, Band(52.8e6, 53.5e6), 50.0)
        assert own.best_match_hz == pytest.approx(52.5e6, abs=0.1e6)


class TestLoads:
    def test_a_perfect_load(self):
        own = figures(flat(0.0), BAND, 50.0)
        assert own.worst_swr == own.swr_low_edge == 1
        assert own.best_match_hz is own.best_match_swr is None
        assert own.why_not["best_match_hz"].startswith("flat")
        assert own.worst_mismatch_loss_db == 0
        assert own.resonances == ()
        assert own.q is None
        assert not own.best_match_at_end
        (segment,) = own.usable
        assert segment.low_is_open
        assert segment.high_is_open
        assert own.usable_width_hz is None

    @pytest.mark.parametrize("gamma", [0.2, 0.2 * np.exp(1j * np.pi), -1 / 3])
    def test_a_resistor_has_no_resonance_and_no_q(self, gamma):
        """X = 0 everywhere is no crossing; 0.2 exp(j pi) has an imaginary part by rounding."""
        own = figures(flat(gamma), BAND, 50.0)
        assert own.resonances == ()
        assert own.q is None
        assert own.best_match_swr is None
        assert own.worst_swr == pytest.approx((1 + abs(gamma)) / (1 - abs(gamma)))
        assert not own.best_match_at_end

    @pytest.mark.parametrize("z0_ohm", [50.0, 75.0, 12.5])
    @pytest.mark.parametrize("gamma", [1.0, -1.0])
    def test_open_and_short(self, gamma, z0_ohm):
        own = figures(flat(gamma), BAND, z0_ohm)
        for name in ("worst_swr", "swr_low_edge", "swr_high_edge"):
            assert getattr(own, name) == math.inf, name
        assert own.worst_mismatch_loss_db == math.inf
        assert own.usable == own.resonances == ()
        assert own.best_match_swr is own.usable_width_hz is None
        assert own.q is None
        assert own.above_one == 0

    @pytest.mark.parametrize("z0_ohm", [50.0, 75.0])
    def test_a_pure_reactance_has_no_q_and_no_finite_match(self, z0_ohm):
        inductor = reflection_of(2j * np.pi * GRID_HZ * 0.3e-6)
        own = figures(Sweep(GRID_HZ, inductor), BAND, z0_ohm)
        assert own.best_match_swr is None
        assert own.worst_swr > 1e6
        assert own.q is None
        assert own.usable == ()
        assert own.above_one == 0

    def test_an_open_stub_resonates_without_q(self):
        """17 m of line, open: shorts and opens by turns; the opens have no finite resistance."""
        gamma = behind_line(np.ones(101), GRID_HZ, 17)
        own = figures(Sweep(GRID_HZ, gamma), Band(48e6, 54e6), 50.0)
        quarter_hz = C_M_PER_S * 0.66 / 68
        shorts = [k * quarter_hz for k in range(1, 30, 2) if 48e6 < k * quarter_hz < 54e6]
        assert [row.frequency_hz for row in own.resonances] == pytest.approx(shorts, abs=100)
        assert [row.resistance_ohm for row in own.resonances] == pytest.approx(
            [0] * len(shorts), abs=1e-4
        )

    def test_above_one_is_counted_and_has_no_swr(self):
        gamma = 2.2 * CIRCUIT.reflection(GRID_HZ)
        own = figures(Sweep(GRID_HZ, gamma), Band(48e6, 54e6), 50.0)
        assert own.above_one == np.count_nonzero(np.abs(gamma) > 1) > 2
        assert own.worst_swr is own.highest_swr is None
        assert own.worst_mismatch_loss_db is None
        assert own.worst_hz == own.highest_hz == 48e6
        assert "above 1" in own.why_not["worst_swr"]
        assert own.verdict.covers == "cannot tell"
        assert own.best_match_hz == pytest.approx(51e6, abs=100)

    def test_above_one_everywhere(self):
        own = figures(flat(1.01), BAND, 50.0)
        assert own.above_one == 101
        assert own.best_match_swr is own.worst_swr is own.swr_low_edge is None
        assert own.best_match_hz is None
        assert "above 1" in own.why_not["worst_swr"]
        assert own.usable == ()

    def test_a_reflection_with_no_finite_value_elsewhere(self):
        """G = 5 at 50 ohm is -75 ohm: its reflection at 75 ohm is infinite."""
        own = figures(flat(5.0), BAND, 75.0)
        assert own.above_one == 101
        assert own.best_match_swr is None

    def test_a_limit_below_1_is_refused(self):
        with pytest.raises(SweepError, match="SWR below 1"):
            figures(antenna(), BAND, 50.0, 0.9)


class TestResonances:
    def test_a_parallel_resonance_falls_through_zero(self):
        circuit = ParallelCircuit(51.03e6, 70, 8)
        own = figures(antenna(circuit), BAND, 50.0)
        (found,) = own.resonances
        assert found.frequency_hz == pytest.approx(51.03e6, abs=20)
        assert found.resistance_ohm == pytest.approx(70, rel=1e-5)
        assert own.q == pytest.approx(8, rel=1e-4)

    def test_best_match_is_not_resonance(self):
        """An inductor in series moves the resonance; the best match is somewhere else."""
        z_ohm = CIRCUIT.impedance_ohm(GRID_HZ) * 0.5 + 2j * np.pi * GRID_HZ * 40e-9
        own = figures(Sweep(GRID_HZ, reflection_of(z_ohm)), BAND, 50.0)
        assert own.main_resonance.frequency_hz == pytest.approx(own.q_hz)
        resistive_ohm = np.interp(own.main_resonance.frequency_hz, GRID_HZ, z_ohm.real)
        assert own.main_resonance.resistance_ohm == pytest.approx(resistive_ohm, rel=1e-4)

    def test_a_multi_band_antenna_has_them_all(self):
        frequency_hz = np.linspace(5e6, 32e6, 1081)
        bands_mhz = (7.1, 14.2, 28.5)
        y = sum(
            1 / SeriesCircuit(mhz * 1e6, 60, 12).impedance_ohm(frequency_hz) for mhz in bands_mhz
        )
        sweep = Sweep(frequency_hz, (1 - 50 * y) / (1 + 50 * y))
        for mhz in bands_mhz:
            own = figures(sweep, Band(mhz * 0.99e6, mhz * 1.01e6), 50.0)
            assert own.best_match_hz == pytest.approx(mhz * 1e6, rel=0.02)
            assert own.main_segment.width_hz < 0.2 * mhz * 1e6
            assert own.main_resonance.frequency_hz == pytest.approx(mhz * 1e6, rel=0.02)
        everything = figures(sweep, Band(5e6, 32e6), 50.0)
        assert len(everything.usable) == 3
        # Between two series resonances there is a parallel one.
        assert len(everything.resonances) == 5

    def test_a_line_of_more_than_an_eighth_of_a_turn_a_step_hides_them(self):
        """30 m: a delay longer by a turn a step would give the same points."""
        frequency_hz = np.linspace(1e6, 60e6, 101)
        gamma = behind_line(np.full(101, 1 / 3), frequency_hz, 30)
        own = figures(Sweep(frequency_hz, gamma), Band(1e6, 60e6), 50.0)
        assert own.resonances == ()
        assert "the line turns" in own.why_not["resonances"]
        assert own.worst_swr == pytest.approx(2, abs=1e-6)

    @pytest.mark.parametrize("length_m", [12, 20])
    def test_all_of_them_through_a_long_line(self, length_m):
        """100 ohm behind a line, 1 to 60 MHz on 590 kHz steps: one every half turn."""
        frequency_hz = np.linspace(1e6, 60e6, 101)
        gamma = behind_line(np.full(101, 1 / 3), frequency_hz, length_m)
        own = figures(Sweep(frequency_hz, gamma), Band(1e6, 60e6), 50.0)
        half_turn_hz = C_M_PER_S * 0.66 / (4 * length_m)
        expected = np.arange(half_turn_hz, 60e6, half_turn_hz)
        found_hz = [row.frequency_hz for row in own.resonances]
        assert found_hz == pytest.approx(expected[expected > 1e6].tolist(), abs=10)
        resistances = [row.resistance_ohm for row in own.resonances]
        assert resistances[:2] in (
            pytest.approx([25, 100], abs=1e-4),
            pytest.approx([100, 25], abs=1e-4),
        )
        assert own.worst_swr == pytest.approx(2, abs=1e-6)
        assert own.best_match_swr is None

    def test_an_antenna_behind_30_m_keeps_its_match_and_width(self):
        bare = figures(antenna(), BAND, 50.0)
        cabled = figures(
            Sweep(GRID_HZ, behind_line(CIRCUIT.reflection(GRID_HZ), GRID_HZ, 30)), BAND, 50.0
        )
        assert cabled.best_match_hz == pytest.approx(bare.best_match_hz, abs=100)
        assert cabled.usable_width_hz == pytest.approx(bare.usable_width_hz, abs=100)
        assert cabled.q != pytest.approx(bare.q, rel=0.05)

    def test_the_main_one_of_several_is_the_nearest_to_the_best_match(self):
        """15 m of line add resonances on both sides of the match."""
        gamma = behind_line(CIRCUIT.reflection(GRID_HZ), GRID_HZ, 15)
        own = figures(Sweep(GRID_HZ, gamma), Band(48e6, 54e6), 50.0)
        far = [abs(row.frequency_hz - own.best_match_hz) for row in own.resonances]
        assert len(far) >= 2
        main = abs(own.main_resonance.frequency_hz - own.best_match_hz)
        assert main == min(far) < max(far)

    @pytest.mark.parametrize("end", ["first", "last"])
    def test_a_crossing_that_ends_in_rounding_is_none(self, end):
        """X = 0 at the last point but for rounding: whether it crosses nobody saw."""
        imag = np.linspace(0.3, 0.1, 101)
        imag[-1] = -1e-12
        gamma = 0.2 + 1j * (imag if end == "last" else imag[::-1])
        assert figures(Sweep(GRID_HZ, gamma), Band(48e6, 54e6), 50.0).resonances == ()

    def test_a_reactance_that_only_touches_zero_is_no_resonance(self):
        values = 0.3 + 0.1j * ((GRID_HZ - 51e6) / 3e6) ** 2
        assert figures(Sweep(GRID_HZ, values), Band(48e6, 54e6), 50.0).resonances == ()

    def test_resonances_far_from_band_and_dip_are_left_out(self):
        frequency_hz = np.linspace(5e6, 32e6, 1081)
        y = sum(
            1 / SeriesCircuit(mhz * 1e6, 60, 12).impedance_ohm(frequency_hz) for mhz in (7.1, 28.5)
        )
        sweep = Sweep(frequency_hz, (1 - 50 * y) / (1 + 50 * y))
        own = figures(sweep, Band(28e6, 29e6), 50.0)
        assert [round(row.frequency_hz / 1e6) for row in own.resonances] == [28]


class TestLimits:
    def test_a_limit_equal_to_the_least_swr_gives_no_width(self):
        own = figures(antenna(SeriesCircuit(51e6, 100, 8)), BAND, 50.0, 2.0)
        assert own.usable_width_hz == pytest.approx(0, abs=10)

    @pytest.mark.parametrize("above", [2e-4, 1e-4, 1e-5])
    def test_a_limit_just_above_it_gives_a_segment_though_no_point_is_below(self, above):
        """f0 half-way between two points: only the track between them reaches below."""
        circuit = SeriesCircuit(51.03e6, 100, 12)
        sweep = antenna(circuit)
        limit = 2 + above
        assert (np.abs(sweep.reflection) > (limit - 1) / (limit + 1)).all()
        own = figures(sweep, BAND, 50.0, limit)
        assert own.best_match_swr < limit
        low_hz, high_hz = circuit.edges_hz(limit)
        assert own.usable_width_hz == pytest.approx(high_hz - low_hz, rel=0.05)

    def test_a_hump_between_two_points_parts_two_segments(self):
        circuit = ParallelCircuit(51.03e6, 100, 0.4)
        rho = np.abs(circuit.reflection(GRID_HZ))
        hump = 0.30 + 0.02 * np.exp(-(((GRID_HZ - 51.03e6) / 60e3) ** 2)) + 0 * rho
        limit = (1 + hump.max() + 1e-4) / (1 - hump.max() - 1e-4)
        own = figures(Sweep(GRID_HZ, hump), Band(50e6, 52e6), 50.0, limit)
        assert hump.max() < 0.32
        assert len(own.usable) == 2
        assert own.usable[0].high_hz < 51.03e6 < own.usable[1].low_hz

    def test_many_limits_are_kept_but_not_all(self):
        analysis = analyse(antenna(), 50.0)
        for limit in np.linspace(1.3, 3, 100):
            assert len(analysis.usable(float(limit))) == 1
        assert len(analysis._segments) <= 16
        assert analysis.usable(2.0) is analysis.usable(2.0)


class TestGrids:
    @pytest.mark.parametrize("least_hz", [5e-324, 1e-300, 1e-150])
    @pytest.mark.parametrize("count", [2, 3, 5, 12, 40])
    @pytest.mark.parametrize("kind", ["first", "all", "logarithmic"])
    def test_a_frequency_next_to_nothing_ends_in_no_traceback(self, kind, count, least_hz):
        grids = {
            "first": np.concatenate(([least_hz], np.linspace(1e6, 2e6, count - 1))),
            "all": least_hz * np.arange(1, count + 1),
            "logarithmic": np.geomspace(least_hz, 1e9, count),
        }
        frequency_hz = grids[kind]
        gamma = 0.3 * np.exp(-1j * np.linspace(0, 2, count))
        for sweep in (Sweep(frequency_hz, gamma), ScalarSweep(frequency_hz, np.abs(gamma))):
            for band in (Band(1e6, 2e6), Band(float(frequency_hz[0]), float(frequency_hz[-1]))):
                own = figures(sweep, band, 50.0)
                numbers = [getattr(own, name) for name in own.__slots__]
                assert not any(isinstance(one, float) and math.isnan(one) for one in numbers)

    @pytest.mark.parametrize("kind", ["logarithmic", "jittered", "segmented"])
    def test_uneven_grids_give_the_same_figures(self, kind):
        if kind == "logarithmic":
            frequency_hz = np.geomspace(46e6, 57e6, 161)
        elif kind == "jittered":
            steps = 1 + np.random.default_rng(0).uniform(-0.4, 0.4, 160)
            frequency_hz = 46e6 + 11e6 * np.concatenate(([0], np.cumsum(steps))) / steps.sum()
        else:
            frequency_hz = np.concatenate(
                (np.linspace(46e6, 50e6, 41)[:-1], np.linspace(50e6, 52e6, 201), [52.1e6, 57e6])
            )
        own = figures(antenna(frequency_hz=frequency_hz), BAND, 50.0)
        assert own.best_match_hz == pytest.approx(51e6, abs=500)
        assert own.main_resonance.frequency_hz == pytest.approx(51e6, abs=100)
        assert own.q == pytest.approx(8, rel=1e-3)
        low_hz, _ = CIRCUIT.edges_hz(2.0)
        assert own.main_segment.low_hz == pytest.approx(low_hz, abs=200)


class TestReferenceImpedance:
    def test_a_75_ohm_sweep_on_a_50_ohm_bench(self):
        one = figures(antenna(z0_ohm=75.0), BAND, 50.0)
        two = figures(antenna(z0_ohm=50.0), BAND, 50.0)
        assert one.best_match_hz == pytest.approx(two.best_match_hz, abs=100)
        assert one.best_match_swr == pytest.approx(1.24, rel=1e-5)
        assert one.z0_ohm == 50

    def test_a_50_ohm_sweep_on_a_75_ohm_bench(self):
        own = figures(antenna(), BAND, 75.0)
        assert own.best_match_swr == pytest.approx(75 / 62, rel=1e-5)
        assert own.z0_ohm == 75

    def test_changing_it_forgets_the_analysis_before(self):
        sweep = antenna()
        first = analyse(sweep, 50.0)
        assert analyse(sweep, 75.0) is not first
        assert analyse(sweep, 50.0) is not first


class TestScalarSweeps:
    def scalar(self, z0_ohm=50.0):
        return ScalarSweep(GRID_HZ, np.abs(CIRCUIT.reflection(GRID_HZ)), z0_ohm)

    def test_swr_figures_without_impedance(self):
        own = figures(self.scalar(), BAND, 50.0)
        assert not own.has_phase
        assert own.best_match_hz == pytest.approx(51e6, abs=200)
        assert own.best_match_swr == pytest.approx(1.24, rel=1e-4)
        (segment,) = own.usable
        assert (segment.low_hz, segment.high_hz) == pytest.approx(CIRCUIT.edges_hz(2.0), abs=500)
        assert own.resonances == ()
        assert own.q is own.q_hz is None
        assert own.worst_swr == pytest.approx(CIRCUIT.swr(own.worst_hz), rel=1e-6)

    def test_the_reference_impedance_stays_the_instruments(self):
        """Without phase nothing can be stated at another one."""
        own = figures(self.scalar(75.0), BAND, 50.0)
        assert own.z0_ohm == 75
        assert own.best_match_swr == pytest.approx(1.24, rel=1e-4)

    def test_noise_does_not_split_its_segment(self):
        for seed in range(20):
            noise = complex_noise(101, 0.005, seed).real
            sweep = ScalarSweep(GRID_HZ, np.abs(np.abs(CIRCUIT.reflection(GRID_HZ)) + noise))
            assert len(figures(sweep, BAND, 50.0).usable) == 1


class TestSwrAt:
    def test_inside_and_outside(self):
        analysis = analyse(antenna(), 50.0)
        assert swr_at(analysis, 50.123e6) == pytest.approx(CIRCUIT.swr(50.123e6), rel=1e-6)
        assert swr_at(analysis, 47.9e6) is None
        assert swr_at(analysis, 54.1e6) is None

    def test_above_one_there_is_none(self):
        assert swr_at(analyse(flat(1.01), 50.0), 51e6) is None


class TestNoise:
    """0.5 % of full scale, on what is no antenna."""

    @pytest.mark.parametrize("count", [101, 1001, 10_001])
    @pytest.mark.parametrize("gamma", [0.0, 0.2])
    def test_a_noisy_load_has_no_resonance_and_no_q(self, gamma, count):
        for seed in range(5):
            noise = complex_noise(count, 0.005, seed)
            sweep = Sweep(np.linspace(48e6, 54e6, count), gamma + noise)
            own = figures(sweep, BAND, 50.0)
            assert own.resonances == ()
            assert own.q is None
            assert not own.best_match_at_end
            assert len(own.usable) == 1
            assert own.best_match_hz is None
            assert own.verdict.covers == "yes"

    def test_a_noisy_load_at_the_limit_is_one_segment_at_most(self):
        """SWR 2 with noise around it: flickering is no news."""
        for seed in range(5):
            sweep = Sweep(GRID_HZ, 1 / 3 + complex_noise(101, 0.005, seed))
            assert len(figures(sweep, BAND, 50.0).usable) <= 1

    def test_a_noisy_hump_below_the_limit_does_not_part_a_segment(self):
        rho = 0.32 - 0.1 * ((GRID_HZ - 51e6) / 3e6) ** 2
        for seed in range(20):
            sweep = Sweep(GRID_HZ, rho + complex_noise(101, 0.005, seed))
            assert len(figures(sweep, BAND, 50.0).usable) == 1

    def test_the_dip_outside_the_band_is_followed_in_noise_too(self):
        """The least noisy point need not be the one at the band's edge."""
        for seed in range(20):
            gamma = CIRCUIT.reflection(GRID_HZ) + complex_noise(101, 0.005, seed)
            own = figures(Sweep(GRID_HZ, gamma), Band(51.8e6, 53e6), 50.0)
            assert own.best_match_hz == pytest.approx(51e6, abs=0.15e6)

    def test_a_sweep_that_stops_in_the_dip_says_so_in_noise_too(self):
        frequency_hz = np.linspace(52e6, 58e6, 101)
        ends = []
        for seed in range(20):
            gamma = CIRCUIT.reflection(frequency_hz) + complex_noise(101, 0.002, seed)
            own = figures(Sweep(frequency_hz, gamma), Band(52e6, 53e6), 50.0)
            ends.append(own.best_match_at_end)
        assert sum(ends) >= 16

    def test_q_lost_in_noise_is_none(self):
        """A broad antenna, 11 points in 100 kHz: the noise is larger than all that happens."""
        circuit = SeriesCircuit(51e6, 62, 3)
        frequency_hz = np.linspace(50.95e6, 51.05e6, 15)
        found = [
            figures(
                Sweep(
                    frequency_hz, circuit.reflection(frequency_hz) + complex_noise(15, 0.02, seed)
                ),
                Band(50.96e6, 51.04e6),
                50.0,
            ).q
            for seed in range(30)
        ]
        assert found.count(None) >= 25

    def test_single_wild_points_make_no_resonance(self):
        gamma = 0.3 + 0.1j + complex_noise(101, 0.002, 0)
        gamma[50] -= 0.005j
        assert figures(Sweep(GRID_HZ, gamma), BAND, 50.0).resonances == ()


def test_a_dip_of_few_noisy_points_is_no_figure():
    """6 points over half of the absorbed power at 3 % noise: no bottom; 18 points have one."""
    hz = np.linspace(100e6, 200e6, 101)
    gamma = SeriesCircuit(150.3e6, 62, 45).reflection(hz)
    band = Band(120e6, 180e6)
    noisy = figures(Sweep(hz, gamma + complex_noise(101, 0.03, 1)), band, 50.0)
    assert noisy.best_match_hz is None
    assert noisy.why_not["best_match_hz"].startswith("too few points in the dip for noise of ")
    assert noisy.q is None
    wide = SeriesCircuit(150.3e6, 62, 15).reflection(hz) + complex_noise(101, 0.03, 1)
    assert figures(Sweep(hz, wide), band, 50.0).best_match_hz == pytest.approx(150.3e6, abs=2e6)


@pytest.mark.parametrize("edges", [(100e6, 150e6), (151e6, 200e6)])
def test_a_dip_at_the_end_of_a_noisy_sweep_is_not_counted(edges):
    """Half of it was not swept, so its points say nothing of its width."""
    hz = np.linspace(*edges, 51)
    gamma = SeriesCircuit(150.5e6, 62, 150).reflection(hz) + complex_noise(51, 0.03, 2)
    found = figures(Sweep(hz, gamma), Band(*edges), 50.0)
    assert "too few points in the dip" not in found.why_not.get("best_match_hz", "")
