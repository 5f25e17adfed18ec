"""``fairlead trace``: a curve in a picture becomes a table of a sweep, with its uncertainty."""

from __future__ import annotations

import json
from pathlib import Path
from typing import TYPE_CHECKING, Any

from fairlead.app.headless.arguments import VerbParser
from fairlead.app.headless.output import DONE, UNREAD, printable, say
from fairlead.core.atomic_file import write_atomic
from fairlead.core.document.entry import Entry
from fairlead.core.errors import FairleadError, ReadError
from fairlead.core.export import as_csv
from fairlead.core.file_bytes import file_bytes
from fairlead.core.picture_trace.sweeps import traced_sweeps
from fairlead.core.picture_trace.trace_json import trace_from_json

if TYPE_CHECKING:
    from collections.abc import Sequence

    from fairlead.core.picture_trace.sweeps import TracedSweep
    from fairlead.core.picture_trace.trace import PictureTrace

_LARGEST_AXES = 4 * 1024 * 1024


def run(arguments: Sequence[str]) -> int:
    """Trace the curves of a picture; exit status."""
    parser = make_parser()
    options = parser.read(arguments)
    if Path(options.out).suffix.lower() != ".csv":
        parser.refuse(FairleadError(f"{options.out} does not end in .csv", "choose that extension"))
    # Qt decodes the picture, and only that.
    from fairlead.app.files.picture_files import read_picture  # noqa: PLC0415 - slow to load

    try:
        document = _axes(options.axes)
        picture = read_picture(options.picture)
        try:
            trace = trace_from_json(document | {"picture_sha256": picture.sha256})
            _check_size(trace, picture.pixels.shape)
            found = traced_sweeps(picture.pixels, trace)
        except FairleadError as error:
            raise ReadError(options.axes, error.reason, error.advice) from None
        for one, path in zip(found, _paths(options.out, found), strict=True):
            entry = Entry(1, one.sweep, one.name or Path(options.picture).stem)
            data = as_csv(entry).encode("utf-8", "backslashreplace")
            write_atomic(path, [data], never_over=[options.picture, options.axes])
            if not options.quiet:
                print(printable(f"{path}: {_summary(one)}"))
    except FairleadError as error:
        say(error if isinstance(error, ReadError) else f"{parser.prog}: {error}")
        return UNREAD
    return DONE


def make_parser() -> VerbParser:
    """What the verb takes."""
    parser = VerbParser(
        "trace",
        "Trace the curves of a picture (PNG, JPEG, WebP, BMP) by axes and clicks in a file; the "
        "result has an uncertainty for each point and is never taken for a measurement.",
    )
    parser.add_argument("picture", metavar="PICTURE", help="a screenshot, photo or scan of a plot")
    parser.add_argument(
        "--axes",
        required=True,
        metavar="FILE.json",
        help="places of known frequency and value, and places on each curve; README has an example",
    )
    parser.add_argument(
        "-o",
        "--out",
        required=True,
        metavar="OUT.csv",
        help="the table to write; with several curves, their names are added to its name",
    )
    parser.add_argument("-q", "--quiet", action="store_true", help="only errors")
    return parser


def _axes(file: str) -> dict[str, Any]:
    too_large = ReadError(file, "the file is too large for axes", "keep to the keys in README")
    data = file_bytes(file, "name the file with the axes", too_large, _LARGEST_AXES)
    try:
        document = json.loads(data)
    except (ValueError, RecursionError):
        raise ReadError(file, "the file is not JSON", "README has an example") from None
    if not isinstance(document, dict):
        raise ReadError(file, "the file is not a JSON object", "README has an example")
    return document


def _check_size(trace: PictureTrace, shape: tuple[int, ...]) -> None:
    """Refuse axes of a picture of another size: their places would be elsewhere in this one."""
    meant, found = (trace.width, trace.height), (shape[1], shape[0])
    if meant not in ((0, 0), found):
        raise FairleadError(
            f"the places are those of a picture of {meant[0]} x {meant[1]} pixels, "
            f"this one has {found[0]} x {found[1]}",
            "trace the picture that they were clicked in",
        )


def _paths(out: str, found: Sequence[TracedSweep]) -> list[str]:
    if len(found) == 1:
        return [out]
    from fairlead.app.files.safe_names import distinct_names  # noqa: PLC0415 - rare

    path = Path(out)
    labels = [f"{path.stem} {one.name or number}" for number, one in enumerate(found, 1)]
    return [str(path.with_name(name)) for name in distinct_names(labels, path.suffix, set())]


def _summary(one: TracedSweep) -> str:
    hz, traced = one.sweep.frequency_hz, one.sweep.traced
    gaps = 0 if traced is None else len(traced.lost_after)
    lost = "" if gaps == 0 else f", lost in {gaps} place{'' if gaps == 1 else 's'}"
    return f"{hz.size} points, {hz[0] / 1e6:.4g} to {hz[-1] / 1e6:.4g} MHz{lost}"
