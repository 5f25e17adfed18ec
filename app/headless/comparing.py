"""What `figures` and `picture` have in common: from arguments to the bench they speak of."""

from __future__ import annotations

from typing import TYPE_CHECKING

from fairlead.app.headless.arguments import (
    chosen_accuracy,
    chosen_band,
    chosen_columns,
    chosen_limit,
    chosen_z0_ohm,
)
from fairlead.app.headless.feed_line import chosen_line, seen_as_asked
from fairlead.app.headless.gathering import find_reference, gather_on_one_bench
from fairlead.app.headless.groups import grouped
from fairlead.core.errors import FairleadError

if TYPE_CHECKING:
    import argparse

    from fairlead.app.headless.arguments import VerbParser
    from fairlead.core.document.bench import Bench
    from fairlead.core.errors import ReadError


def compared(
    parser: VerbParser, options: argparse.Namespace
) -> tuple[Bench, tuple[ReadError, ...], bool]:
    """The bench that the options describe, what could not be read, and whether all was done to it.

    What no option says is as in the bench file, if there is one. Wrong usage leaves with status 2
    before any file is read, except for an unknown reference.
    """
    band = chosen_band(parser, options)
    limit_swr = chosen_limit(parser, options)
    z0_ohm = chosen_z0_ohm(parser, options)
    accuracy = chosen_accuracy(parser, options)
    columns = chosen_columns(parser, options)
    line = chosen_line(parser, options)
    gathered = gather_on_one_bench(options.files, columns)
    bench = gathered.bench
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
    bench, is_whole = seen_as_asked(parser, bench, line, gathered.unread)
    if bench.entries:
        bench = grouped(parser, options, bench, gathered.unread)
    return bench, gathered.unread, is_whole
