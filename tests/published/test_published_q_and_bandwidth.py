"""Q and bandwidth: Yaghjian and Best's relations, and series circuits in closed form.

A. D. Yaghjian, S. R. Best, "Impedance, bandwidth, and Q of antennas", IEEE Trans. Antennas
Propag. 53(4), 2005 (abstract read, formulas from memory). H. F. Pues, A. R. Van de Capelle, IEEE
Trans. Antennas Propag. 37, 1989, for a circuit that is not matched (from memory). The circuits'
edges are closed form and were confirmed by an independent root search.
"""

from __future__ import annotations

import math

import numpy as np
import pytest
from circuits import ParallelCircuit, SeriesCircuit, impedance_of, q_of_impedance

from fairlead.core.bands import Band
from fairlead.core.figures import figures
from fairlead.core.sweep import Sweep

F0_HZ = 14.175e6


def sampled(circuit, low_hz, high_hz, count, z0_ohm=50.0):
    frequency_hz = np.linspace(low_hz, high_hz, count)
    return Sweep(frequency_hz, circuit.reflection(frequency_hz, z0_ohm), z0_ohm)


# R ohm, Q, limit; edges MHz, width kHz
CIRCUITS = {
    "matched, Q 10, SWR 2": (50, 10, 2, 13.682695, 14.685019, 1002.324),
    "matched, Q 10, SWR 1.5": (50, 10, 1.5, 13.888607, 14.467299, 578.692),
    "matched, Q 10, SWR 3": (50, 10, 3, 13.380211, 15.016999, 1636.788),
    "matched, Q 20, SWR 2": (50, 20, 2, 13.926634, 14.427796, 501.162),
    "matched, Q 20, width f0/Q": (50, 20, (3 + math.sqrt(5)) / 2, 13.825054, 14.533804, 708.750),
    "73.08 ohm": (73.08, 10, 2, 13.830383, 14.528204, 697.821),
    "36.5 ohm": (36.5, 10, 2, 13.659979, 14.709439, 1049.460),
    "40 ohm, the widest": (40, 10, 2, 13.653401, 14.716526, 1063.125),
}


@pytest.mark.parametrize("name", CIRCUITS)
@pytest.mark.parametrize("count", [101, 401])
def test_usable_segment_of_a_series_circuit(name, count):
    """Both edges to 1 kHz on 40 kHz steps, to 10 Hz on 10 kHz steps."""
    r_ohm, q, limit, low_mhz, high_mhz, width_khz = CIRCUITS[name]
    circuit = SeriesCircuit(F0_HZ, r_ohm, q)
    assert circuit.edges_hz(limit) == pytest.approx((low_mhz * 1e6, high_mhz * 1e6), abs=1)
    own = figures(sampled(circuit, 12.2e6, 16.2e6, count), Band(14e6, 14.35e6), 50.0, limit)
    segment = own.main_segment
    tolerance_hz = 1000 if count == 101 else 10
    assert segment.low_hz == pytest.approx(low_mhz * 1e6, abs=tolerance_hz)
    assert segment.high_hz == pytest.approx(high_mhz * 1e6, abs=tolerance_hz)
    assert own.usable_width_hz == pytest.approx(width_khz * 1e3, abs=tolerance_hz)
    assert not segment.low_is_open
    assert not segment.high_is_open
    assert own.q == pytest.approx(q, rel=1e-6)


@pytest.mark.parametrize("r_ohm", [25, 100])
def test_a_circuit_that_only_touches_the_limit_has_no_width(r_ohm):
    """25 or 100 ohm reach SWR 2 at f0 only."""
    own = figures(
        sampled(SeriesCircuit(F0_HZ, r_ohm, 10), 12.2e6, 16.2e6, 401), Band(14e6, 14.35e6), 50.0
    )
    assert own.best_match_swr == pytest.approx(2, abs=1e-6)
    assert own.usable_width_hz == pytest.approx(0, abs=100)


@pytest.mark.parametrize(
    ("limit", "width_times_q"),
    [
        (1.5, 0.40825),
        (2, 0.70711),
        (3, 1.15470),
        ((3 + math.sqrt(5)) / 2, 1.0),
        (3 + 2 * math.sqrt(2), 2.0),
    ],
)
def test_width_of_a_matched_circuit_is_two_root_beta_over_q(limit, width_times_q):
    """Yaghjian and Best: 2 sqrt(beta) / Q, sqrt(beta) = (s - 1) / (2 sqrt(s)).

    The last limit is the half-power one. Exact for the series circuit if the width is related to
    the geometric mean of its edges.
    """
    assert width_times_q == pytest.approx((limit - 1) / math.sqrt(limit), abs=5e-6)
    own = figures(
        sampled(SeriesCircuit(F0_HZ, 50, 10), 10e6, 19e6, 1001), Band(14e6, 14.35e6), 50.0, limit
    )
    segment = own.main_segment
    assert math.sqrt(segment.low_hz * segment.high_hz) == pytest.approx(F0_HZ, abs=20)
    assert own.usable_width_hz / F0_HZ == pytest.approx(width_times_q / 10, rel=2e-5)


@pytest.mark.parametrize(
    ("limit", "best_ratio", "width_times_q"),
    [(2, 0.8, 0.75), (1.5, 0.92308, 0.41667), (3, 0.6, 1.33333)],
)
def test_widest_circuit_is_not_the_matched_one(limit, best_ratio, width_times_q):
    """Pues and Van de Capelle: r = 2/(s + 1/s) gives (s^2 - 1)/(2 s Q)."""
    assert best_ratio == pytest.approx(2 / (limit + 1 / limit), abs=5e-6)

    def width(ratio):
        circuit = SeriesCircuit(F0_HZ, 50 * ratio, 10)
        sweep = sampled(circuit, 10e6, 19e6, 1001)
        return figures(sweep, Band(14e6, 14.35e6), 50.0, limit).usable_width_hz / F0_HZ

    assert width(best_ratio) == pytest.approx(width_times_q / 10, rel=2e-5)
    assert width(best_ratio) > max(width(best_ratio * 0.97), width(best_ratio * 1.03), width(1.0))


@pytest.mark.parametrize(("f0_mhz", "q", "width_khz"), [(7.1, 150, 47.3), (3.7, 118, 31.4)])
def test_half_power_width_of_the_examination_pool(f0_mhz, q, width_khz):
    """NCVEC Extra pool E5A11 and E5A12: f0 / Q, which a matched circuit has at SWR 2.618."""
    circuit = SeriesCircuit(f0_mhz * 1e6, 50, q)
    sweep = sampled(circuit, f0_mhz * 0.96e6, f0_mhz * 1.04e6, 401)
    band = Band(f0_mhz * 0.999e6, f0_mhz * 1.001e6)
    own = figures(sweep, band, 50.0, (3 + math.sqrt(5)) / 2)
    assert own.usable_width_hz == pytest.approx(width_khz * 1e3, abs=50)
    assert own.q == pytest.approx(q, rel=1e-4)


@pytest.mark.parametrize("q", [2, 8, 30, 100])
@pytest.mark.parametrize("kind", [SeriesCircuit, ParallelCircuit])
def test_q_of_both_resonant_circuits_is_their_q(kind, q):
    """Yaghjian and Best's formula is exact at f0 of a series circuit and of a parallel one."""
    circuit = kind(F0_HZ, 60, q)
    half_hz = F0_HZ / q
    sweep = sampled(circuit, F0_HZ - 0.9 * half_hz, F0_HZ + 1.3 * half_hz, 101)
    own = figures(sweep, Band(F0_HZ - half_hz / 9, F0_HZ + half_hz / 9), 50.0)
    assert own.q_hz == pytest.approx(F0_HZ, rel=1e-5)
    assert own.q == pytest.approx(q, rel=1e-3)


def test_q_does_not_depend_on_the_reference_impedance():
    sweep = sampled(SeriesCircuit(F0_HZ, 60, 12), 13e6, 15.4e6, 201)
    found = [figures(sweep, Band(14e6, 14.35e6), z0).q for z0 in (25.0, 50.0, 75.0, 450.0)]
    assert found == pytest.approx([12] * 4, rel=1e-6)


def test_q_off_resonance_follows_the_whole_formula():
    """A best match with reactance left: |X0|/w0 counts (a capacitor in series, 100 ohm there)."""
    frequency_hz = np.linspace(13e6, 15.4e6, 401)

    def impedance_ohm(at_hz):
        circuit = SeriesCircuit(F0_HZ, 60, 12)
        return circuit.impedance_ohm(at_hz) - 100j * F0_HZ / at_hz

    gamma = (impedance_ohm(frequency_hz) - 50) / (impedance_ohm(frequency_hz) + 50)
    own = figures(Sweep(frequency_hz, gamma), Band(14.6e6, 15.2e6), 50.0)
    assert own.q == pytest.approx(q_of_impedance(impedance_ohm, own.q_hz), rel=1e-5)
    assert complex(impedance_of(gamma[0])) == pytest.approx(impedance_ohm(13e6))
