"""Before, during and after in words, from the figures only; causes only as a possibility."""

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
"""What differed during: water or ice; a hand on the cable, or no choke; another length of cable."""

HOLDING = (
    "Hold or move the cable only while the analyzer is on it, never while transmitting; keep away "
    "from power lines, and leave the antenna alone when thunder is about: a wire carries static."
)
"""What to mind before the cable is touched."""

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
_MORE_DRIFT = (
    "More drifted than came and went, so the effect is no better than the guess that the drift ran "
    "evenly; take the sweeps closer together."
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
    """What came and went, and what drifted."""
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

    "yes" if any figure differs by more than what is not known of all of them together, and by more
    than the drift, where that was seen; "cannot tell" if nothing is known of the noise.
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
    """Whether the cable is part of the antenna, and by what it is known."""
    effects = _effects(found)
    drift = [] if found.after is None else [_drift(found)]
    verdict = cable_verdict(found)
    if verdict == "yes":
        beyond = "chance" if found.after is None else "chance and drift"
        return [
            f"The cable is part of the antenna: it changes what is swept by more than {beyond}.",
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
    # As many digits as the interval is wide.
    decimals = 0 if interval.high - interval.low >= 2 else 1
    ends = f"{interval.low:.{decimals}f} to {interval.high:.{decimals}f}"
    way = frequency_text(found.end - found.start, None, signed=True)
    return (
        f"Drying curve of {found.points} sweeps: half of the way back is done every "
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
        return f"the mean of {before} and {after}, their drift counted as not known"
    return f"what lies between {before} and {after} at that time"


def _effects(found: Compared) -> str:
    values = {key: stages.effect for key, stages in found.figures.items()}
    match = found.figures.get("best_match_hz")
    listed = _listed(values, None if match is None else match.before)
    return f"{found.during.entry.measured_caption}, against {_baseline(found)}: {listed}."


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
    """Resolved differences, then the unresolved ones; ``whole_hz`` is what per cent are of."""
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
    return "; ".join(said) or "no figure that all of them have"


def _amount(key: str, value: float, half: float | None, *, signed: bool = False) -> str:
    if key.endswith("_hz"):
        return frequency_text(value, half, signed=signed)
    return with_half(value, half, signed=signed)
