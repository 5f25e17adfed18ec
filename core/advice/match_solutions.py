"""Closed-form solutions that match one impedance to a line, all without loss.

L networks, single stubs: D. M. Pozar, Microwave Engineering, sections 5.1 and 5.2 (from memory,
checked against his examples and by recalculating each solution). Series section: F. A. Regier,
"Series-section transmission-line impedance matching", QST, July 1978 (from memory, checked the same
way). Quarter-wave transformer: Pozar, section 2.5.
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from fairlead.core.advice.elements import End, Lumped, Network, Section, Stub, Where
from fairlead.core.feed_line import SPEED_OF_LIGHT_M_S

if TYPE_CHECKING:
    from fairlead.core.feed_line import FeedLine

# A normalised susceptance or reactance below this counts as zero: the element is left out.
_NOTHING = 1e-9


def l_networks(load_ohm: complex, at_hz: float, z0_ohm: float) -> list[tuple[Lumped, ...]]:
    """L networks: up to four solutions, each with the element next to the antenna first.

    Parameters
    ----------
    load_ohm : complex
        With a positive resistance.
    at_hz : float
    z0_ohm : float
    """
    r, x = load_ohm.real, load_ohm.imag
    found = []
    under = r * r + x * x - z0_ohm * r
    if under >= 0:  # across the antenna first, then in series
        for sign in (1, -1):
            b = (x + sign * math.sqrt(r / z0_ohm) * math.sqrt(under)) / (r * r + x * x)
            total = 1 / load_ohm + 1j * b
            found.append(_pair(b, -(1 / total).imag, at_hz, z0_ohm, shunt_first=True))
    if r <= z0_ohm:  # in series first, then across
        for sign in (1, -1):
            series = sign * math.sqrt(r * (z0_ohm - r)) - x
            b = -(1 / complex(r, x + series)).imag
            found.append(_pair(b, series, at_hz, z0_ohm, shunt_first=False))
    return list(dict.fromkeys(found))


def _pair(
    b: float, x: float, at_hz: float, z0_ohm: float, *, shunt_first: bool
) -> tuple[Lumped, ...]:
    omega = 2 * math.pi * at_hz
    shunt: tuple[Lumped, ...] = ()
    series: tuple[Lumped, ...] = ()
    if abs(b) * z0_ohm > _NOTHING:
        shunt = (
            Lumped("shunt", "capacitor", b / omega)
            if b > 0
            else Lumped("shunt", "coil", -1 / (b * omega)),
        )
    if abs(x) > _NOTHING * z0_ohm:
        series = (
            Lumped("series", "coil", x / omega)
            if x > 0
            else Lumped("series", "capacitor", -1 / (x * omega)),
        )
    return shunt + series if shunt_first else series + shunt


def single_stubs(
    load_ohm: complex, at_hz: float, line: FeedLine, where: Where, end: End
) -> list[Network]:
    """A piece of line and a stub of the same line: two solutions, the shorter first.

    The load is matched to the impedance of ``line``.
    """
    z0_ohm = line.z0_ohm
    # A series stub is worked out like a shunt stub, with impedances in place of admittances.
    own = z0_ohm / load_ohm if where == "shunt" else load_ohm / z0_ohm
    g, b = own.real, own.imag
    found = []
    for t in _distances(g, b):
        here = (own + 1j * t) / (1 + 1j * own * t)
        wanted = -here.imag
        # In shunt, a shorted stub has -j cot, an open one j tan; in series it is the reverse.
        is_tangent = (end == "open") == (where == "shunt")
        stub = math.atan(wanted) if is_tangent else -math.atan2(1, wanted)
        found.append(
            (
                Section(line, _turn_m(math.atan(t), line, at_hz)),
                Stub(where, end, line, _turn_m(stub, line, at_hz)),
            )
        )
    found.sort(key=lambda pair: pair[0].length_m + pair[1].length_m)
    return list(found)


def _distances(g: float, b: float) -> list[float]:
    """Tangents of the electrical lengths at which the normalised conductance is 1."""
    if abs(g - 1) < _NOTHING:
        return [0.0, 2 / b] if b else [0.0]
    a = g * g + b * b - g
    # (g^2 + b^2 - g) t^2 - 2 b t + (1 - g) = 0
    root = math.sqrt(max(0.0, b * b - a * (1 - g)))
    if abs(a) < _NOTHING:
        return [(1 - g) / (2 * b), 1 / _NOTHING]
    return [(b + root) / a, (b - root) / a]


def series_sections(
    load_ohm: complex, at_hz: float, line: FeedLine, other: FeedLine
) -> list[Network]:
    """A piece of ``line`` at the antenna, then a piece of another impedance: two solutions.

    Empty if the two impedances are too close together, or if there is nothing to match.
    """
    r, x = load_ohm.real / line.z0_ohm, load_ohm.imag / line.z0_ohm
    n = other.z0_ohm / line.z0_ohm
    off = (r - 1) ** 2 + x * x
    under = r * (n - 1 / n) ** 2 - off
    if under <= 0 or off == 0:
        return []
    found: list[Network] = []
    for sign in (1, -1):
        b = sign * math.sqrt(off / under)
        a = math.atan2((n - r / n) * b + x, r + x * n * b - 1)
        found.append(
            (
                Section(line, _turn_m(a, line, at_hz)),
                Section(other, _turn_m(math.atan(b), other, at_hz)),
            )
        )
    return found


def quarter_waves(load_ohm: complex, at_hz: float, line: FeedLine) -> list[tuple[Section, float]]:
    """A piece of ``line`` to a point without reactance, followed by a quarter wave.

    Returns
    -------
    list of tuple of Section and float
        The piece of line alone, and the impedance in ohm of the quarter wave after it, for the
        voltage minimum and the voltage maximum, the nearer one first.
    """
    gamma = (load_ohm - line.z0_ohm) / (load_ohm + line.z0_ohm)
    if abs(gamma) < _NOTHING:
        return []
    ratio = (1 + abs(gamma)) / (1 - abs(gamma))
    angle = math.atan2(gamma.imag, gamma.real)
    found: list[tuple[Section, float]] = []
    for turn, z_ohm in (
        (angle / 2, line.z0_ohm * math.sqrt(ratio)),
        ((angle + math.pi) / 2, line.z0_ohm / math.sqrt(ratio)),
    ):
        found.append((Section(line, _turn_m(turn, line, at_hz)), z_ohm))
    return sorted(found, key=lambda one: one[0].length_m)


def quarter_wave_m(line: FeedLine, at_hz: float) -> float:
    """A quarter of a wavelength on a line."""
    return wavelength_m(line, at_hz) / 4


def wavelength_m(line: FeedLine, at_hz: float) -> float:
    """The wavelength on a line."""
    return SPEED_OF_LIGHT_M_S * line.velocity_factor / at_hz


def _turn_m(angle: float, line: FeedLine, at_hz: float) -> float:
    """The shortest line with that electrical length, modulo half a wavelength."""
    turn = math.fmod(angle / math.pi, 1.0)
    if turn < -_NOTHING:
        turn += 1
    return max(0.0, turn) * wavelength_m(line, at_hz) / 2
