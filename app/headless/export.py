"""``fairlead export``: sweeps as files for other programs."""

from __future__ import annotations

import os
from pathlib import Path
from typing import TYPE_CHECKING

from fairlead.app.files.safe_names import distinct_names
from fairlead.app.headless.arguments import VerbParser, add_files, chosen_columns
from fairlead.app.headless.feed_line import (
    add_feed_line,
    chosen_line,
    with_requested_line,
    with_stated_plane,
)
from fairlead.app.headless.gathering import gather_on_one_bench
from fairlead.app.headless.output import DONE, UNREAD, printable, say, say_all
from fairlead.core.atomic_file import write_atomic
from fairlead.core.errors import FairleadError
from fairlead.core.export import as_csv, as_touchstone
from fairlead.core.paths import is_folder, names_in

if TYPE_CHECKING:
    import argparse
    from collections.abc import Sequence

    from fairlead.core.document.bench import Bench
    from fairlead.core.document.entry import Entry
    from fairlead.core.export import What

_ENDINGS = {"touchstone": ".s1p", "touchstone2": ".ts", "csv": ".csv"}


def run(arguments: Sequence[str]) -> int:
    """Write each sweep of the files to a file of its own; exit status."""
    parser = make_parser()
    options = parser.read(arguments)
    goes_into_folder = is_folder(options.out)
    form = _form(parser, options, goes_into_folder=goes_into_folder)
    line = chosen_line(parser, options)
    if line is not None and options.what != "shown":
        parser.error("with --line or --at give --what shown too: the result was not measured")
    gathered = gather_on_one_bench(
        options.files, chosen_columns(parser, options), is_quiet=options.quiet
    )
    say_all(gathered.unread)
    bench = with_stated_plane(options, gathered.bench)
    bench, is_whole = with_requested_line(parser, bench, line, gathered.unread)
    entries = bench.entries
    if not entries:
        say(f"{options.out}: nothing written, because no sweep could be read")
        return UNREAD
    if len(entries) > 1 and not goes_into_folder:
        parser.refuse(
            FairleadError(
                f"{len(entries)} sweeps do not fit into the single file {options.out}",
                "give an existing folder with -o",
            )
        )
    try:
        paths = _paths(entries, options, form) if goes_into_folder else [options.out]
    except FairleadError as error:
        say(f"{parser.prog}: {error}")
        return UNREAD
    written = _write(bench, paths, form, options)
    is_whole = is_whole and written == len(entries) and not gathered.unread
    return DONE if is_whole else UNREAD


def make_parser() -> VerbParser:
    """What the verb takes."""
    parser = VerbParser(
        "export",
        "Write sweeps as Touchstone or CSV, each to a file of its own; no file is replaced "
        "in a folder: names already in use get a number.",
    )
    add_files(parser)
    add_feed_line(parser)
    parser.add_argument(
        "-o",
        "--out",
        required=True,
        metavar="OUT",
        help="an existing folder, or for a single sweep a file (.s1p, .ts or .csv)",
    )
    parser.add_argument(
        "--what",
        choices=("measured", "shown"),
        default="measured",
        help="the numbers as they were read (default), or with the steps on the bench applied",
    )
    parser.add_argument(
        "--as",
        dest="form",
        choices=tuple(_ENDINGS),
        help="Touchstone 1.1, 2.0 or CSV; default: by the extension of OUT, else Touchstone 1.1",
    )
    return parser


def _form(parser: VerbParser, options: argparse.Namespace, *, goes_into_folder: bool) -> str:
    """The form to write; wrong usage ends here, before any file is read."""
    asked: str | None = options.form
    if goes_into_folder:
        return asked or "touchstone"
    ending = Path(options.out).suffix.lower()
    by_ending = next((form for form, own in _ENDINGS.items() if own == ending), None)
    if by_ending is None:
        parser.refuse(
            FairleadError(
                f"{options.out} is not a folder and does not end in .s1p, .ts or .csv",
                "create the folder first, or choose another extension",
            )
        )
    if asked is not None and asked != by_ending:
        parser.refuse(
            FairleadError(
                f"{options.out} does not have the extension of {asked}",
                f"use {_ENDINGS[asked]}, or leave out --as",
            )
        )
    return by_ending


def _paths(entries: Sequence[Entry], options: argparse.Namespace, form: str) -> list[str]:
    labels = [entry.label if options.what == "measured" else entry.title for entry in entries]
    names = distinct_names(labels, _ENDINGS[form], names_in(options.out))
    return [os.path.join(options.out, name) for name in names]  # noqa: PTH118 - odd names stay


def _write(bench: Bench, paths: Sequence[str], form: str, options: argparse.Namespace) -> int:
    """Write the files; returns how many, and reports each of the others in one line."""
    originals = [*bench.source_files, *options.files]
    written = 0
    for entry, path in zip(bench.entries, paths, strict=True):
        try:
            data = _text(entry, form, options.what).encode("utf-8", "backslashreplace")
            write_atomic(path, [data], never_over=originals)
        except FairleadError as error:
            say(error)
        else:
            written += 1
            if not options.quiet:
                print(printable(path))
    return written


def _text(entry: Entry, form: str, what: What) -> str:
    if form == "csv":
        return as_csv(entry, what)
    return as_touchstone(entry, "1.1" if form == "touchstone" else "2.0", what)
