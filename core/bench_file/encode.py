"""From a bench to bytes."""

from __future__ import annotations

import json
from base64 import b64encode
from dataclasses import asdict
from typing import TYPE_CHECKING

import numpy as np

from fairlead.core.bench_file import format, points  # noqa: A004 - a format, not the function
from fairlead.core.bench_file.format import (
    CHECKSUM_KEY,
    LARGEST_BYTES,
    VERSION,
    VERSION_KEY,
    checksum,
)
from fairlead.core.bench_file.migrate import known_versions
from fairlead.core.bench_file.schema import MismatchError
from fairlead.core.errors import FairleadError
from fairlead.core.picture_trace.trace_json import trace_to_json
from fairlead.core.sweep import Sweep

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Iterator

    from fairlead.core.arrays import FloatArray
    from fairlead.core.bench_file.parse import Document
    from fairlead.core.document.bench import Bench
    from fairlead.core.document.entry import Entry
    from fairlead.core.document.session import KeptPicture
    from fairlead.core.sweep import AnySweep
    from fairlead.core.transform.step import Step

    PointsText = Callable[[AnySweep, FloatArray], Iterable[bytes]]


def bench_to_bytes(bench: Bench) -> bytes:
    """The content of a bench's file; equal benches give equal bytes.

    Raises
    ------
    FairleadError
        See `encode`.
    """
    return b"".join(encode(bench))


def encode(bench: Bench, points_text: PointsText | None = None) -> Iterator[bytes]:
    """The content of a bench's file in pieces.

    Parameters
    ----------
    bench : Bench
    points_text : callable, optional
        Called with the sweep and its rows; returns the text of the points, for a caller that has
        it.

    Raises
    ------
    FairleadError
        Before the first piece, if the file could not be read back because of an invalid value.
        During iteration, if it becomes too large.
    """
    document = _document(bench)
    arrays = [sweep["points"] for sweep in document["sweeps"]]
    for sweep in document["sweeps"]:
        sweep["points"] = []
    text = json.dumps(document, ensure_ascii=False, allow_nan=False, indent=1) + "\n"
    # File names may contain undecodable bytes; they become escapes, which JSON reads back.
    outline = text.encode("utf-8", "backslashreplace")
    excess = format.excess(outline)
    if excess is not None:
        raise _too_large(excess)
    to_text = _plain_text if points_text is None else points_text
    blocks = (
        to_text(entry.measured, rows) for entry, rows in zip(bench.entries, arrays, strict=True)
    )
    return _bounded(points.join(outline, blocks))


def _plain_text(_sweep: AnySweep, rows: FloatArray) -> Iterator[bytes]:
    return points.to_text(rows)


def _bounded(pieces: Iterator[bytes]) -> Iterator[bytes]:
    size = 0
    for piece in pieces:
        size += len(piece)
        if size > LARGEST_BYTES:
            raise _too_large(f"more than {LARGEST_BYTES // 1024 // 1024} MiB")
        yield piece


def _too_large(what: str) -> FairleadError:
    return FairleadError(
        f"the bench is too large for one file: {what}", "spread the sweeps over two benches"
    )


def _document(bench: Bench) -> Document:
    """The document, checked as it will be when it is read, and with its checksum."""
    problem = bench.contradiction
    try:
        document: Document = known_versions()[VERSION].schema.normalised(_content(bench))
    except MismatchError as error:
        problem = str(error)
    if problem is not None:
        raise FairleadError(
            f"the bench cannot be saved: {problem}", "undo the last change and report this"
        )
    # At the front: a line that can be removed by hand.
    first = {VERSION_KEY: VERSION, CHECKSUM_KEY: checksum(document)}
    return first | {key: value for key, value in document.items() if key not in first}


def _content(bench: Bench) -> Document:
    return {
        VERSION_KEY: VERSION,
        "band": asdict(bench.band),
        "has_own_band": bench.has_own_band,
        "limit_swr": bench.limit_swr,
        "z0_ohm": bench.z0_ohm,
        "reference_key": bench.reference_key,
        "next_key": bench.next_key,
        "picture": asdict(bench.picture),
        "sweeps": [_sweep(entry) for entry in bench.entries],
        "instruments": [asdict(one) for one in bench.instruments],
        "groups": [{**asdict(one), "members": list(one.members)} for one in bench.groups],
        "advice": asdict(bench.advice),
        "log": [asdict(one) for one in bench.log],
        "plan": None if bench.plan is None else asdict(bench.plan),
        "pictures": [_picture(one) for one in bench.pictures],
        "markers": [asdict(one) for one in bench.markers],
        "same_radiation": [list(pair) for pair in bench.same_radiation],
    }


def _picture(picture: KeptPicture) -> Document:
    trace = {} if picture.trace is None else {"trace": trace_to_json(picture.trace)}
    return {
        "key": picture.key,
        "name": picture.name,
        "media_type": picture.media_type,
        "data": b64encode(picture.data).decode(),
        **trace,
    }


def _sweep(entry: Entry) -> Document:
    return {
        "key": entry.key,
        "label": entry.label,
        "condition": entry.condition,
        "is_visible": entry.is_visible,
        "style": asdict(entry.style),
        "file": entry.file,
        "circumstances": asdict(entry.circumstances),
        "typed": {
            "quantity": entry.typed.quantity,
            "rows": [list(row) for row in entry.typed.rows],
        },
        "notices": [asdict(notice) for notice in entry.notices],
        "plane": entry.plane,
        "instrument_key": entry.instrument_key,
        "picture_key": entry.picture_key,
        "steps": [_step(step) for step in entry.steps],
        "quantity": "reflection" if entry.measured.has_phase else "magnitude",
        "z0_ohm": entry.measured.z0_ohm,
        **_bounds(entry.measured),
        **_traced(entry),
        "points": points.to_rows(entry.measured),
    }


def _bounds(sweep: AnySweep) -> Document:
    is_bound = None if isinstance(sweep, Sweep) else sweep.is_bound
    return {} if is_bound is None else {"bounds": np.flatnonzero(is_bound).tolist()}


def _traced(entry: Entry) -> Document:
    found: Document = {}
    if entry.picture_curve is not None:
        found["picture_curve"] = entry.picture_curve
    traced = entry.measured.traced
    if traced is not None:
        found["traced"] = {
            "sigma": traced.sigma.tolist(),
            "lost_after": list(traced.lost_after),
            "frequency_sigma_hz": traced.frequency_sigma_hz,
            "alike_points": traced.alike_points,
            "picture_sha256": traced.picture_sha256,
            "method": traced.method,
            "line_share": traced.line_share,
        }
    return found


def _step(step: Step) -> Document:
    parameters = {
        # -0.0, which equals 0.0, becomes 0.0: equal benches have equal bytes.
        name: value + 0.0 if isinstance(value, float) else value
        for name, value in step.parameters.items()
    }
    return {"kind": step.kind, "is_on": step.is_on, "parameters": parameters}
