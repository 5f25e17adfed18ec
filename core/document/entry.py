"""One sweep on the bench: as measured, as shown, and what the user noted about it."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from functools import lru_cache
from typing import TYPE_CHECKING

from fairlead.core.errors import FairleadError
from fairlead.core.traced import TRACED_WORDS
from fairlead.core.transform.apply import apply
from fairlead.core.transform.step import WHAT_IF

if TYPE_CHECKING:
    from fairlead.core.document.picture_request import Legend
    from fairlead.core.notice import Notice
    from fairlead.core.sweep import AnySweep
    from fairlead.core.transform.step import Plane, Step

PLANE_WORDS: dict[Plane, str] = {"radio": "at the radio", "feed": "at the feed point"}

COLOUR_KINDS, DASH_KINDS, MARKER_KINDS = 5, 4, 6
"""So many colours, kinds of lines (the first one is solid) and markers there are. Any two of the
colours can be told apart, also with a colour-vision deficiency (`fairlead.app.look.palette`)."""


@dataclass(frozen=True, slots=True)
class Style:
    """How a sweep is drawn: indices into the lists of colours, dashes and markers.

    Views take them modulo the length of their lists.
    """

    colour: int
    dash: int
    marker: int


@dataclass(frozen=True, slots=True)
class Circumstances:
    """Under what circumstances a sweep was taken, in the user's own words; all may be empty.

    Attributes
    ----------
    taken_at : str
        Date and time, ISO 8601 where it came from a file ("2026-05-14T18:30").
    place, height, feed_line, weather : str
    continuity : str
        Resistance at the connector or along the conductor, measured with an ohmmeter, with its
        unit; `fairlead.core.comparison.dc_reading` says how it is read.
    notes : str
        Free text, possibly of several lines.
    """

    taken_at: str = ""
    place: str = ""
    height: str = ""
    feed_line: str = ""
    weather: str = ""
    continuity: str = ""
    notes: str = ""


@dataclass(frozen=True, slots=True)
class Typed:
    """Readings as they were typed, to be edited again.

    Attributes
    ----------
    quantity : str
        "swr" or "forward+reflected": a value of `fairlead.core.reading.Kind`.
    rows : tuple of tuple of str
        Cells as typed; empty for a sweep that was read from a file.
    """

    quantity: str = "swr"
    rows: tuple[tuple[str, ...], ...] = ()


@dataclass(frozen=True, slots=True)
class Entry:
    """One sweep on the bench.

    Attributes
    ----------
    key : int
        Unique on its bench and never reused.
    measured : Sweep or ScalarSweep
        As read; it never changes. Everything except readers, files and raw exports uses `sweep`.
    label : str
    condition : str
        What was different: dry, wet, iced; may be empty.
    is_visible : bool
    style : Style
    file : str
        Where it was read from; may be empty.
    notices : tuple of Notice
    circumstances : Circumstances
    typed : Typed
    steps : tuple of Step
        The steps from `measured` to `sweep`, in order.
    plane : {"radio", "feed"} or None
        Where it was taken; None is not stated.
    instrument_key, picture_key : int or None
        What measured it; the picture that it was traced from.
    picture_curve : int or None
        The first of the curves of that picture's tracing that it was made of.

    Raises
    ------
    FairleadError
        If a step that is on cannot be applied to this sweep.
    """

    key: int
    measured: AnySweep
    label: str
    condition: str = ""
    is_visible: bool = True
    style: Style = Style(0, 0, 0)
    file: str = ""
    notices: tuple[Notice, ...] = ()
    circumstances: Circumstances = Circumstances()
    typed: Typed = Typed()
    steps: tuple[Step, ...] = ()
    plane: Plane | None = None
    instrument_key: int | None = None
    picture_key: int | None = None
    picture_curve: int | None = None
    _sweep: AnySweep = field(init=False, repr=False, compare=False)

    def __post_init__(self) -> None:
        # Stored here, so that it stays the same object for entries that differ only in text.
        object.__setattr__(self, "_sweep", apply(self.measured, self.steps))

    @property
    def sweep(self) -> AnySweep:
        """The sweep that is shown: `measured` after all `steps` that are on."""
        return self._sweep

    @property
    def measured_span_hz(self) -> tuple[float, float]:
        """First and last frequency that were measured."""
        return float(self.measured.frequency_hz[0]), float(self.measured.frequency_hz[-1])

    @property
    def seen_at(self) -> Plane | None:
        """Where it is shown: removing a line leads from the radio to the feed point."""
        ways = [step.leads_to for step in self.steps if step.is_on and step.leads_to is not None]
        return ways[-1] if ways else self.plane

    def steps_at(self, plane: Plane) -> tuple[Step, ...] | None:
        """The steps with those switched on that lead to a plane, and those off that lead away.

        None if no known line leads there: the sweep cannot be shown at that plane.
        """
        steps = tuple(
            step if step.leads_to is None else replace(step, is_on=step.leads_to == plane)
            for step in self.steps
        )
        is_led = any(step.leads_to == plane for step in steps)
        return steps if is_led or self.plane == plane else None

    def sweep_at(self, plane: Plane) -> AnySweep | None:
        """The sweep as shown at a plane; None if no known line leads there."""
        steps = self.steps_at(plane)
        try:
            return None if steps is None else apply(self.measured, steps)
        except FairleadError:
            return None

    @property
    def is_what_if(self) -> bool:
        """Whether what is shown was not measured but is a what-if."""
        return any(step.is_on and step.is_what_if for step in self.steps)

    @property
    def drawn_style(self) -> Style:
        """The style as it is drawn: what nobody has measured is never a solid line."""
        if self.is_what_if and self.style.dash % DASH_KINDS == 0:
            return _dashed(self.style)
        return self.style

    @property
    def steps_caption(self) -> str:
        """The steps that are on, as text, a what-if first; empty without any."""
        taken = [step for step in self.steps if step.is_on]
        taken.sort(key=lambda step: not step.is_what_if)
        return ", ".join(step.caption for step in taken)

    @property
    def plane_words(self) -> str:
        """Where it was taken, as text; empty if not stated, or if a line says more."""
        is_led = any(step.is_on and step.leads_to is not None for step in self.steps)
        return "" if self.plane is None or is_led else PLANE_WORDS[self.plane]

    @property
    def title(self) -> str:
        """Label and steps, for headings."""
        return self._named()

    @property
    def caption(self) -> str:
        """Label, condition and steps, for legends."""
        return self._named(self.condition)

    @property
    def measured_caption(self) -> str:
        """Label and condition, without steps."""
        mark = "" if self.measured.traced is None else TRACED_WORDS
        words = ", ".join(filter(None, [self.condition, mark]))
        return f"{self.label} ({words})" if words else self.label

    def _named(self, *remarks: str) -> str:
        """The what-if comes first: where room is short, names lose their middle or end."""
        taken = [step.remark for step in self.steps if step.is_on]
        mark = "" if self.measured.traced is None else TRACED_WORDS
        words = ", ".join(filter(None, [*remarks, mark, *taken, self.plane_words]))
        name = f"{self.label} ({words})" if words else self.label
        return f"{WHAT_IF}{name}" if self.is_what_if else name

    def in_legend(self, legend: Legend) -> Entry:
        """The entry with its legend text as caption."""
        noted = self.circumstances
        more = {"date": noted.taken_at.replace("T", " "), "place": noted.place}.get(legend, "")
        words = ["" if legend == "name" else self.condition, " ".join(more.split())]
        return replace(self, condition=", ".join(filter(None, words)))


@lru_cache(maxsize=512)
def _dashed(style: Style) -> Style:
    """The next kind of line; the same object each time, which is quick to compare."""
    return replace(style, dash=style.dash + 1)
