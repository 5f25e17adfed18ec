"""What changed against the reference, in one sentence made only from the figures and the parts.

A change smaller than its uncertainty is called unresolved, never unchanged; whatever cannot be
known is left out; no cause is named.
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from fairlead.core.comparison.amounts import frequency_text, signed_text, with_half
from fairlead.core.comparison.parts.result import Parts
from fairlead.core.units import format_swr
from fairlead.core.verdict import verdict

if TYPE_CHECKING:
    from fairlead.core.bands import Band
    from fairlead.core.comparison.added_loss import AddedLoss
    from fairlead.core.comparison.dc_loss import DcLoss
    from fairlead.core.comparison.parts.result import Part
    from fairlead.core.comparison.rows import Row

# Limits at which coverage is reported besides the chosen one (common practice, no source).
_USUAL_LIMITS = (1.5, 2.0, 3.0)
# Below so many per cent one decimal says too little.
_LEAST_SHORT = 0.2


def sentence_of(
    row: Row,
    reference: Row,
    band: Band,
    limit_swr: float,
    parts: Parts | str,
    loss: AddedLoss | None = None,
    dc_loss: DcLoss | None = None,
) -> str:
    """What changed, in words; empty for the reference itself.

    Parameters
    ----------
    row, reference : Row
        Of one bench.
    band : Band
    limit_swr : float
    parts : Parts or str
        The reason, as a string, if the change could not be separated into parts.
    loss : AddedLoss or None
        Said near the end, with the reason if there is none.
    dc_loss : DcLoss or None
        Said beside it, if there is any.
    """
    if row.change is None:
        return ""
    if row.change.why_not:
        return f"{_name(row)}: {row.change.why_not}."
    said = [_best_match(row)]
    if isinstance(parts, Parts):
        said += _of_parts(parts)
    said += [_worst(row, reference), _coverage(row, band, limit_swr)]
    if loss is not None:
        said.append(loss.text)
    if dc_loss is not None:
        said.append(dc_loss.text)
    return f"{_name(row)}: {'; '.join(filter(None, said))}."


def _name(row: Row) -> str:
    condition = row.entry.condition
    return f"{row.entry.label}, {condition}" if condition else row.entry.label


def _best_match(row: Row) -> str:
    change = row.change
    shift_hz = None if change is None else change.best_match_shift_hz
    percent = None if change is None else change.best_match_shift_percent
    if shift_hz is None or percent is None:
        return "no best match to compare"
    half_hz = row.half_widths.get("best_match_shift_hz")
    if half_hz is not None and abs(shift_hz) <= half_hz:
        return f"best match change unresolved ({frequency_text(shift_hz, half_hz, signed=True)})"
    if shift_hz == 0:
        return "best match at the same frequency"
    where = "higher" if shift_hz > 0 else "lower"
    share = signed_text(percent, 1 if abs(percent) >= _LEAST_SHORT else 2)
    return f"best match {frequency_text(abs(shift_hz), half_hz)} {where} ({share} %)"


def _of_parts(parts: Parts) -> list[str]:
    tuning, match, damping = parts.tuning_hz, parts.match_ohm, parts.damping_db
    if tuning.is_resolved:
        where = "higher" if tuning.value > 0 else "lower"
        said = [f"tuning {frequency_text(abs(tuning.value), tuning.half)} {where}"]
    else:
        found = frequency_text(tuning.value, tuning.half, signed=True)
        said = [f"tuning change unresolved ({found})"]
    if match is not None:
        said.append(_change("match", match, "Ω", ("higher", "lower")))
    if damping is not None:
        # A higher Q is less damping.
        said.append(_change("damping", damping, "dB of Q", ("less", "more")))
    if parts.width_hz is not None:
        said.append(_width(parts.width_hz))
    return said


def _width(width: Part) -> str:
    if not width.is_resolved:
        found = frequency_text(width.value, width.half, signed=True)
        return f"width change unresolved ({found})"
    word = "wider" if width.value > 0 else "narrower"
    return f"{frequency_text(abs(width.value), width.half)} {word}"


def _change(name: str, part: Part, unit: str, words: tuple[str, str]) -> str:
    if not part.is_resolved:
        return f"{name} change unresolved ({with_half(part.value, part.half, signed=True)} {unit})"
    word = words[0] if part.value > 0 else words[1]
    text = f"{with_half(abs(part.value), part.half)} {unit}"
    return f"{word} {name} ({text})" if name == "damping" else f"{name} {text} {word}"


def _worst(row: Row, reference: Row) -> str:
    now, before = row.figures.worst_swr, reference.figures.worst_swr
    if now is None or before is None:
        return ""
    if "worst_swr_change" in row.unresolved:
        return f"worst SWR in the band {_swr(row)}, its change unresolved"
    if _swr(row) == _swr(reference) and "worst_swr" in row.figures.at_least:
        return f"worst SWR in the band {_swr(row)}, and of the reference too"
    if _swr(row) == _swr(reference):
        return f"worst SWR in the band {_swr(row)}, as for the reference"
    return f"worst SWR in the band {_swr(row)} instead of {_swr(reference)}"


def _swr(row: Row) -> str:
    value = row.figures.worst_swr
    if value is not None and math.isinf(value):
        return "infinite"
    sign = "over " if "worst_swr" in row.figures.at_least else ""
    return sign + format_swr(value)


def _coverage(row: Row, band: Band, limit_swr: float) -> str:
    levels = sorted({*_USUAL_LIMITS, limit_swr})
    own = row.figures
    found = {level: verdict(own, band, level, own.grounds).covers for level in levels}
    kept = [f"{level:.4g}" for level in levels if found[level] == "yes"]
    broken = [f"{level:.4g}" for level in levels if found[level] == "no"]
    if kept and broken:
        return f"covers the band at {kept[0]}, not at {broken[-1]}"
    if kept:
        return f"covers the band at {kept[0]}"
    if len(broken) == len(levels):
        return f"does not cover the band, even at {broken[-1]}"
    if broken:
        return f"does not cover the band at {broken[-1]}"
    return "whether it covers the band cannot be determined"
