"""``--group`` and ``--repeats``: sweeps that belong together, named on the command line."""

from __future__ import annotations

from fnmatch import fnmatchcase
from pathlib import PurePath
from typing import TYPE_CHECKING

from fairlead.core.errors import FairleadError

if TYPE_CHECKING:
    import argparse
    from collections.abc import Sequence

    from fairlead.app.headless.arguments import VerbParser
    from fairlead.core.document.bench import Bench
    from fairlead.core.document.entry import Entry
    from fairlead.core.document.session import GroupKind
    from fairlead.core.errors import ReadError

_OPTIONS: tuple[tuple[GroupKind, str, str], ...] = (
    ("units", "--group", "units of one kind, such as five built from one kit"),
    ("repeats", "--repeats", "the same antenna measured again"),
)


def add_groups(parser: VerbParser) -> None:
    """Both options; each may be given several times."""
    for kind, option, meaning in _OPTIONS:
        parser.add_argument(
            option,
            dest=kind,
            action="append",
            default=[],
            metavar="NAME=SWEEPS",
            help=f"a group of {kind}: {meaning}. SWEEPS are labels or names of files among those "
            'given, with commas between, where * stands for anything: "Kit=kit-unit-*"',
        )


def grouped(
    parser: VerbParser, options: argparse.Namespace, bench: Bench, unread: Sequence[ReadError]
) -> Bench:
    """The bench with the groups given; wrong usage exits with status 2."""
    from fairlead.core.document.groups import with_group  # noqa: PLC0415 - few ask for groups

    for kind, option, _ in _OPTIONS:
        for text in getattr(options, kind, ()):  # not every verb has groups
            name, sign, wanted = text.partition("=")
            if not sign or not name.strip() or not wanted.strip():
                parser.error(f'{option} {text}: write NAME=SWEEPS, as in "Kit=kit-unit-*"')
            try:
                keys = {
                    entry.key
                    for pattern in wanted.split(",")
                    for entry in meant(bench, pattern.strip(), unread)
                }
                bench = with_group(bench, keys, name, kind)
            except FairleadError as error:
                parser.refuse(error)
    return bench


def meant(bench: Bench, pattern: str, unread: Sequence[ReadError]) -> list[Entry]:
    """The sweeps that a name or a pattern means; none if only an unread file has it.

    Raises
    ------
    FairleadError
        If there is no such sweep.
    """
    found = [entry for entry in bench.entries if _matches(entry, pattern)]
    if found or any(_is_like(PurePath(error.file).name, pattern) for error in unread):
        # A file that could not be read has its own line already.
        return found
    raise FairleadError(
        f'there is no sweep "{pattern}"',
        "write labels or names of files that were given, or a beginning with *",
    )


def _matches(entry: Entry, pattern: str) -> bool:
    return any(_is_like(name, pattern) for name in (entry.label, PurePath(entry.file).name))


def _is_like(name: str, pattern: str) -> bool:
    names = (name.casefold(), PurePath(name).stem.casefold())
    return any(fnmatchcase(one, pattern.casefold()) for one in names)
