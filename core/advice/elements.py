"""Elements of a matching network: coils and capacitors, stubs, pieces of line, with their loss.

A network is a chain of elements from the antenna to the radio. Each one transforms the impedance
of its load and passes on a share of the power that enters it.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Literal

import numpy as np

from fairlead.core.reflection import impedance_ohm, reflection_from_impedance

if TYPE_CHECKING:
    from collections.abc import Sequence

    from fairlead.core.arrays import ComplexArray, FloatArray
    from fairlead.core.feed_line import FeedLine

Where = Literal["series", "shunt"]
ElementKind = Literal["coil", "capacitor"]
End = Literal["open", "short"]

_PATH_STEPS = 25
# |G| = 1 - 1e-12 stands for an open circuit, whose impedance would be infinite.
_OPEN = 1 - 1e-12


@dataclass(frozen=True, slots=True)
class Lumped:
    """A coil or a capacitor with the same Q at every frequency.

    Attributes
    ----------
    where : {"series", "shunt"}
    part : {"coil", "capacitor"}
    value : float
        In H or F.
    q : float
        Reactance divided by loss resistance; infinite without loss.
    """

    where: Where
    part: ElementKind
    value: float
    q: float = math.inf

    def impedance(self, frequency_hz: FloatArray) -> ComplexArray:
        """Ohm, shape (n,)."""
        omega = 2 * np.pi * frequency_hz
        x_ohm = omega * self.value if self.part == "coil" else -1 / (omega * self.value)
        result: ComplexArray = np.abs(x_ohm) / self.q + 1j * x_ohm
        return result

    def admittance(self, frequency_hz: FloatArray) -> ComplexArray:
        """Siemens, shape (n,)."""
        return 1 / self.impedance(frequency_hz)


@dataclass(frozen=True, slots=True)
class Stub:
    """A piece of line with an open or shorted end, in series or in shunt.

    Attributes
    ----------
    where : {"series", "shunt"}
    end : {"open", "short"}
    line : FeedLine
    length_m : float
    """

    where: Where
    end: End
    line: FeedLine
    length_m: float

    def impedance(self, frequency_hz: FloatArray) -> ComplexArray:
        """Zc tanh(gamma l) shorted, Zc / tanh(gamma l) open (Pozar, section 2.7); ohm, (n,)."""
        gamma, zc_ohm = self.line.constants(frequency_hz)
        tanh = np.tanh(gamma * self.length_m)
        result: ComplexArray = zc_ohm * tanh if self.end == "short" else zc_ohm / tanh
        return result

    def admittance(self, frequency_hz: FloatArray) -> ComplexArray:
        """Siemens, shape (n,); zero for an open stub of no length."""
        gamma, zc_ohm = self.line.constants(frequency_hz)
        tanh = np.tanh(gamma * self.length_m)
        result: ComplexArray = tanh / zc_ohm if self.end == "open" else 1 / (zc_ohm * tanh)
        return result


@dataclass(frozen=True, slots=True)
class Section:
    """A piece of line between antenna and radio.

    Attributes
    ----------
    line : FeedLine
    length_m : float
    """

    line: FeedLine
    length_m: float


Element = Lumped | Stub | Section
Network = tuple[Element, ...]


def through(
    network: Sequence[Element], frequency_hz: FloatArray, reflection: ComplexArray, z0_ohm: float
) -> tuple[ComplexArray, FloatArray]:
    """The reflection at the radio's end of a network, and the share of power it passes on.

    Parameters
    ----------
    network : sequence of Element
        Starting at the antenna.
    frequency_hz : FloatArray, shape (n,)
    reflection : ComplexArray, shape (n,)
        Of the antenna, at ``z0_ohm``; must be passive.
    z0_ohm : float

    Returns
    -------
    tuple of ComplexArray and FloatArray
        Reflection at ``z0_ohm``; power into the antenna divided by power into the network.
    """
    z_ohm = _impedance(reflection, z0_ohm)
    share = np.ones(frequency_hz.shape)
    with np.errstate(divide="ignore", invalid="ignore"):
        for element in network:
            z_ohm, passed = _step(element, frequency_hz, z_ohm)
            share = share * passed
    return reflection_from_impedance(z_ohm, z0_ohm), share


def path(
    network: Sequence[Element], at_hz: float, reflection: complex, z0_ohm: float
) -> list[ComplexArray]:
    """The path on the Smith chart at one frequency, from the antenna: one curve per element."""
    hz = np.full(_PATH_STEPS, at_hz)
    share = np.linspace(0, 1, _PATH_STEPS)
    z_ohm = _impedance(np.full(1, reflection), z0_ohm)[0]
    curves = []
    for element in network:
        if isinstance(element, Section):
            parts = [replace(element, length_m=element.length_m * part) for part in share]
            load = np.full(1, z_ohm)
            way = np.array([_step(one, hz[:1], load)[0][0] for one in parts])
        elif element.where == "series":
            way = z_ohm + share * element.impedance(hz)
        else:
            way = 1 / (1 / z_ohm + share * element.admittance(hz))
        curves.append(reflection_from_impedance(way, z0_ohm))
        z_ohm = way[-1]
    return curves


def _step(
    element: Element, frequency_hz: FloatArray, z_ohm: ComplexArray
) -> tuple[ComplexArray, FloatArray]:
    if isinstance(element, Section):
        gamma, zc_ohm = element.line.constants(frequency_hz)
        cosh, sinh = np.cosh(gamma * element.length_m), np.sinh(gamma * element.length_m)
        voltage, current = z_ohm * cosh + zc_ohm * sinh, cosh + z_ohm / zc_ohm * sinh
        return voltage / current, z_ohm.real / (voltage * np.conj(current)).real
    if element.where == "series":
        sum_ohm = z_ohm + element.impedance(frequency_hz)
        return sum_ohm, z_ohm.real / sum_ohm.real
    load = 1 / z_ohm
    total = load + element.admittance(frequency_hz)
    return 1 / total, load.real / total.real


def _impedance(reflection: ComplexArray, z0_ohm: float) -> ComplexArray:
    gamma = np.where(reflection == 1, _OPEN, reflection)
    return impedance_ohm(gamma, z0_ohm)
