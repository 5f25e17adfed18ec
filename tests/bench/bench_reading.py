"""Reading hard contents: how much longer a byte takes than in a plain Touchstone file."""

from __future__ import annotations

import sys
import time
from contextlib import suppress
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[1] / "helpers"))

from nasty_contents import CONTENTS
from rows import Row, print_rows

from fairlead.core.errors import ReadError
from fairlead.core.reading.opening import read_sweeps

_SMALL, _LARGE = 500_000, 2_000_000
_DEAREST, _GROWTH = 20.0, 1.5


def measure() -> list[Row]:
    """The dearest content against the plain one, and the one that grows most a byte with size."""
    small = {name: _seconds_a_byte(name, _SMALL) for name in CONTENTS}
    large = {name: _seconds_a_byte(name, _LARGE) for name in CONTENTS}
    dear = max(large, key=lambda name: large[name])
    times = large[dear] / large["plain"]
    grown = max(large, key=lambda name: large[name] / small[name])
    growth = large[grown] / small[grown]
    of = f"of {len(CONTENTS)} contents; {large[dear]:.2f} s a MB"
    return [
        Row(
            "dearest content a byte",
            times,
            "x",
            "<= 20 x plain",
            times <= _DEAREST,
            f"{dear}, {of}",
        ),
        Row("a byte of 2 MB against 0.5 MB", growth, "x", "<= 1.5 x", growth <= _GROWTH, grown),
    ]


def _seconds_a_byte(name: str, size: int) -> float:
    """Microseconds of processor time a byte, which are seconds a megabyte: the least of three."""
    data = CONTENTS[name](size).encode()
    times = []
    for _ in range(3):
        start = time.process_time()
        with suppress(ReadError):
            read_sweeps(data, "a.csv" if "table" in name else "a.s1p")
        times.append(time.process_time() - start)
    return min(times) / len(data) * 1e6


if __name__ == "__main__":
    print_rows(measure())
