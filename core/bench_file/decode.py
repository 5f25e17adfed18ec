"""From bytes to a bench."""

from __future__ import annotations

from typing import TYPE_CHECKING

from fairlead.core.bands import Band
from fairlead.core.bench_file import points
from fairlead.core.bench_file.keys import key_problem
from fairlead.core.bench_file.migrate import to_current
from fairlead.core.bench_file.parse import BACKUP, parse
from fairlead.core.document.bench import Bench, Circumstances, Entry, Style, Typed
from fairlead.core.document.picture_request import PictureRequest
from fairlead.core.errors import FairleadError, ReadError
from fairlead.core.notice import Notice

if TYPE_CHECKING:
    from fairlead.core.bench_file.parse import Document


def bench_from_bytes(data: bytes, file: str) -> Bench:
    """Read a bench.

    Parameters
    ----------
    data : bytes
        The whole file.
    file : str
        Name for error messages.

    Raises
    ------
    ReadError
        One line that says what is wrong; for damaged JSON with its line.
    """
    document = to_current(parse(data, file), file)
    try:
        bench = Bench(
            entries=tuple(_entry(sweep, index) for index, sweep in enumerate(document["sweeps"])),
            reference_key=document["reference_key"],
            band=Band(**document["band"]),
            has_own_band=document["has_own_band"],
            limit_swr=document["limit_swr"],
            z0_ohm=document["z0_ohm"],
            picture=PictureRequest(**document["picture"]),
            next_key=document["next_key"],
        )
    except FairleadError as error:
        raise ReadError(file, error.reason, error.advice) from None
    problem = key_problem(bench)
    if problem is not None:
        raise ReadError(file, problem, BACKUP)
    return bench


def _entry(document: Document, index: int) -> Entry:
    try:
        sweep = points.to_sweep(document["points"], document["z0_ohm"])
    except FairleadError as error:
        raise FairleadError(f"sweeps[{index}]: {error.reason}", error.advice) from None
    return Entry(
        key=document["key"],
        measured=sweep,
        label=document["label"],
        condition=document["condition"],
        is_visible=document["is_visible"],
        style=Style(**document["style"]),
        file=document["file"],
        notices=tuple(Notice(**notice) for notice in document["notices"]),
        circumstances=Circumstances(**document["circumstances"]),
        typed=Typed(document["typed"]["quantity"], tuple(map(tuple, document["typed"]["rows"]))),
    )
