"""Before, during and after in words, from the figures only; causes are only possibilities."""

from __future__ import annotations

from typing import TYPE_CHECKING, Literal

from fairlead.core.comparison.amounts import frequency_text, signed_text, with_half
from fairlead.core.uncertainty.quantiles import NORMAL_95

if TYPE_CHECKING:
    from collections.abc import Sequence

    from fairlead.core.comparison.repeats.difference import Difference
    from fairlead.core.comparison.repeats.drying import Drying
    from fairlead.core.comparison.repeats.stages import Compared
    from fairlead.core.comparison.rows import Row

Kind = Literal["weather", "cable", "cable-length"]
"""What changed: water or ice; a hand on the cable, or no choke; another length of cable."""

HOLDING = (
    "Hold or move the cable only while the analyzer is on it, never while transmitting; keep away "
    "from power lines, and leave the antenna alone when thunder is about: a wire carries static."
)
"""The caution before the cable is touched."""

_MOST_MINUTES = 600.0
_NAMES = {
    "best_match_hz": ("best match", "higher", "lower"),
    "best_match_swr": ("SWR at the best match", "higher", "lower"),
    "worst_swr": ("worst SWR in the band", "higher", "lower"),
    "usable_width_hz": ("usable bandwidth", "wider", "narrower"),
    "q": ("Q", "higher", "lower"),
}
# Of five figures each at 95 %, one lies outside by chance alone in up to a quarter of all cases. At
# 99 % it is one case in twenty (Bonferroni): the ratio of the two normal quantiles.
_STRICTER = 2.575829 / NORMAL_95
_NO_NOISE = "The noise of these sweeps is unknown, so part or all of this may be chance."
_NO_AFTER = "Without a sweep afterwards, whatever drifted meanwhile is part of this."
_IS_CABLE = "The cable is part of the antenna: it changes the sweep by more than chance and drift."
_MAY_BE_CABLE = (
    "The sweeps differ by more than chance: the cable is part of the antenna, unless something "
    "else changed in between; put the cable back and take the first sweep again to know."
)
_MORE_DRIFT = (
    "The drift is larger than the effect, so the effect is only as good as the assumption that the "
    "drift was steady; take the sweeps closer together."
)
_CHOKE = (
    "The sweeps show antenna and cable together; choke the cable at the feed point and compare "
    "again."
)
_CAUSES = (
    "Water or ice may load the antenna, leak and lose power at once; these figures do not "
    "show which it was."
)


def weather_sentences(found: Compared) -> list[str]:
    """The effect that came and went, and the drift."""
    said = [_effects(found)]
    if found.after is None:
        said.append(_NO_AFTER)
    else:
        said.append(_drift(found))
        if _has_drifted_more(found):
            said.append(_MORE_DRIFT)
    if any(stages.effect.half is None for stages in found.figures.values()):
        said.append(_NO_NOISE)
    return [*said, _CAUSES]


def cable_verdict(found: Compared) -> Literal["yes", "no", "cannot tell"]:
    """Whether the cable is part of the antenna.

    "yes" if any figure differs by more than its uncertainty, widened for several figures, and by
    more than the drift, if known; "cannot tell" if the noise is unknown.
    """
    known = [stages for stages in found.figures.values() if stages.effect.half is not None]
    if not known:
        return "cannot tell"
    for stages in known:
        effect, drift = stages.effect, stages.drift
        least = _STRICTER * (effect.half or 0.0)
        if abs(effect.value) > max(least, 0.0 if drift is None else abs(drift.value)):
            return "yes"
    return "no"


def cable_sentences(found: Compared) -> list[str]:
    """Whether the cable is part of the antenna, with the figures that show it."""
    effects = _effects(found)
    drift = [] if found.after is None else [_drift(found)]
    verdict = cable_verdict(found)
    if verdict == "yes":
        return [
            _MAY_BE_CABLE if found.after is None else _IS_CABLE,
            effects,
            *drift,
            _CHOKE,
        ]
    if verdict == "no":
        return [
            "Nothing shows that the cable is part of the antenna.",
            effects,
            *drift,
            "A hand in another place, or another length of cable, may still show it.",
        ]
    return [
        "Whether the cable is part of the antenna cannot be determined.",
        effects,
        *drift,
        _NO_NOISE,
    ]


def drying_sentence(found: Drying | str) -> str:
    """The half time, or why there is none."""
    if isinstance(found, str):
        return f"Drying curve: {found}."
    interval = found.interval_minutes
    # As many digits as the interval justifies.
    decimals = 0 if interval.high - interval.low >= 2 else 1
    ends = f"{interval.low:.{decimals}f} to {interval.high:.{decimals}f}"
    way = frequency_text(found.end - found.start, None, signed=True)
    return (
        f"Drying curve of {found.points} sweeps: half of the remaining change is gone every "
        f"{found.half_time_minutes:.{decimals}f} minutes ({ends}); {way} in all."
    )


def _has_drifted_more(found: Compared) -> bool:
    match = found.figures.get("best_match_hz")
    if match is None or match.drift is None or not match.drift.is_resolved:
        return False
    return abs(match.drift.value) > abs(match.effect.value)


def _baseline(found: Compared) -> str:
    before = found.before.entry.measured_caption
    if found.after is None:
        return before
    after = found.after.entry.measured_caption
    if found.minutes is None:
        return f"the mean of {before} and {after}, with their drift as uncertainty"
    return f"a baseline between {before} and {after} at that time"


def _effects(found: Compared) -> str:
    values = {key: stages.effect for key, stages in found.figures.items()}
    match = found.figures.get("best_match_hz")
    listed = _listed(values, None if match is None else match.before)
    return f"{found.during.entry.measured_caption}, compared with {_baseline(found)}: {listed}."


def _drift(found: Compared) -> str:
    values = {key: stages.drift for key, stages in found.figures.items() if stages.drift}
    rows: Sequence[Row] = [found.before, *([found.after] if found.after else [])]
    names = " to ".join(row.entry.measured_caption for row in rows)
    time = ""
    if found.minutes is not None:
        time = f" in {_duration(found.minutes[2] - found.minutes[0])}"
    return f"Drift from {names}{time}: {_listed(values, None)}."


def _duration(minutes: float) -> str:
    if minutes < _MOST_MINUTES:
        return f"{minutes:.0f} minutes"
    return f"{minutes / 60:.0f} hours"


def _listed(values: dict[str, Difference], whole_hz: float | None) -> str:
    """Resolved differences, then the unresolved ones; ``whole_hz`` is 100 per cent."""
    said, unresolved = [], []
    for key, found in values.items():
        name, up, down = _NAMES[key]
        if found.is_resolved is False:
            unresolved.append(f"{name} ({_amount(key, found.value, found.half, signed=True)})")
            continue
        if found.value == 0:
            said.append(f"{name} the same")
            continue
        text = f"{name} {_amount(key, abs(found.value), found.half)} "
        text += up if found.value > 0 else down
        if key == "best_match_hz" and whole_hz:
            text += f" ({signed_text(100 * found.value / whole_hz, 2)} %)"
        said.append(text)
    if unresolved:
        said.append(f"unresolved: {', '.join(unresolved)}")
    return "; ".join(said) or "no figure exists in all of them"


def _amount(key: str, value: float, half: float | None, *, signed: bool = False) -> str:
    if key.endswith("_hz"):
        return frequency_text(value, half, signed=signed)
    return with_half(value, half, signed=signed)
