"""The parts of a change as lines of a small table: the change, and both statements of how well."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from fairlead.core.comparison.amounts import frequency_text, with_half
from fairlead.core.comparison.dc_loss import floored
from fairlead.core.units import DASH

if TYPE_CHECKING:
    from collections.abc import Callable

    from fairlead.core.comparison.added_loss import AddedLoss
    from fairlead.core.comparison.changes import ChangeSummary
    from fairlead.core.comparison.parts.result import Part, Parts

HEADINGS = ("Part", "Change", "± repeatability", "± accuracy")
_NO_ACCURACY = "the analyzer's accuracy is not stated for both sweeps"
_HINTS = {
    "Tuning": "the resonance itself, whatever match and damping did",
    "Match": "the resistance level seen at the reference plane, not the antenna's own resistance",
    "Damping": "the ratio of the Q, without the line: negative is more damping",
    "Width": "between the points where |G|²/(1 - |G|²) lies 1/8 above its least",
    "Left over": "what one resonance in each sweep does not explain of |reflection| at a point",
}


@dataclass(frozen=True, slots=True)
class PartLine:
    """One line.

    Attributes
    ----------
    texts : tuple of str
        In the order of `HEADINGS`; a dash where there is nothing. Empty beside a text that needs
        the whole width.
    hint : str
        What the part is, and the reason of each dash.
    """

    texts: tuple[str, str, str, str]
    hint: str


def part_lines(summary: ChangeSummary) -> list[PartLine]:
    """The lines of one sweep; where there are no parts, one with the reason alone."""
    parts = summary.parts
    if isinstance(parts, str):
        return [PartLine((f"No parts: {parts}", "", "", ""), parts)]
    lines = [
        _line("Tuning", parts.tuning_hz, frequency_text),
        _match(parts),
        _damping(parts),
        *([] if parts.width_hz is None else [_line("Width", parts.width_hz, frequency_text)]),
        PartLine(("Left over", f"{parts.left_over:.4f}", DASH, DASH), _HINTS["Left over"]),
    ]
    if summary.added_loss is not None:
        lines.append(_added(summary.added_loss))
    if summary.dc_loss.loss_db is not None:
        least = f"≥ {floored(summary.dc_loss.loss_db)} dB"
        lines.append(PartLine(("Conductor", least, DASH, DASH), summary.dc_loss.sentence))
    return lines


def _added(loss: AddedLoss) -> PartLine:
    if loss.loss_db is None or loss.half_db is None:
        return PartLine(("Added loss", DASH, DASH, DASH), loss.text)
    change, half = with_half(loss.loss_db, loss.half_db, signed=True).split(" ± ")
    return PartLine(("Added loss", f"{change} dB", f"± {half} dB", DASH), loss.text)


def _in_unit(unit: str) -> Callable[..., str]:
    def text(value: float, half: float | None, *, signed: bool = False) -> str:
        return f"{with_half(value, half, signed=signed)} {unit}"

    return text


def _match(parts: Parts) -> PartLine:
    if parts.match_ohm is None:
        return PartLine(("Match", DASH, DASH, DASH), parts.why_not_match)
    return _line("Match", parts.match_ohm, _in_unit("Ω"))


def _damping(parts: Parts) -> PartLine:
    if parts.damping_db is None:
        return PartLine(("Damping", DASH, DASH, DASH), parts.why_not_damping)
    return _line("Damping", parts.damping_db, _in_unit("dB of Q"))


def _line(name: str, part: Part, form: Callable[..., str]) -> PartLine:
    near, bound = part.intervals.repeatability, part.intervals.accuracy
    whole = form(part.value, part.half or None, signed=True)
    number, _, unit = whole.partition(" ± ")
    # The unit stands behind the half width, which has a column of its own.
    change = f"{number} {unit.split(' ', 1)[1]}" if unit else whole
    hint = _HINTS[name]
    if bound is None:
        hint += f"; no accuracy: {_NO_ACCURACY}"
    halves = [DASH if one is None else _half(one.half_width, form) for one in (near, bound)]
    return PartLine((name, change, halves[0], halves[1]), hint)


def _half(half: float, form: Callable[..., str]) -> str:
    return "± " + form(half, half).split(" ± ")[1]
