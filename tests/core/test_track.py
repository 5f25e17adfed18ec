"""|G|^2 between the points: its turns, and the two limits that keep it honest."""

from __future__ import annotations

import numpy as np
import pytest
from circuits import SeriesCircuit, behind_line

from fairlead.core.analysis.analysis import analyse
from fairlead.core.analysis.interpolation.track import make_track
from fairlead.core.sweep import ScalarSweep, Sweep

GRID_HZ = np.linspace(48e6, 54e6, 61)


def track_of(values, frequency_hz=GRID_HZ, *, scalar=False):
    values = np.asarray(values)
    if scalar:
        return analyse(ScalarSweep(frequency_hz, np.sqrt(values.astype(float))), 50.0).track
    return analyse(Sweep(frequency_hz, values.astype(complex)), 50.0).track


def dense(frequency_hz=GRID_HZ, count=5001):
    return np.linspace(frequency_hz[0], frequency_hz[-1], count)


@pytest.mark.parametrize("f0_mhz", [49.0, 51.0, 51.037, 53.99])
def test_a_dip_turns_once_at_its_bottom(f0_mhz):
    track = track_of(SeriesCircuit(f0_mhz * 1e6, 62, 12).reflection(GRID_HZ))
    assert track.turn_hz.size == 3
    assert track.turn_hz[1] == pytest.approx(f0_mhz * 1e6, abs=500)
    assert track.turn_power[1] == pytest.approx((12 / 112) ** 2, rel=1e-4)


def test_between_its_turns_the_track_only_rises_or_only_falls():
    one, two = SeriesCircuit(49.3e6, 40, 60), SeriesCircuit(52.41e6, 70, 50)
    y = 1 / one.impedance_ohm(GRID_HZ) + 1 / two.impedance_ohm(GRID_HZ)
    track = track_of((1 - 50 * y) / (1 + 50 * y))
    assert track.turn_hz.size == 5
    at_hz = dense()
    power = track.power_at(at_hz)
    part = np.searchsorted(track.turn_hz, at_hz[1:-1])
    for k in range(1, track.turn_hz.size):
        rises = np.diff(power[1:-1][part == k])
        assert (rises > -1e-12).all() or (rises < 1e-12).all()


def test_a_dip_between_two_points_is_found():
    """No point is below |G|^2 = 0.001, the bottom between two of them is."""
    circuit = SeriesCircuit(51.05e6, 50, 40)
    gamma = circuit.reflection(GRID_HZ)
    track = track_of(gamma)
    assert (np.abs(gamma) ** 2).min() > 1e-3
    assert track.turn_power.min() < 1e-5


def test_a_flat_track_has_only_its_ends():
    for value in (0, 0.2, 1, -1, 0.2 * np.exp(1j * np.pi)):
        track = track_of(np.full(61, value))
        assert track.turn_hz.tolist() == [48e6, 54e6]


def test_a_flat_part_between_slopes_turns_once():
    rho = np.concatenate((np.linspace(0.8, 0.3, 20), np.full(21, 0.3), np.linspace(0.3, 0.8, 20)))
    track = track_of(rho)
    least = track.turn_hz[track.turn_power < 0.3001**2]
    assert 1 <= least.size <= 4
    assert ((least > 49.5e6) & (least < 52.5e6)).all()


@pytest.mark.parametrize("count", [2, 3, 4])
def test_the_fewest_points(count):
    frequency_hz = np.linspace(50e6, 52e6, count)
    track = track_of(np.linspace(0.2, 0.6, count), frequency_hz)
    assert track.turn_hz.tolist() == [50e6, 52e6]
    # Too few for a cubic: |G|^2 runs straight from point to point.
    middle = {2: (0.04 + 0.36) / 2, 3: 0.16, 4: (0.2 + 0.4 / 3) ** 2 / 2 + (0.2 + 0.8 / 3) ** 2 / 2}
    assert track.power_at_one(51e6) == pytest.approx(middle[count])
    assert track.power_at_one(52e6) == pytest.approx(0.36)


def test_neighbours_far_apart_are_joined_straight():
    """From open to short in one step: |G| = 1 at both, and nobody saw what lies between."""
    track = track_of([1, -1], np.array([50e6, 52e6]))
    assert track.is_straight.tolist() == [True]
    assert track.power_at(np.array([50.5e6, 51e6])).tolist() == [1, 1]
    assert track.power_at_one(51e6) == 1
    assert abs(track.reflection_at(np.array([51e6]))[0]) < 1e-15


def test_points_within_1_stay_within_1_between_them():
    frequency_hz = np.linspace(1e6, 60e6, 40)
    for values in (np.exp(0.6j * np.arange(40)), 0.999 * np.exp(1j * np.sin(np.arange(40)))):
        track = track_of(values, frequency_hz)
        at_hz = dense(frequency_hz)
        assert track.power_at(at_hz).max() <= 1 + 1e-12
        assert np.abs(track.reflection_at(at_hz)).max() <= 1 + 1e-12
        assert max(track.power_at_one(float(hz)) for hz in at_hz[::50]) <= 1 + 1e-12


def test_points_beyond_1_are_shown_between_them_too():
    track = track_of(np.full(61, 1.1))
    assert track.power_at_one(50.05e6) == pytest.approx(1.21)


def test_a_long_line_does_not_bend_the_track():
    """30 m of line on 590 kHz steps turn by 63 degrees a point; SWR 3 stays SWR 3."""
    frequency_hz = np.linspace(1e6, 60e6, 101)
    track = track_of(behind_line(np.full(101, 0.5), frequency_hz, 30), frequency_hz)
    np.testing.assert_allclose(track.power_at(dense(frequency_hz)), 0.25, atol=1e-12)
    expected = behind_line(0.5, dense(frequency_hz), 30)
    np.testing.assert_allclose(track.reflection_at(dense(frequency_hz)), expected, atol=1e-9)


class TestScalar:
    """Only |G|^2 is known: it is interpolated itself."""

    def test_a_dip_turns_at_its_bottom(self):
        rho = np.abs(SeriesCircuit(51.037e6, 62, 12).reflection(GRID_HZ))
        track = track_of(rho**2, scalar=True)
        assert track.turn_hz[1] == pytest.approx(51.037e6, abs=500)

    def test_a_cubic_below_zero_is_no_perfect_match(self):
        """Between 0.001 and 0.001 the cubic dips to -0.06; the straight line does not."""
        power = np.array([0.5, 0.5, 0.001, 0.001, 0.5, 0.5])
        frequency_hz = np.linspace(50e6, 51e6, 6)
        track = make_track(frequency_hz, power, None, 0.0, np.ones(5, dtype=bool))
        assert track.is_straight.tolist() == [False, False, True, False, False]
        assert track.turn_power.min() == pytest.approx(0.001)
        assert track.power_at(dense(frequency_hz)).min() == pytest.approx(0.001)
        assert track.power_at_one(50.5e6) == pytest.approx(0.001)

    def test_it_has_no_reflection(self):
        with pytest.raises(ValueError, match="scalar"):
            track_of(np.full(61, 0.1), scalar=True).reflection_at(GRID_HZ)

    def test_one_place_gives_what_the_array_gives(self):
        rho = np.abs(SeriesCircuit(51.037e6, 62, 30).reflection(GRID_HZ))
        track = track_of(rho**2, scalar=True)
        at_hz = dense(count=301)
        one_by_one = [track.power_at_one(float(hz)) for hz in at_hz]
        np.testing.assert_allclose(one_by_one, track.power_at(at_hz), atol=1e-12)
