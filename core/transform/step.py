"""The base class of steps: a kind, a switch, a caption and a pure function from sweep to sweep."""

from __future__ import annotations

from abc import ABC, abstractmethod
from dataclasses import dataclass, field, fields
from typing import TYPE_CHECKING, ClassVar, Literal

import numpy as np

from fairlead.core.errors import FairleadError

if TYPE_CHECKING:
    from collections.abc import Mapping
    from typing import Self

    from fairlead.core.arrays import FloatArray
    from fairlead.core.sweep import AnySweep

ParameterValue = float | str
Plane = Literal["radio", "feed"]
"""Where a sweep is shown: at the radio's end of the feed line, or at the feed point."""

WHAT_IF = "what-if: "


def is_comparable(one: Plane | None, other: Plane | None) -> bool:
    """Whether two sweeps may be subtracted: not if they are known to be at different ends."""
    return one is None or other is None or one == other


_TAKEN = {"float": (float, "a number"), "str": (str, "a text")}


class StepError(FairleadError):
    """A step that cannot be applied, or whose numbers make no sense."""


@dataclass(frozen=True, slots=True)
class Step(ABC):
    """One step between a measured sweep and the one that is shown.

    A kind of step is a frozen dataclass whose own fields, its parameters, are ``float`` or ``str``
    and are checked in ``__post_init__`` (StepError). Equal steps have equal results.

    Attributes
    ----------
    is_on : bool
        A step that is off is kept with its parameters and does nothing.
    kind : str
        Its name in JSON and in bench files; never changed once published.
    is_what_if : bool
        Whether the result was never measured.
    leads_to : {"radio", "feed"} or None
        The reference plane of the result; None if the step does not change it.
    """

    kind: ClassVar[str]
    is_what_if: ClassVar[bool] = False
    leads_to: ClassVar[Plane | None] = None

    is_on: bool = field(default=True, kw_only=True)

    @property
    @abstractmethod
    def caption(self) -> str:
        """A few words for lists, legends and tables, with the numbers and their units.

        A what-if begins with `WHAT_IF`.
        """

    @property
    def remark(self) -> str:
        """The caption for a sweep that is already called a what-if."""
        return self.caption.removeprefix(WHAT_IF)

    @abstractmethod
    def applied(self, sweep: AnySweep) -> AnySweep:
        """The result of the step for a sweep, whether the step is on or off.

        Raises
        ------
        StepError
            If it cannot be applied to this sweep.
        SweepError
            If the result is not a valid sweep.
        """

    def error_gain(self, sweep: AnySweep) -> FloatArray:
        """Factor on an error of the reflection, shape (n,); ``sweep`` is the result."""
        return np.ones(len(sweep))

    def added_error(self, sweep: AnySweep) -> FloatArray:
        """The most that the step's own tolerances can move |reflection|, shape (n,)."""
        return np.zeros(len(sweep))

    @property
    def parameters(self) -> dict[str, ParameterValue]:
        """All fields except the switch, in order."""
        return {f.name: getattr(self, f.name) for f in fields(self) if f.name != "is_on"}

    def as_object(self) -> dict[str, object]:
        """The step in JSON: its kind with its parameters."""
        common = {"kind": self.kind, "is_on": self.is_on, "caption": self.caption}
        return common | self.parameters

    @classmethod
    def from_parameters(cls, parameters: Mapping[str, object], *, is_on: bool) -> Self:
        """The step with these `parameters`.

        Raises
        ------
        StepError
            For a parameter that is missing, unknown, of another type or out of its range.
        """
        wanted = {f.name: str(f.type) for f in fields(cls) if f.name != "is_on"}
        for name in wanted.keys() ^ parameters.keys():
            what = "is missing" if name in wanted else "is unknown"
            raise StepError(f'the parameter "{name}" of the step "{cls.kind}" {what}', _MEND)
        for name, type_name in wanted.items():
            type_, words = _TAKEN[type_name]
            if not isinstance(parameters[name], type_):
                raise StepError(
                    f'the parameter "{name}" of the step "{cls.kind}" is not {words}', _MEND
                )
        return cls(is_on=is_on, **parameters)


_MEND = "open a backup copy of the file"
