"""Figures and reading against scikit-rf's own parser in the same run."""

from __future__ import annotations

import io
import time
import warnings
from pathlib import Path

from rows import Row, print_rows, resonant_reflection, scratch, write_touchstone
from skrf.io.touchstone import Touchstone

from fairlead.core.analysis.analysis import analyse
from fairlead.core.bands import Band
from fairlead.core.figures import figures_of
from fairlead.core.reading import open_sweeps
from fairlead.core.soundness.checks import check_sweep
from fairlead.core.sweep import Sweep
from fairlead.core.uncertainty.intervals import assess


def parse_by_scikit_rf(path: Path) -> None:
    """Text only: scikit-rf's Network(path) would unpickle first."""
    stream = io.StringIO(path.read_text("ascii"))
    stream.name = path.name
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        Touchstone(stream)


def measure() -> list[Row]:
    """Two ratios, each the least of three runs on both sides."""
    with scratch() as folder:
        large = [Path(folder) / f"large {i}.s1p" for i in range(20)]
        small = [Path(folder) / f"small {i}.s1p" for i in range(1000)]
        for i, path in enumerate(large):
            write_touchstone(path, 10_001, i)
        for i, path in enumerate(small):
            write_touchstone(path, 201, i)
        open_sweeps(small[0])
        parse_by_scikit_rf(small[0])
        parse_large = _least(lambda: [parse_by_scikit_rf(path) for path in large])
        parse_small = _least(lambda: [parse_by_scikit_rf(path) for path in small])
        read_small = _least(lambda: [open_sweeps(path) for path in small])
        read_large = _least(lambda: [open_sweeps(path) for path in large])
    took = min(_figures(first) for first in (100, 200, 300))
    known = min(_figures(first, with_intervals=True) for first in (700, 800, 900))
    checked = min(_figures(first, with_checks=True) for first in (400, 500, 600))
    return [
        _row("figures, 20 sweeps x 10,001 points", took, parse_large, "< 1 x parsing"),
        _row("the same with the checks", checked, parse_large, "< 1 x parsing"),
        Row(
            "figures with all intervals",
            known / parse_large,
            "x",
            "< 2 x parsing",
            known < 2 * parse_large,
            f"{known * 1e3:.0f} ms against {parse_large * 1e3:.0f} ms",
        ),
        _row("reading 1,000 files x 201 points", read_small, parse_small, "<= 1 x scikit-rf"),
        _row("reading 20 files x 10,001 points", read_large, parse_large, "<= 1 x scikit-rf"),
    ]


def _row(name: str, ours: float, theirs: float, budget: str) -> Row:
    ratio = ours / theirs
    note = f"{ours * 1e3:.0f} ms against {theirs * 1e3:.0f} ms"
    return Row(name, ratio, "x", budget, ratio <= 1, note)


def _figures(first_seed: int, *, with_checks: bool = False, with_intervals: bool = False) -> float:
    """Seconds for sweeps never seen before: figures of known ones come from a cache."""
    new = [Sweep(*resonant_reflection(10_001, first_seed + i)) for i in range(20)]
    start = time.perf_counter()
    for sweep in new:
        analysis, band = analyse(sweep, 50.0), Band(50e6, 52e6)
        found = figures_of(analysis, band)
        if with_checks:
            check_sweep(analysis, found, band)
        if with_intervals:
            assess(analysis, found, band, 2.0)
    return time.perf_counter() - start


def _least(work) -> float:
    times = []
    for _ in range(3):
        start = time.perf_counter()
        work()
        times.append(time.perf_counter() - start)
    return min(times)


if __name__ == "__main__":
    print_rows(measure())
