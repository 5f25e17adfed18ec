"""What is typed for a plan, read once for command line and window."""

from __future__ import annotations

from dataclasses import asdict, replace
from typing import TYPE_CHECKING

from fairlead.core.document.session import Plan
from fairlead.core.errors import FairleadError
from fairlead.core.line_text import parse_length_m
from fairlead.core.units import parse_frequency_hz, parse_number

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping

    from fairlead.core.figures import Figures


def plan_of(texts: Mapping[str, str], first: Plan | None = None) -> Plan:
    """A plan as it is typed, by the names of its attributes; what is not typed is as in ``first``.

    An empty number takes it out.

    Raises
    ------
    FairleadError
        If a number cannot be read, or is impossible.
    """
    values = {
        name: (_READ[name](text) if text.strip() else None) if name in _READ else text.strip()
        for name, text in texts.items()
    }
    return replace(first or Plan(), **values)  # type: ignore[arg-type]


def texts_of(plan: Plan) -> dict[str, str]:
    """A plan as it would be typed, by the names of its attributes: `plan_of` reads it back."""
    given = {name: value for name, value in asdict(plan).items() if value is not None}
    return {name: _WRITTEN.get(name, "{}").format(value) for name, value in given.items()} | {
        name: f"{given[name] / factor:.6g}{unit}"
        for name, (factor, unit) in _SCALED.items()
        if name in given
    }


def plan_with(plan: Plan, figures: Figures | None) -> Plan:
    """The plan with the Q and the noise of a sweep of a similar antenna, where none were stated."""
    if figures is None:
        return plan
    noise = figures.noise.sigma
    return replace(
        plan,
        q=figures.q if plan.q is None else plan.q,
        noise=noise if plan.noise is None and noise else plan.noise,
    )


def _positive(what: str, unit: str = "", factor: float = 1.0) -> Callable[[str], float]:
    def read(text: str) -> float:
        bare = text.strip()
        if unit and bare.lower().endswith(unit.lower()):
            bare = bare[: -len(unit)]
        value = parse_number(bare, what) * factor
        if value <= 0:
            raise FairleadError(f"{what} has to be positive", "leave it empty if it is not known")
        return value

    return read


def _swr(text: str) -> float:
    value = parse_number(text, "the SWR")
    if value <= 1:
        raise FairleadError(f"no antenna has an SWR of {text.strip()}", "write one above 1")
    return value


def _noise(text: str) -> float:
    share = _positive("the noise", "%", 0.01)(text)
    if share >= 1:
        raise FairleadError(f"a noise of {text.strip()} leaves nothing to see", 'write "0.2 %"')
    return share


def _velocity(text: str) -> float:
    value = _positive("the velocity factor")(text)
    if value > 1:
        raise FairleadError("nothing on a line is faster than light", "write a factor up to 1")
    return value


_WRITTEN = dict.fromkeys(("cover_swr", "q", "velocity_factor", "line_loss_db"), "{:g}")
_SCALED = {
    "shift_hz": (1e3, ""),
    "repeatability_hz": (1e3, ""),
    "noise": (0.01, ""),
    "line_m": (1.0, " m"),
}
_READ: dict[str, Callable[[str], float]] = {
    "shift_hz": lambda text: parse_frequency_hz(text, "kHz"),
    "cover_swr": _swr,
    "q": _positive("the Q"),
    "noise": _noise,
    "repeatability_hz": lambda text: parse_frequency_hz(text, "kHz"),
    "line_m": parse_length_m,
    "velocity_factor": _velocity,
    "line_loss_db": _positive("the loss", "dB"),
}
