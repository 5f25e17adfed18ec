"""From the transmitter's watts to the power into the antenna, step by step.

It ends at the antenna's terminals and says nothing about how much is radiated: a 50 ohm resistor
would absorb all of it.

The steps of a station, in dB, and their sources:

    fold-back    the radio reduces its own power: `fairlead.core.advice.radio`
    mismatch     -10 log10 (1 - |G|^2) at the radio, 0 with a tuner: Pozar, Microwave Engineering
    line         the matched loss of the line: `FeedLine.loss_db`
    added        the additional loss from standing waves, from voltages and currents at both ends;
                 with a real z0 both together are 10 log10 ((a^2 - r^2) / (a (1 - r^2))). On a short
                 line it may be negative.
    transformer  modelled as a matched attenuator with its mismatch: the same formula

with a = 10^(A/10) of a matched loss A and r = |G| at the load (ARRL Antenna Book, transmission
lines, from memory; published figures in the tests).
"""

from __future__ import annotations

import math
from dataclasses import dataclass, fields
from typing import TYPE_CHECKING

import numpy as np

from fairlead.core.advice.radio import FIXED, RADIO_OHM, Radio
from fairlead.core.feed_line import DB_PER_NEPER, FeedLine, carried
from fairlead.core.reflection import UNITY_TOLERANCE, renormalise, swr

if TYPE_CHECKING:
    from fairlead.core.arrays import ComplexArray, FloatArray

S_UNIT_DB = 6.0
"""By definition: IARU Region 1 Recommendation R.1 and VHF Managers Handbook, section 8.6.1."""


@dataclass(frozen=True, slots=True)
class Station:
    """Everything between the mains and the antenna.

    Attributes
    ----------
    power_w : float
        Power of the transmitter into 50 ohm.
    radio : Radio
    line : FeedLine or None
        None if unknown, or if there is no line.
    length_m : float
    transformer_loss_db : float
        Matched one-way loss of a transformer at the antenna's end of the line; 0 without one.
    transformer_ratio : float
        Impedance ratio; used only for the voltage on its high side.
    """

    power_w: float = 100.0
    radio: Radio = FIXED
    line: FeedLine | None = None
    length_m: float = 0.0
    transformer_loss_db: float = 0.0
    transformer_ratio: float = 1.0


@dataclass(frozen=True, slots=True)
class Steps:
    """Where the power goes at one frequency; every loss in dB.

    Attributes
    ----------
    fold_back_db, mismatch_db, line_db, added_db, transformer_db : float
    swr_radio, swr_antenna : float
        At the radio's and at the antenna's end of the line; infinite for total reflection.
    power_w : float
        Into the antenna.
    line_peak_v : float
        Upper bound of the peak voltage between the conductors along the line; on a line shorter
        than half a wavelength the maximum may not occur.
    antenna_peak_v : float
        Peak voltage at the antenna's terminals, on its side of the transformer; NaN without phase.
    """

    fold_back_db: float
    mismatch_db: float
    line_db: float
    added_db: float
    transformer_db: float
    swr_radio: float
    swr_antenna: float
    power_w: float
    line_peak_v: float
    antenna_peak_v: float

    @property
    def total_db(self) -> float:
        """Full power of the transmitter over the power into the antenna, in dB."""
        return (
            self.fold_back_db
            + self.mismatch_db
            + self.line_db
            + self.added_db
            + self.transformer_db
        )


@dataclass(frozen=True, slots=True, eq=False)
class Budget:
    """`Steps` at many frequencies: each attribute has shape (n,). NaN where |G| exceeds 1."""

    fold_back_db: FloatArray
    mismatch_db: FloatArray
    line_db: FloatArray
    added_db: FloatArray
    transformer_db: FloatArray
    swr_radio: FloatArray
    swr_antenna: FloatArray
    power_w: FloatArray
    line_peak_v: FloatArray
    antenna_peak_v: FloatArray

    def at(self, i: int) -> Steps:
        """The steps at one of the frequencies."""
        return Steps(*(float(getattr(self, one.name)[i]) for one in fields(self)))


def budget(
    station: Station,
    frequency_hz: FloatArray,
    reflection: ComplexArray | FloatArray,
    z0_ohm: float,
) -> Budget:
    """The power budget of a station at some frequencies.

    Parameters
    ----------
    station : Station
    frequency_hz : FloatArray, shape (n,)
    reflection : ComplexArray or FloatArray, shape (n,)
        At the antenna's end of the line, on the line's side of any transformer. Real numbers are
        magnitudes of unknown phase: the line is then treated as one of 50 ohm.
    z0_ohm : float
        Of ``reflection``; magnitudes alone must be at 50 ohm to mean anything.
    """
    has_phase = np.iscomplexobj(reflection)
    gamma = np.asarray(reflection, dtype=np.complex128)
    if has_phase:
        gamma = renormalise(gamma, z0_ohm, RADIO_OHM)
    with np.errstate(divide="ignore", invalid="ignore"):
        at_radio, line_db, total_db, voltage = _along_line(
            station, frequency_hz, gamma, has_phase=has_phase
        )
        rho = np.abs(at_radio)
        ratio = swr(rho)
        fold_back_db = _loss_db(station.radio.sent_share(np.nan_to_num(ratio, nan=np.inf)))
        is_tuned = station.radio.kind == "tuner"
        mismatch_db = np.zeros(rho.shape) if is_tuned else _loss_db(1 - rho**2)
        through = station.power_w * 10 ** (-(fold_back_db + mismatch_db) / 10)
        transformer_db, inside = _transformer(station, gamma)
        power_w = through * 10 ** (-(total_db + transformer_db) / 10)
        is_possible = np.abs(inside) <= 1 + UNITY_TOLERANCE
        peak_v = np.where(has_phase, _terminal_v(station, inside, power_w), np.nan)

        def known(values: FloatArray) -> FloatArray:
            return np.where(is_possible, values, np.nan)

        return Budget(
            fold_back_db=known(fold_back_db),
            mismatch_db=known(mismatch_db),
            line_db=line_db,
            added_db=known(total_db - line_db),
            transformer_db=known(transformer_db),
            swr_radio=ratio,
            swr_antenna=swr(np.abs(gamma)),
            power_w=known(power_w),
            line_peak_v=known(voltage * np.sqrt(through)),
            antenna_peak_v=known(peak_v),
        )


def _along_line(
    station: Station, frequency_hz: FloatArray, gamma: ComplexArray, *, has_phase: bool
) -> tuple[ComplexArray, FloatArray, FloatArray, FloatArray]:
    """Reflection at the radio, matched and total loss in dB, peak voltage for 1 W into the line."""
    line = station.line
    if line is None:
        zero = np.zeros(gamma.shape)
        return gamma, zero, zero, np.sqrt(2 * RADIO_OHM * swr(np.abs(gamma)))
    constant, zc_ohm = line.constants(frequency_hz)
    if not has_phase:
        loss_np = line.loss_db(frequency_hz, 1.0) / DB_PER_NEPER
        constant = loss_np.astype(np.complex128)
        zc_ohm = np.full(gamma.shape, RADIO_OHM, dtype=np.complex128)
    at_radio = carried((constant, zc_ohm), station.length_m, gamma, RADIO_OHM)
    k = (RADIO_OHM - zc_ohm) / (RADIO_OHM + zc_ohm)
    own = (gamma + k) / (1 + k * gamma)
    there = np.exp(constant * station.length_m)
    back = own / there
    # Waves at both ends, for 1 V travelling towards the antenna at its end of the line.
    power_in = ((there + back) * np.conj((there - back) / zc_ohm)).real / 2
    power_out = ((1 + own) * np.conj((1 - own) / zc_ohm)).real / 2
    # At a maximum both waves are in phase; the sum of their magnitudes is largest at one end.
    largest = np.maximum(np.abs(there) + np.abs(back), 1 + np.abs(own))
    return (
        at_radio,
        line.loss_db(frequency_hz, station.length_m),
        _loss_db(power_out / power_in),
        largest / np.sqrt(power_in),
    )


def _transformer(station: Station, gamma: ComplexArray) -> tuple[FloatArray, ComplexArray]:
    """Loss of the transformer in dB, and the reflection on its antenna side."""
    if station.transformer_loss_db == 0:
        return np.zeros(gamma.shape), gamma
    lost = 10 ** (station.transformer_loss_db / 10)
    inside = gamma * lost
    rho_squared = np.abs(inside) ** 2
    return _loss_db((1 - rho_squared) / (lost * (1 - rho_squared / lost**2))), inside


def _terminal_v(station: Station, inside: ComplexArray, power_w: FloatArray) -> FloatArray:
    """Peak voltage at the antenna: |V|^2 / 2 = P |Z|^2 / R with Z from the reflection there."""
    z0_ohm = RADIO_OHM * station.transformer_ratio
    result: FloatArray = np.sqrt(
        2 * power_w * z0_ohm * np.abs(1 + inside) ** 2 / (1 - np.abs(inside) ** 2)
    )
    return result


def _loss_db(share: FloatArray) -> FloatArray:
    result: FloatArray = -10 * np.log10(share) + 0.0
    return result


def s_units(difference_db: float) -> float:
    """A difference in S units by the definition; real meters differ."""
    return difference_db / S_UNIT_DB


def range_factor(difference_db: float) -> float:
    """Factor of line-of-sight range: field strength falls as 1/distance, so 6 dB double it.

    Only in free space (Friis); it does not hold over ground or by the ionosphere.
    """
    return math.pow(10, difference_db / 20)
