"""``fairlead log``: two antennas compared by the reports of a bench's log, or of a CSV file."""

from __future__ import annotations

import json
from typing import TYPE_CHECKING

from fairlead.app.headless.arguments import VerbParser
from fairlead.app.headless.output import DONE, UNREAD, printable, say
from fairlead.app.version import version
from fairlead.core.bench_file import bench_from_bytes, looks_like_bench
from fairlead.core.comparison.knowledge import compare_known
from fairlead.core.errors import FairleadError, ReadError
from fairlead.core.file_bytes import file_bytes
from fairlead.core.onair.comparison import compare_heard
from fairlead.core.onair.lines import first_two, heard_in, heard_of
from fairlead.core.onair.predicted import predicted_db
from fairlead.core.onair.table import ignored_words, log_table
from fairlead.core.onair.words import as_json, sentences
from fairlead.core.report import escaped

if TYPE_CHECKING:
    from collections.abc import Sequence

    from fairlead.core.document.bench import Bench
    from fairlead.core.onair.comparison import Heard

_LARGEST_BYTES = 256 * 1024 * 1024
_TWO = 2


def run(arguments: Sequence[str]) -> int:
    """Print the comparison; exit status."""
    parser = make_parser()
    options = parser.read(arguments)
    try:
        lines, bench = _read(options.file)
        names = first_two(lines) if options.antennas is None else options.antennas
        if len(set(names)) != _TWO:
            reason = "the log has no reports of two antennas"
            say(f"{parser.prog}: {reason}; note antenna and report of each in the log")
            return UNREAD
        found = compare_heard(lines, *names)
        by_match_db = None if bench is None else predicted_db(compare_known(bench), bench, *names)
    except FairleadError as error:
        say(error if isinstance(error, ReadError) else f"{parser.prog}: {error}")
        return UNREAD
    if options.form == "json":
        told = as_json(found, by_match_db, program=f"fairlead {version()}")
        print(json.dumps(told, ensure_ascii=False, indent=2, allow_nan=False))
        return DONE
    for line in sentences(found, by_match_db):
        print(printable(f"- {escaped(line)}" if options.form == "markdown" else line))
    return DONE


def _read(file: str) -> tuple[tuple[Heard, ...], Bench | None]:
    """Lines to compare, and the bench they are from."""
    too_large = ReadError(file, "the file is too large for a log", "split it")
    data = file_bytes(file, "name a bench or a CSV file", too_large, _LARGEST_BYTES)
    if looks_like_bench(data):
        bench = bench_from_bytes(data, file)
        return heard_of(bench), bench
    table = log_table(data.decode("utf-8-sig", "replace"))
    lines = heard_in(table, file)
    if table.ignored:
        say(f"{file}: {ignored_words(table.ignored)}")
    return lines, None


def make_parser() -> VerbParser:
    """What the verb takes."""
    parser = VerbParser(
        "log",
        "Compare two antennas by signal reports taken in the order A B B A. Transmit only where "
        "your licence allows it, and never into an antenna that is being measured.",
    )
    parser.add_argument(
        "file", metavar="FILE", help="a bench with a log, or CSV: antenna,report,power_w"
    )
    parser.add_argument(
        "--antennas",
        nargs=_TWO,
        metavar=("A", "B"),
        help="labels of the two; default: those that come first in the log",
    )
    parser.add_argument(
        "--as",
        dest="form",
        choices=("text", "json", "markdown"),
        default="text",
        help="form of the output (text if not given)",
    )
    return parser
