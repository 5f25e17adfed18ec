"""From bytes to a bench."""

from __future__ import annotations

from base64 import b64decode
from dataclasses import replace
from typing import TYPE_CHECKING

import numpy as np

from fairlead.core.bands import Band
from fairlead.core.bench_file import points
from fairlead.core.bench_file.migrate import to_current
from fairlead.core.bench_file.parse import BACKUP, parse
from fairlead.core.document.advice_request import AdviceRequest
from fairlead.core.document.bench import Bench
from fairlead.core.document.entry import Circumstances, Entry, Style, Typed
from fairlead.core.document.markers import in_order
from fairlead.core.document.picture_request import PictureRequest
from fairlead.core.document.session import Group, Instrument, KeptPicture, LogEntry, Marker, Plan
from fairlead.core.errors import FairleadError, ReadError
from fairlead.core.notice import Notice
from fairlead.core.picture_trace.trace_json import trace_from_json
from fairlead.core.reading.number import shown
from fairlead.core.traced import Traced
from fairlead.core.transform.registry import KINDS

if TYPE_CHECKING:
    from fairlead.core.bench_file.parse import Document
    from fairlead.core.sweep import AnySweep
    from fairlead.core.transform.step import Step


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
        One line stating what is wrong; for damaged JSON with its line number.
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
            instruments=tuple(Instrument(**one) for one in document["instruments"]),
            groups=tuple(_group(one) for one in document["groups"]),
            log=tuple(LogEntry(**one) for one in document["log"]),
            plan=Plan(**plan) if (plan := document["plan"]) else None,
            pictures=tuple(_picture(one) for one in document["pictures"]),
            same_radiation=tuple((one, two) for one, two in document["same_radiation"]),
            advice=AdviceRequest(**document.get("advice", {})),
            markers=in_order(Marker(**one) for one in document["markers"]),
        )
    except FairleadError as error:
        raise ReadError(file, error.reason, error.advice) from None
    problem = bench.contradiction
    if problem is not None:
        raise ReadError(file, problem, BACKUP)
    return bench


def _group(document: Document) -> Group:
    style = Style(**document["style"])
    return Group(**document | {"members": tuple(document["members"]), "style": style})


def _picture(document: Document) -> KeptPicture:
    # Traced pictures are newer than the first files of format 2.
    trace = trace_from_json(document["trace"]) if "trace" in document else None
    return KeptPicture(**document | {"data": b64decode(document["data"]), "trace": trace})


def _entry(document: Document, index: int) -> Entry:
    try:
        return _read_entry(document)
    except FairleadError as error:
        raise FairleadError(f"sweeps[{index}]: {error.reason}", error.advice) from None


def _read_entry(document: Document) -> Entry:
    return Entry(
        key=document["key"],
        measured=_with_traced(
            points.to_sweep(document["points"], document["z0_ohm"], document.get("bounds", ())),
            document.get("traced"),
        ),
        label=document["label"],
        condition=document["condition"],
        is_visible=document["is_visible"],
        style=Style(**document["style"]),
        file=document["file"],
        notices=tuple(Notice(**notice) for notice in document["notices"]),
        circumstances=Circumstances(**document["circumstances"]),
        typed=Typed(document["typed"]["quantity"], tuple(map(tuple, document["typed"]["rows"]))),
        steps=tuple(_step(step) for step in document["steps"]),
        plane=document["plane"],
        instrument_key=document["instrument_key"],
        picture_key=document["picture_key"],
        picture_curve=document.get("picture_curve"),
    )


def _with_traced(sweep: AnySweep, document: Document | None) -> AnySweep:
    if document is None:
        return sweep
    lost = tuple(document["lost_after"])
    traced = Traced(**document | {"sigma": np.array(document["sigma"]), "lost_after": lost})
    return replace(sweep, traced=traced)


def _step(document: Document) -> Step:
    kind = KINDS.get(document["kind"])
    if kind is None:
        raise FairleadError(
            f"this version of Fairlead does not know the step {shown(document['kind'])}",
            "update Fairlead; the file is left as it is",
        )
    return kind.from_parameters(document["parameters"], is_on=document["is_on"])
