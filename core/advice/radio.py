"""What a radio does when its load is not 50 ohm: three models, one of which must be chosen.

Without a model the mismatch would be counted twice or not at all. A tuner at the radio transforms
the line's input to 50 ohm, so nothing is reflected at the radio and only the line's loss remains; a
transmitter without a tuner delivers at best its power times 1 - |G|^2.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise
from typing import TYPE_CHECKING, Literal

import numpy as np

from fairlead.core.errors import FairleadError
from fairlead.core.units import parse_number

if TYPE_CHECKING:
    from fairlead.core.arrays import FloatArray

RADIO_OHM = 50.0
"""The load for which transmitters are designed."""

RadioKind = Literal["fixed", "tuner", "fold-back"]

# SWR at the radio, and the share of full power still sent. Common practice, no source: the manual
# of a radio seldom says more than that power is reduced.
RULE_OF_THUMB = ((1.5, 1.0), (2.0, 0.75), (2.5, 0.5), (3.0, 0.25), (5.0, 0.1))
_USE = (
    'write "tuner", "fixed", "fold-back" (a rule of thumb) or your own curve of SWR and percent, '
    '"fold-back=1.5:100,2:70,3:25"'
)


@dataclass(frozen=True, slots=True)
class Radio:
    """How a transmitter behaves.

    Attributes
    ----------
    kind : {"fixed", "tuner", "fold-back"}
        A fixed 50 ohm source; a lossless tuner at the radio; a source that reduces its power.
    curve : tuple of (SWR, share)
        For a radio that folds back: full power times ``share`` is sent at that SWR, with linear
        interpolation between and constant values outside. SWR must be at least 1 and increasing,
        the share 0 to 1 and not increasing.
    is_rule_of_thumb : bool
        Whether the curve is a rule of thumb instead of that of a particular radio.

    Raises
    ------
    FairleadError
        If the curve violates these rules.
    """

    kind: RadioKind = "fixed"
    curve: tuple[tuple[float, float], ...] = ()
    is_rule_of_thumb: bool = False

    def __post_init__(self) -> None:
        ratios = [ratio for ratio, _ in self.curve]
        shares = [share for _, share in self.curve]
        is_fine = (
            bool(self.curve) == (self.kind == "fold-back")
            and all(ratio >= 1 for ratio in ratios)
            and all(0 <= share <= 1 for share in shares)
            and all(a < b for a, b in pairwise(ratios))
            and all(a >= b for a, b in pairwise(shares))
        )
        if not is_fine:
            raise FairleadError(
                "that is not a fold-back curve: the SWR must rise from 1 on and the power must not",
                _USE,
            )

    @property
    def words(self) -> str:
        """The model in words, as part of a sentence."""
        if self.kind == "tuner":
            return "a lossless tuner at the radio takes care of the mismatch there"
        if self.kind == "fixed":
            return "a 50 Ω transmitter without a tuner"
        curve = ", ".join(f"{100 * share:.4g} % at SWR {ratio:.4g}" for ratio, share in self.curve)
        origin = "a rule of thumb without a source" if self.is_rule_of_thumb else "as typed"
        return f"a 50 Ω transmitter that reduces its power ({origin}): {curve}"

    def sent_share(self, ratio: FloatArray) -> FloatArray:
        """Share of the full power that is sent forward at an SWR, shape (n,)."""
        if not self.curve:
            return np.ones(ratio.shape)
        known, shares = np.array(self.curve).T
        result: FloatArray = np.interp(ratio, known, shares)
        return result


FIXED = Radio("fixed")
TUNER = Radio("tuner")
FOLD_BACK = Radio("fold-back", RULE_OF_THUMB, is_rule_of_thumb=True)
_BY_NAME = {"fixed": FIXED, "tuner": TUNER, "fold-back": FOLD_BACK}


def parse_radio(text: str) -> Radio:
    """Parse a radio as typed.

    Parameters
    ----------
    text : str
        "fixed", "tuner", "fold-back", or "fold-back=SWR:PERCENT,...".

    Raises
    ------
    FairleadError
        For anything else.
    """
    name, _, curve = text.strip().lower().partition("=")
    if name not in _BY_NAME or (curve and name != "fold-back"):
        raise FairleadError(f'"{text.strip()}" is not a kind of radio', _USE)
    if not curve:
        return _BY_NAME[name]
    points = []
    for part in curve.split(","):
        ratio, colon, percent = part.partition(":")
        if not colon:
            raise FairleadError(f'"{part}" is not a point of a fold-back curve', _USE)
        share = parse_number(percent.strip().removesuffix("%"), "the power in percent") / 100
        points.append((parse_number(ratio, "the SWR"), share))
    return Radio("fold-back", tuple(points))


def parse_power_w(text: str) -> float:
    """Parse a transmitter's power as typed: "100 W", "0.5kW", "5".

    Raises
    ------
    FairleadError
        If it is not a power between 1 mW and 100 kW.
    """
    stripped = text.strip().lower()
    factor = 1.0
    for ending, one in (("kw", 1e3), ("mw", 1e-3), ("w", 1.0)):
        if stripped.endswith(ending):
            stripped, factor = stripped.removesuffix(ending), one
            break
    power_w = parse_number(stripped, "the power") * factor
    if not 1e-3 <= power_w <= 1e5:
        raise FairleadError(f"a transmitter of {power_w:g} W is of no use here", 'write "100 W"')
    return power_w
