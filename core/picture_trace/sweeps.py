"""The sweeps that a picture's curves amount to: scalar ones, and complex ones of two curves."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from fairlead.core.errors import FairleadError
from fairlead.core.picture_trace.poor import refuse_poor
from fairlead.core.picture_trace.trace import follow
from fairlead.core.reflection import (
    magnitude_from_return_loss,
    magnitude_from_swr,
    reflection_from_impedance,
)
from fairlead.core.sweep import ScalarSweep, Sweep
from fairlead.core.traced import Traced

if TYPE_CHECKING:
    from collections.abc import Iterable

    from fairlead.core.arrays import BoolArray, ComplexArray, FloatArray
    from fairlead.core.picture_trace.axes import ValueKind
    from fairlead.core.picture_trace.straighten import Picture
    from fairlead.core.picture_trace.trace import FollowedCurve, PictureTrace
    from fairlead.core.sweep import AnySweep

MAGNITUDES: tuple[ValueKind, ...] = ("swr", "return_loss_db", "magnitude")
_FEWEST = 12
_LEAST_SIGMA = 1e-5


@dataclass(frozen=True, slots=True, eq=False)
class TracedSweep:
    """A sweep from a picture.

    Attributes
    ----------
    name : str
        Of its curves; may be empty.
    sweep : Sweep or ScalarSweep
        With ``traced``.
    curves : tuple of int
        Which curves of the tracing it is made of.
    """

    name: str
    sweep: AnySweep
    curves: tuple[int, ...]


def traced_sweeps(picture: Picture, trace: PictureTrace) -> tuple[TracedSweep, ...]:
    """All sweeps of a tracing, in the order of its curves.

    A magnitude and a phase, or a resistance and a reactance, of one name become one complex sweep.

    Raises
    ------
    FairleadError
        As `follow` and `refuse_poor`, and for a phase, resistance or reactance without its partner.
    """
    if not trace.curves:
        raise FairleadError("no curve is traced", "click on the line of a curve")
    found = []
    for one, other in _partners(trace):
        first = _followed(picture, trace, one)
        name = trace.curves[one].name
        if other is None:
            found.append(TracedSweep(name, _scalar(first, trace, one), (one,)))
        else:
            both = (first, _followed(picture, trace, other))
            found.append(TracedSweep(name, _complex(both, trace, one), (one, other)))
    return tuple(found)


def _followed(picture: Picture, trace: PictureTrace, index: int) -> FollowedCurve:
    found = follow(picture, trace, index)
    refuse_poor(found, trace)
    return found


def _partners(trace: PictureTrace) -> Iterable[tuple[int, int | None]]:
    """Magnitude with phase, resistance with reactance; a magnitude may be alone."""
    taken: set[int] = set()
    for index, curve in enumerate(trace.curves):
        if curve.kind in MAGNITUDES:
            wanted = "phase_deg"
        elif curve.kind == "resistance_ohm":
            wanted = "reactance_ohm"
        else:
            continue
        partner = next(
            (
                other
                for other, one in enumerate(trace.curves)
                if one.kind == wanted and one.name == curve.name and other not in taken
            ),
            None,
        )
        taken.add(index)
        if partner is not None:
            taken.add(partner)
        elif curve.kind == "resistance_ohm":
            raise FairleadError(
                "a resistance alone is no sweep", "trace the reactance of the same name too"
            )
        yield index, partner
    for index, curve in enumerate(trace.curves):
        if index not in taken:
            what = "phase" if curve.kind == "phase_deg" else "reactance"
            partner_words = "magnitude or SWR" if curve.kind == "phase_deg" else "resistance"
            raise FairleadError(
                f"a {what} alone is no sweep", f"trace the {partner_words} of the same name too"
            )


def _scalar(curve: FollowedCurve, trace: PictureTrace, index: int) -> ScalarSweep:
    magnitude, sigma = _magnitude(curve, trace.curves[index].kind)
    return ScalarSweep(
        curve.frequency_hz,
        magnitude,
        trace.z0_ohm,
        traced=_traced(trace, sigma, np.flatnonzero(curve.is_lost_after).tolist(), [curve]),
    )


def _magnitude(curve: FollowedCurve, kind: ValueKind) -> tuple[FloatArray, FloatArray]:
    """|G| and its standard uncertainty; an SWR traced a little below 1 is 1."""
    if kind == "swr":
        ratio = np.maximum(curve.value, 1.0)
        return magnitude_from_swr(ratio), curve.sigma * 2 / (ratio + 1) ** 2
    if kind == "return_loss_db":
        # Some pictures draw it as S11 in dB, below zero.
        loss_db = np.abs(curve.value)
        magnitude = magnitude_from_return_loss(loss_db)
        return magnitude, curve.sigma * magnitude * np.log(10) / 20
    return np.maximum(curve.value, 0.0), curve.sigma


def _complex(curves: tuple[FollowedCurve, FollowedCurve], trace: PictureTrace, index: int) -> Sweep:
    """Both curves at the first one's frequencies, where the second one is seen too."""
    first, second = curves
    at_hz = first.frequency_hz
    is_kept = (at_hz >= second.frequency_hz[0]) & (at_hz <= second.frequency_hz[-1])
    for before in np.flatnonzero(second.is_lost_after).tolist():
        low_hz, high_hz = second.frequency_hz[before : before + 2]
        is_kept &= (at_hz <= low_hz) | (at_hz >= high_hz)
    kept = np.flatnonzero(is_kept)
    if kept.size < _FEWEST:
        raise FairleadError(
            "the two curves are seen at different frequencies only", "trace the same span of both"
        )
    other = np.interp(at_hz, second.frequency_hz, second.value)
    other_sigma = np.interp(at_hz, second.frequency_hz, second.sigma)
    kind = trace.curves[index].kind
    reflection: ComplexArray
    if kind == "resistance_ohm":
        reflection, sigma = _of_impedance(first, other, other_sigma, trace.z0_ohm)
    else:
        magnitude, own_sigma = _magnitude(first, kind)
        reflection = (magnitude * np.exp(1j * np.radians(other))).astype(np.complex128)
        sigma = np.hypot(own_sigma, magnitude * np.radians(other_sigma)) / np.sqrt(2)
    gone = np.concatenate([[0], np.cumsum(first.is_lost_after | ~is_kept[1:] | ~is_kept[:-1])])
    lost: BoolArray = np.diff(gone[kept]) > 0
    traced = _traced(trace, sigma[kept], np.flatnonzero(lost).tolist(), curves)
    return Sweep(at_hz[kept], reflection[kept], trace.z0_ohm, traced)


def _of_impedance(
    resistance: FollowedCurve, reactance_ohm: FloatArray, sigma_ohm: FloatArray, z0_ohm: float
) -> tuple[ComplexArray, FloatArray]:
    z_ohm = resistance.value + 1j * reactance_ohm
    # dG/dZ = 2 z0 / (Z + z0)^2
    slope = 2 * z0_ohm / np.maximum(np.abs(z_ohm + z0_ohm), 1e-3 * z0_ohm) ** 2
    sigma = slope * np.hypot(resistance.sigma, sigma_ohm) / np.sqrt(2)
    return reflection_from_impedance(z_ohm, z0_ohm), sigma


def _traced(
    trace: PictureTrace, sigma: FloatArray, lost: list[int], curves: Iterable[FollowedCurve]
) -> Traced:
    seen = tuple(curves)
    return Traced(
        np.maximum(sigma, _LEAST_SIGMA),
        tuple(lost),
        max(curve.frequency_sigma_hz for curve in seen),
        max(curve.alike_points for curve in seen),
        trace.picture_sha256,
        trace.method,
        max(curve.line_share for curve in seen),
    )
