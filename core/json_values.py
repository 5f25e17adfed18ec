"""Values of the headless contract: JSON has no infinity and no NaN."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Iterable

    from fairlead.core.errors import ReadError
    from fairlead.core.uncertainty.interval import Interval


def json_value(value: object) -> object:
    """The value itself; "inf" or "-inf" for infinity, and None for NaN."""
    if not isinstance(value, float) or math.isfinite(value):
        return value
    if math.isnan(value):
        return None
    return "inf" if value > 0 else "-inf"


def json_ends(interval: Interval | None) -> list[object] | None:
    """Both ends of an interval, in its unit; None where there is none."""
    return None if interval is None else [json_value(interval.low), json_value(interval.high)]


def json_unread(errors: Iterable[ReadError]) -> list[dict[str, object]]:
    """Files that could not be read, each with its line (None if no line is to blame)."""
    return [
        {"file": error.file, "line": error.line, "reason": error.reason, "advice": error.advice}
        for error in errors
    ]
