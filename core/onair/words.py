"""What the reports say of two antennas, in sentences and as JSON."""

from __future__ import annotations

from dataclasses import asdict
from typing import TYPE_CHECKING

from fairlead.core.errors import FairleadError
from fairlead.core.onair.comparison import compare_heard
from fairlead.core.onair.lines import heard_among
from fairlead.core.onair.reports import S_UNIT_DB
from fairlead.core.units import format_signed

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from fairlead.core.document.session import LogEntry
    from fairlead.core.onair.comparison import OnAir

ORDER = "take them in the order A B B A, several times over"
_NOT_PREDICTED = (
    "The power budget predicts nothing here: it needs two sweeps that cover the band, neither of "
    "them a what-if."
)


def sentences(found: OnAir, predicted_db: float | None = None) -> tuple[str, ...]:
    """The comparison; ``predicted_db`` is the largest difference that the power budget predicts."""
    names = f"{found.second} against {found.first}"
    unused = ""
    if found.unused:
        many = "report is" if found.unused == 1 else "reports are"
        unused = f" {found.unused} {many} in no such block and not used."
    count = len(found.blocks)
    if found.mean_db is None:
        words = f"no four reports in the order A B B A; {ORDER}."
    elif found.half_db is None:
        words = (
            f"{_signed(found.mean_db)} dB from one block of four, which cannot tell a difference "
            f"from chance; {ORDER}.{unused}"
        )
    else:
        size = (
            f"{_signed(found.mean_db)} ± {found.half_db:.1f} dB (95 %, {count} blocks of four, "
            f"steps of {found.step_db:g} dB)"
        )
        words = f"the difference is smaller than your reports can show: {size}.{unused}"
        if found.is_resolved:
            sign = "louder" if found.mean_db > 0 else "weaker"
            units = abs(found.mean_db) / S_UNIT_DB
            words = f"{sign}, {size}; {units:.1f} S-units at 6 dB each, real meters differ.{unused}"
    said = [f"{names}: {words}"]
    if predicted_db is not None:
        said.append(
            f"By match alone the power budget predicts at most {_signed(predicted_db)} dB between "
            "them; it knows nothing of what is radiated."
        )
    return tuple(said)


def log_sentences(
    log: Sequence[LogEntry],
    names: Mapping[int, str],
    first: str,
    second: str,
    predicted_db: float | None,
) -> tuple[str, ...]:
    """What lines of a log say of two of its antennas, or why they say nothing."""
    if first == second:
        return ("Choose two different antennas to compare.",)
    try:
        found = compare_heard(heard_among(log, names), first, second)
    except FairleadError as error:
        return (str(error),)
    said = sentences(found, predicted_db)
    if predicted_db is None:
        said += (_NOT_PREDICTED,)
    count = sum(line.about_key is None and bool(line.report) for line in log)
    if count:
        many = "report names" if count == 1 else "reports name"
        said += (f"{count} {many} no sweep or group and cannot be compared.",)
    return said


def as_json(found: OnAir, predicted_db: float | None, *, program: str) -> dict[str, object]:
    """The object of the headless contract."""
    return {
        "format": 1,
        "program": program,
        **asdict(found),
        "resolved": found.is_resolved,
        "predicted_db": predicted_db,
        "sentences": list(sentences(found, predicted_db)),
    }


def _signed(value_db: float) -> str:
    return format_signed(value_db, 1)
