"""Antennas as thin wires over real ground, solved by the method of moments (NEC-2).

The solver comes from PyNEC, which only the tests and this script need. Rain and ice enter as an
insulating sheath round each conductor: a sheath thin against the wavelength acts like a series
inductance per length, and its loss like a series resistance.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np
from PyNEC import nec_context

if TYPE_CHECKING:
    from numpy.typing import NDArray

MU_0 = 4e-7 * math.pi  # H/m
EPSILON_0 = 8.8541878128e-12  # F/m, CODATA 2018
ALUMINIUM_S_PER_M = 3.5e7  # from memory; alloys differ

Point = tuple[float, float, float]


@dataclass(frozen=True, slots=True)
class Wire:
    """A straight round conductor from ``start`` to ``end`` (metres), cut into segments."""

    start: Point
    end: Point
    radius_m: float
    segments: int


@dataclass(frozen=True, slots=True)
class Sheath:
    """A layer of water or ice round every conductor."""

    thickness_m: float
    relative_permittivity: float
    conductivity_s_per_m: float = 0.0


@dataclass(frozen=True, slots=True)
class Ground:
    """Flat, uniform earth below z = 0."""

    relative_permittivity: float
    conductivity_s_per_m: float


AVERAGE_GROUND = Ground(13.0, 0.005)  # common practice, no source
SOAKED_GROUND = Ground(20.0, 0.012)  # invented


@dataclass(frozen=True, slots=True)
class FeedPoint:
    """What sits between the wires and the connector: a joint in series, an insulator across."""

    joint_ohm: float = 0.0
    leak_siemens: float = 0.0
    stray_farad: float = 0.0

    def seen_ohm(self, antenna_ohm: complex, frequency_hz: float) -> complex:
        """Return the impedance at the connector for the impedance of the bare wires."""
        across = complex(self.leak_siemens, 2 * math.pi * frequency_hz * self.stray_farad)
        return 1 / (1 / (antenna_ohm + self.joint_ohm) + across)


@dataclass(frozen=True, slots=True)
class Antenna:
    """Wires, fed in one segment of the first wire (counted from 1)."""

    wires: tuple[Wire, ...]
    feed_segment: int
    ground: Ground | None = AVERAGE_GROUND
    sheath: Sheath | None = None
    feed_point: FeedPoint = FeedPoint()
    conductivity_s_per_m: float = ALUMINIUM_S_PER_M


def ground_plane(
    *,
    element_m: float = 1.378,
    radial_m: float = 1.450,
    slope_deg: float = 36.0,
    height_m: float = 7.0,
    ground: Ground = AVERAGE_GROUND,
    sheath: Sheath | None = None,
    feed_point: FeedPoint = FeedPoint(),
) -> Antenna:
    """Build a vertical element over four sloping radials, fed at the foot of the element.

    Parameters
    ----------
    element_m, radial_m
        Length of the element and of each radial.
    slope_deg
        How far the radials hang below the horizontal.
    height_m
        Feed point above ground. The mast is taken as non-conducting and left out.
    ground, sheath, feed_point
        Surroundings; see the classes.
    """
    foot = (0.0, 0.0, height_m)
    wires = [Wire(foot, (0.0, 0.0, height_m + element_m), 0.005, 15)]
    reach_m = radial_m * math.cos(math.radians(slope_deg))
    tip_z_m = height_m - radial_m * math.sin(math.radians(slope_deg))
    wires.extend(
        Wire(foot, (reach_m * x, reach_m * y, tip_z_m), 0.003, 14)
        for x, y in ((1, 0), (0, 1), (-1, 0), (0, -1))
    )
    return Antenna(tuple(wires), 1, ground, sheath, feed_point)


def half_wave_dipole(
    *, length_m: float, height_m: float, radius_m: float, ground: Ground = AVERAGE_GROUND
) -> Antenna:
    """Build a horizontal dipole along x, fed in the middle, ``height_m`` above ground."""
    half_m = length_m / 2
    wire = Wire((-half_m, 0.0, height_m), (half_m, 0.0, height_m), radius_m, 31)
    return Antenna((wire,), 16, ground)


def feed_impedance_ohm(
    antenna: Antenna, frequency_hz: NDArray[np.float64]
) -> NDArray[np.complex128]:
    """Return the impedance at the connector, shape (n,), for frequencies of shape (n,)."""
    return np.array(
        [
            antenna.feed_point.seen_ohm(_wires_ohm(antenna, float(hz)), float(hz))
            for hz in frequency_hz
        ]
    )


def sheath_ohm_per_m(sheath: Sheath, radius_m: float, frequency_hz: float) -> complex:
    """Return the series impedance per metre that a thin insulating sheath adds to a wire.

    L' = mu0 / (2 pi) * (1 - 1/eps) * ln(outer radius / wire radius), with the complex relative
    permittivity eps = eps_r - j sigma / (omega eps0). Formula from memory; it gives the published
    slowing of an insulated wire (see tests/samples).
    """
    omega = 2 * math.pi * frequency_hz
    permittivity = complex(
        sheath.relative_permittivity, -sheath.conductivity_s_per_m / (omega * EPSILON_0)
    )
    ratio = math.log1p(sheath.thickness_m / radius_m)
    return 1j * omega * MU_0 / (2 * math.pi) * (1 - 1 / permittivity) * ratio


def skin_ohm_per_m(conductivity_s_per_m: float, radius_m: float, frequency_hz: float) -> complex:
    """Return the internal impedance per metre of a round wire much thicker than the skin depth.

    Surface resistance sqrt(omega mu0 / (2 sigma)), spread over the circumference; the internal
    reactance equals the resistance. Textbook formula, for example Balanis, Antenna Theory, ch. 2.
    """
    surface_ohm = math.sqrt(math.pi * frequency_hz * MU_0 / conductivity_s_per_m)
    return surface_ohm / (2 * math.pi * radius_m) * (1 + 1j)


def _wires_ohm(antenna: Antenna, frequency_hz: float) -> complex:
    """Let the solver find the impedance in the fed segment at one frequency."""
    context = nec_context()
    geometry = context.get_geometry()
    for tag, wire in enumerate(antenna.wires, start=1):
        geometry.wire(tag, wire.segments, *wire.start, *wire.end, wire.radius_m, 1.0, 1.0)
    context.geometry_complete(0)
    if antenna.ground is not None:
        ground = antenna.ground
        # Type 0: finite ground by reflection coefficients, sound from some 0.2 wavelengths up.
        context.gn_card(0, 0, ground.relative_permittivity, ground.conductivity_s_per_m, 0, 0, 0, 0)
    omega = 2 * math.pi * frequency_hz
    for tag, wire in enumerate(antenna.wires, start=1):
        per_m = skin_ohm_per_m(antenna.conductivity_s_per_m, wire.radius_m, frequency_hz)
        if antenna.sheath is not None:
            per_m += sheath_ohm_per_m(antenna.sheath, wire.radius_m, frequency_hz)
        # Type 2: series resistance and inductance per metre over the whole tag.
        context.ld_card(2, tag, 0, 0, per_m.real, per_m.imag / omega, 0.0)
    context.fr_card(0, 1, frequency_hz / 1e6, 0.0)
    context.ex_card(0, 1, antenna.feed_segment, 0, 1.0, 0, 0, 0, 0, 0)
    context.xq_card(0)
    return complex(context.get_input_parameters(0).get_impedance()[0])
