"""Sweeps at the radio's end of the feed line or at the feed point: stated, and moved."""

from __future__ import annotations

from typing import TYPE_CHECKING

from fairlead.core.transform.feed_line import LineAdded, LineRemoved
from fairlead.core.transform.registry import with_step

if TYPE_CHECKING:
    from collections.abc import Collection

    from fairlead.core.document.bench import Bench
    from fairlead.core.feed_line import FeedLine
    from fairlead.core.transform.step import Plane, Step

_LINE_STEPS = (LineRemoved, LineAdded)


def line_step(
    taken_at: Plane, line: FeedLine, length_m: float, length_tolerance_percent: float = 0.0
) -> LineRemoved | LineAdded:
    """The step that leads from where a sweep was taken to the other end of a line.

    Parameters
    ----------
    taken_at : {"radio", "feed"}
    line : FeedLine
    length_m : float
    length_tolerance_percent : float
        Of the length alone; that of the velocity factor belongs to the line.

    Raises
    ------
    StepError
        For an impossible length.
    """
    kind = LineRemoved if taken_at == "radio" else LineAdded
    spread = 100 * line.velocity_tolerance / line.velocity_factor
    return kind(
        name=line.name,
        length_m=length_m,
        z0_ohm=line.z0_ohm,
        velocity_factor=line.velocity_factor,
        k1_db=line.k1_db,
        k2_db=line.k2_db,
        z0_tolerance_ohm=line.z0_tolerance_ohm,
        loss_tolerance_percent=line.loss_tolerance_percent,
        length_tolerance_percent=length_tolerance_percent + spread,
    )


def line_of(steps: Collection[Step]) -> LineRemoved | LineAdded | None:
    """The first feed line step, on or off."""
    return next((step for step in steps if isinstance(step, _LINE_STEPS)), None)


def with_feed_line(
    bench: Bench,
    keys: Collection[int],
    taken_at: Plane | None,
    step: LineRemoved | LineAdded | None,
) -> Bench:
    """Where sweeps were taken, and the line to the other end, replacing earlier statements.

    Raises
    ------
    FairleadError
        If the line cannot be removed from or added to one of the sweeps; then nothing changes.
    """
    for key in keys:
        entry = bench.entry(key)
        others = tuple(one for one in entry.steps if not isinstance(one, _LINE_STEPS))
        steps = others if step is None else with_step(others, step)
        bench = bench.with_plane(key, taken_at).with_steps(key, steps)
    return bench


def seen_at(bench: Bench, plane: Plane) -> tuple[Bench, tuple[str, ...]]:
    """All sweeps shown at one plane, as far as their lines are known.

    Returns
    -------
    tuple of Bench and tuple of str
        The labels are those of sweeps that stay where they are: taken elsewhere or at an unknown
        plane, with no known line.
    """
    left = []
    for entry in bench.entries:
        steps = entry.steps_at(plane)
        if steps is None:
            left.append(entry.label)
        else:
            bench = bench.with_steps(entry.key, steps)
    return bench, tuple(left)
