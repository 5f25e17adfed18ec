"""Common feed lines by type, from published figures only.

Each law k1 sqrt(f) + k2 f was fitted to the published points named beside it (least squares of the
relative error) or is the maker's own; ``loss_tolerance_percent`` covers the scatter of the points
about the law, and the difference from one specimen to another (common practice, no source: 10 %). A
law is not extrapolated beyond the frequencies of its points. Old or wet cable can be far worse than
its sheet: measure your own (`fairlead.core.line_measured`).
"""

from __future__ import annotations

from fairlead.core.errors import FairleadError
from fairlead.core.feed_line import M_PER_FT, FeedLine

_PER_100_M = 100 / (100 * M_PER_FT)
"""From dB for 100 ft to dB for 100 m."""

LINE_TYPES: tuple[FeedLine, ...] = (
    FeedLine(
        *("RG-58", 50.0, 0.66, 1.32799, 0.02639, 2.0, 10.0, 0.01, 1e6, 400e6),
        "points 1 to 400 MHz of a data sheet held in public code, within 3.2 %; VF: MIL type table",
    ),
    FeedLine(
        *("RG-213", 50.0, 0.66, 0.55427, 0.00861, 2.0, 12.0, 0.01, 10e6, 200e6),
        "points 10 to 200 MHz of a data sheet held in public code, within 2.2 %; "
        "the ARRL license manual's two points are 4 to 8 % higher",
    ),
    FeedLine(
        *("RG-8X", 50.0, 0.80, 1.01901, 0.01565, 2.0, 15.0, 0.03, 10e6, 450e6),
        "table of a radio club, 10 to 450 MHz, within 8 %; VF from memory, it differs by maker",
    ),
    FeedLine(
        *("RG-174", 50.0, 0.66, 2.70899, 0.00410, 2.0, 15.0, 0.01, 30e6, 150e6),
        "ARRL General Class License Manual, errata to table 6-1: 30 and 150 MHz",
    ),
    FeedLine(
        *("RG-59", 75.0, 0.66, 1.04892, 0.00425, 3.0, 10.0, 0.01, 30e6, 150e6),
        "ARRL General Class License Manual, errata to table 6-1: 30 and 150 MHz; "
        "z0 and VF from memory",
    ),
    FeedLine(
        *("LMR-240", 50.0, 0.84, 0.24208 * _PER_100_M, 0.00033 * _PER_100_M),
        *(2.0, 10.0, 0.01, 10e6, 2500e6),
        "the maker's own law, as quoted with its data sheet in public code; VF from memory",
    ),
    FeedLine(
        *("LMR-400", 50.0, 0.85, 0.12229 * _PER_100_M, 0.00026 * _PER_100_M),
        *(2.0, 10.0, 0.01, 10e6, 2500e6),
        "the maker's own law, as quoted with its data sheet in public code; VF from memory "
        "(an encyclopaedia has 0.84)",
    ),
    FeedLine(
        *("LMR-600", 50.0, 0.87, 0.07555 * _PER_100_M, 0.00026 * _PER_100_M),
        *(2.0, 12.0, 0.02, 10e6, 450e6),
        "law from memory, it reproduces a radio club's table of 10 to 450 MHz to 0.1 dB; "
        "VF from memory",
    ),
    FeedLine(
        *("9913", 50.0, 0.84, 0.45248, 0.0, 2.0, 15.0, 0.01, 10e6, 450e6),
        "table of a radio club, 10 to 450 MHz, within 13 %; VF: MIL type table",
    ),
    FeedLine(
        *("window line 400", 400.0, 0.902, 0.027 * _PER_100_M / 4.0**0.5, 0.0),
        *(10.0, 100.0, 0.02, 1e6, 30e6),
        "z0 and VF measured dry by W. Stewart, quoted in a mailing list; loss from one published "
        "point (0.027 dB for 100 ft near 4 MHz): it may be off by its own value, more when wet",
    ),
)
"""Each with its source; the first one is offered first."""


def line_of_type(name: str) -> FeedLine:
    """A line by its type, whatever the case; blanks and hyphens do not matter.

    Raises
    ------
    FairleadError
        If there is no such type; the advice names those that are known.
    """
    wanted = _key(name)
    for line in LINE_TYPES:
        if _key(line.name) == wanted:
            return line
    known = ", ".join(line.name for line in LINE_TYPES)
    raise FairleadError(f'"{name}" is not a known feed line', f"choose one of {known}")


def _key(name: str) -> str:
    return "".join(letter for letter in name.casefold() if letter.isalnum())
