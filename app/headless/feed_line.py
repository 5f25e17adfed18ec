"""Options of the feed line: where sweeps were taken, the line, and where figures are taken."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from fairlead.app.headless.gathering import find_reference
from fairlead.app.headless.output import say
from fairlead.core.errors import FairleadError

if TYPE_CHECKING:
    import argparse
    from collections.abc import Collection, Sequence

    from fairlead.app.headless.arguments import VerbParser
    from fairlead.core.document.bench import Bench
    from fairlead.core.errors import ReadError
    from fairlead.core.feed_line import FeedLine
    from fairlead.core.sweep import Sweep
    from fairlead.core.transform.step import Plane


@dataclass(frozen=True, slots=True)
class LineRequest:
    """Where figures are to be taken, and the line that leads there.

    Attributes
    ----------
    at : {"feed", "radio"}
    line : FeedLine or None
    length_m : float
    only : tuple of str
        Labels of the sweeps that the line belongs to; empty for all.
    """

    at: Plane
    line: FeedLine | None
    length_m: float
    only: tuple[str, ...] = ()


def add_feed_line(parser: VerbParser) -> None:
    """Where sweeps were taken, the line, and where figures are to be taken."""
    add_taken_at(parser, "nothing is assumed")
    lines = parser.add_mutually_exclusive_group()
    lines.add_argument(
        "--line",
        metavar="LINE",
        help='the feed line: a type and its length ("RG-58,12m"), or its numbers '
        '("z0=75,vf=0.82,k1=1.1,k2=0.01,40ft", loss k1 sqrt(f) + k2 f in dB for 100 m, f in MHz)',
    )
    lines.add_argument(
        "--line-measured",
        metavar="OPEN,SHORT",
        help="the line as measured, swept with its far end open and shorted: two files, or one "
        'of them ("open.s1p," or ",short.s1p"); more reliable than any data sheet',
    )
    parser.add_argument(
        "--at",
        choices=("feed", "radio"),
        help="where figures are to be taken; with a line, sweeps that do not state otherwise "
        "count as taken at its other end (default feed)",
    )
    parser.add_argument(
        "--line-for",
        action="append",
        metavar="LABEL",
        default=[],
        help="the line belongs to this sweep only (can be repeated); the others count as taken "
        "where the figures are",
    )


def add_taken_at(parser: VerbParser, otherwise: str) -> None:
    """Where sweeps were taken; ``otherwise``: what follows if it is not stated."""
    parser.add_argument(
        "--taken-at",
        choices=("feed", "radio"),
        help="where sweeps that do not state it were taken: at the feed point, without a line, or "
        f"at the radio's end of one; {otherwise} if not given",
    )


def with_stated_plane(options: argparse.Namespace, bench: Bench) -> Bench:
    """The bench with ``--taken-at`` for its sweeps that do not state where they were taken."""
    plane: Plane | None = getattr(options, "taken_at", None)  # not every verb has it
    if plane is not None:
        for entry in bench.entries:
            if entry.plane is None:
                bench = bench.with_plane(entry.key, plane)
    return bench


def chosen_line(parser: VerbParser, options: argparse.Namespace) -> LineRequest | None:
    """The line requested, or None; wrong usage and unreadable sweeps of a line end here."""
    if options.line is None and options.line_measured is None:
        if options.line_for:
            parser.error("--line-for needs a line: give --line or --line-measured too")
        return None if options.at is None else LineRequest(options.at, None, 0.0)
    try:
        if options.line is not None:
            from fairlead.core.line_text import parse_line  # noqa: PLC0415 - most calls need none

            line, length_m = parse_line(options.line)
        else:
            line, length_m = _measured(options.line_measured)
    except FairleadError as error:
        parser.refuse(error)
    return LineRequest(options.at or "feed", line, length_m, tuple(options.line_for))


def _measured(text: str) -> tuple[FeedLine, float]:
    from fairlead.core.line_measured import measure_line  # noqa: PLC0415 - as above

    names = [name.strip() for name in text.split(",")]
    if len(names) > 2 or not any(names):
        raise FairleadError(
            f'"{text}" does not name the sweeps of a line', 'write "open.s1p,short.s1p"'
        )
    sweeps = [_with_phase(name) if name else None for name in (*names, "")[:2]]
    return measure_line(*sweeps).as_line("measured line, electrical length")


def _with_phase(name: str) -> Sweep:
    from fairlead.core.reading import open_sweeps  # noqa: PLC0415 - as above
    from fairlead.core.sweep import Sweep  # noqa: PLC0415

    for reading in open_sweeps(name):
        if isinstance(reading.sweep, Sweep):
            return reading.sweep
    raise FairleadError(f"{name}: no sweep with phase", "a line is measured from S11 with phase")


def with_requested_line(
    parser: VerbParser, bench: Bench, asked: LineRequest | None, unread: Sequence[ReadError]
) -> tuple[Bench, bool]:
    """The bench with its sweeps at the requested end, and whether all could be moved.

    A sweep that cannot be moved stays, with one line on standard error. A line for a sweep that
    does not exist is wrong usage.
    """
    if asked is None:
        return bench, True
    from fairlead.core.document.planes import seen_at  # noqa: PLC0415 - most calls need none

    is_whole = True
    if asked.line is not None:
        try:
            only = {find_reference(bench, label, unread).key for label in asked.only}
        except FairleadError as error:
            parser.refuse(error)
        bench, is_whole = _with_line(bench, asked, asked.line, only)
    bench, left = seen_at(bench, asked.at)
    for label in left:
        say(
            f"{label}: stays where it was taken, because no line is known that leads to the "
            f"{_PLACES[asked.at]}; give --line"
        )
    return bench, is_whole and not left


_PLACES = {"feed": "feed point", "radio": "radio"}


def _with_line(
    bench: Bench, asked: LineRequest, line: FeedLine, only: Collection[int]
) -> tuple[Bench, bool]:
    from fairlead.core.document.planes import line_step, with_feed_line  # noqa: PLC0415

    is_whole = True
    for entry in bench.entries:
        if only and entry.key not in only:
            bench = bench.with_plane(entry.key, entry.plane or asked.at)
            continue
        taken_at: Plane = entry.plane or ("radio" if asked.at == "feed" else "feed")
        try:
            step = line_step(taken_at, line, asked.length_m)
            bench = with_feed_line(bench, [entry.key], taken_at, step)
        except FairleadError as error:
            say(f"{entry.label}: {error}")
            is_whole = False
            continue
        low_hz, high_hz = (float(entry.sweep.frequency_hz[i]) for i in (0, -1))
        _say_range(entry.label, line, low_hz, high_hz)
    return bench, is_whole


def _say_range(label: str, line: FeedLine, low_hz: float, high_hz: float) -> None:
    if not line.holds_at(low_hz, high_hz):
        say(
            f"{label}: the loss of {line.name} is known from {line.low_hz / 1e6:.4g} to "
            f"{line.high_hz / 1e6:.4g} MHz only; outside that range it is extrapolated"
        )
