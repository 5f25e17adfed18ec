"""What `figures` and `picture` have in common: from arguments to the bench to show."""

from __future__ import annotations

from typing import TYPE_CHECKING

from fairlead.app.headless.arguments import (
    chosen_accuracy,
    chosen_band,
    chosen_columns,
    chosen_limit,
    chosen_z0_ohm,
)
from fairlead.app.headless.feed_line import chosen_line, with_requested_line, with_stated_plane
from fairlead.app.headless.gathering import find_reference, gather_on_one_bench
from fairlead.app.headless.groups import grouped
from fairlead.app.headless.markers import chosen_markers, marked
from fairlead.app.headless.output import say
from fairlead.app.headless.radiation import with_said_radiation
from fairlead.core.errors import FairleadError
from fairlead.core.table_lines import plain_mhz

if TYPE_CHECKING:
    import argparse

    from fairlead.app.headless.arguments import VerbParser
    from fairlead.core.document.bench import Bench
    from fairlead.core.errors import ReadError


def compared(
    parser: VerbParser, options: argparse.Namespace
) -> tuple[Bench, tuple[ReadError, ...], bool]:
    """The bench described by the options, what could not be read, and whether all took effect.

    Settings not given as options come from the bench file, if any. Wrong usage exits with status 2
    before any file is read, except for an unknown reference.
    """
    band = chosen_band(parser, options)
    limit_swr = chosen_limit(parser, options)
    z0_ohm = chosen_z0_ohm(parser, options)
    accuracy = chosen_accuracy(parser, options)
    columns = chosen_columns(parser, options)
    line = chosen_line(parser, options)
    markers = chosen_markers(parser, options)
    gathered = gather_on_one_bench(options.files, columns, is_quiet=options.quiet)
    bench = marked(gathered.bench, markers)
    if limit_swr is not None:
        bench = bench.with_limit(limit_swr)
    if band is not None:
        bench = bench.with_band(band)
    if z0_ohm is not None:
        bench = bench.with_z0(z0_ohm)
    if accuracy is not None:
        bench = bench.with_accuracy([entry.key for entry in bench.entries], accuracy)
    if options.reference is not None and bench.entries:
        try:
            reference = find_reference(bench, options.reference, gathered.unread)
        except FairleadError as error:
            parser.refuse(error)
        bench = bench.with_reference(reference.key)
    bench = with_stated_plane(options, bench)
    bench, is_whole = with_requested_line(parser, bench, line, gathered.unread)
    if bench.entries:
        bench = grouped(parser, options, bench, gathered.unread)
        bench = with_said_radiation(parser, options, bench, gathered.unread)
        say_unreached(bench)
    return bench, gathered.unread, is_whole


def say_unreached(bench: Bench) -> None:
    """One line if no sweep has anything in the band: a table of dashes may be a slip of a digit."""
    band = bench.band
    low_hz = min(float(entry.sweep.frequency_hz[0]) for entry in bench.entries)
    high_hz = max(float(entry.sweep.frequency_hz[-1]) for entry in bench.entries)
    if any(
        entry.sweep.frequency_hz[0] <= band.high_hz and entry.sweep.frequency_hz[-1] >= band.low_hz
        for entry in bench.entries
    ):
        return
    edges = f"{plain_mhz(band.low_hz)} to {plain_mhz(band.high_hz)} MHz"
    say(
        f"no sweep reaches into the band, {edges}; they lie between {plain_mhz(low_hz)} and "
        f"{plain_mhz(high_hz)} MHz"
    )
