"""What if the antenna were a little smaller or larger: the curve moved along the frequency axis.

The principle of similitude (G. Sinclair, "Theory of models of electromagnetic systems", Proc. IRE
36(11), 1948, cited from memory): an antenna with all its dimensions divided by k has the same
impedance at k times the frequency. Ground, height, feed line, and losses do not scale with it, so
this holds for small changes and at the feed point; it is a what-if, not a measurement.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, ClassVar

from fairlead.core.sweep import Sweep
from fairlead.core.transform.step import WHAT_IF, Step, StepError

if TYPE_CHECKING:
    from fairlead.core.sweep import AnySweep

LEAST_PERCENT = -50.0
MOST_PERCENT = 100.0


@dataclass(frozen=True, slots=True)
class FrequencyScale(Step):
    """All frequencies multiplied by the same factor; works with and without phase.

    Attributes
    ----------
    change_percent : float
        From -50 to 100: +0.58 moves 50 MHz to 50.29 MHz.

    Raises
    ------
    StepError
        Outside that range.
    """

    kind: ClassVar[str] = "frequency-scale"
    is_what_if: ClassVar[bool] = True

    change_percent: float = 0.0

    def __post_init__(self) -> None:
        if not LEAST_PERCENT <= self.change_percent <= MOST_PERCENT:
            raise StepError(
                f"a frequency change of {self.change_percent:g} % is too large for a what-if",
                f"choose {LEAST_PERCENT:g} to +{MOST_PERCENT:g} %",
            )

    @property
    def caption(self) -> str:
        """Such as "what-if: frequency +0.58 %"."""
        return f"{WHAT_IF}frequency {self.change_percent:+.4g} %"

    def applied(self, sweep: AnySweep) -> AnySweep:
        """The sweep at the other frequencies.

        Raises
        ------
        SweepError
            If two frequencies coincide, or one is no longer finite.
        """
        frequency_hz = sweep.frequency_hz * (1 + self.change_percent / 100)
        if isinstance(sweep, Sweep):
            return sweep.at_frequencies(frequency_hz)
        return sweep.with_values(frequency_hz)
