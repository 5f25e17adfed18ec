"""From bytes to a document: dicts, lists, texts, numbers, and points as arrays.

JSON is read strictly: UTF-8 only, no duplicate keys, no NaN or Infinity. Points laid out as we
write them are read in pieces; any other layout is read in one go, with the same result.
"""

from __future__ import annotations

import codecs
import json
from typing import TYPE_CHECKING, Any

from fairlead.core.bench_file import format, points  # noqa: A004 - a format, not the function
from fairlead.core.bench_file.format import LARGEST_BYTES, looks_like_bench
from fairlead.core.errors import ReadError
from fairlead.core.reading.number import shown

if TYPE_CHECKING:
    from fairlead.core.arrays import FloatArray

BACKUP = "open a backup copy of the file"
Document = dict[str, Any]


class _NotAllowedError(ValueError):
    """Something that plain JSON parsers accept."""


def parse(data: bytes, file: str) -> Document:
    """The content of a file; only its JSON is checked, not its meaning.

    Returns
    -------
    dict
        As parsed, but each list of points that is a table of numbers is a FloatArray (n, width).

    Raises
    ------
    ReadError
        One line, with the line number where the JSON is damaged.
    """
    if len(data) > LARGEST_BYTES:
        raise too_large(file)
    text = data.removeprefix(codecs.BOM_UTF8)
    if b"\r" in text:
        # A version control system may have changed the line ends; texts contain none.
        text = text.replace(b"\r\n", b"\n")
    document = _parsed_in_pieces(text)
    return _parsed_whole(text, file) if document is None else document


def too_large(file: str) -> ReadError:
    """The error for a file that is too large."""
    return ReadError(
        file,
        f"larger than {LARGEST_BYTES // 1024 // 1024} MiB, too large for a bench",
        "open the sweeps on their own",
    )


def _parsed_in_pieces(text: bytes) -> Document | None:
    """The document, or None where the layout or the content is not as we write it."""
    outline, blocks = points.split(text)
    if not blocks or format.excess(outline) is not None:
        return None
    try:
        document: Document = _strict(outline.decode())
        _place(document, [points.from_text(block) for block in blocks])
    except (ValueError, OverflowError):
        return None
    return document


def _place(document: Document, arrays: list[FloatArray]) -> None:
    """Put the points back; ValueError if they are not at their usual positions."""
    empty = [sweep for sweep in _sweeps(document) if sweep.get("points") == []]
    for sweep, array in zip(empty, arrays, strict=True):
        sweep["points"] = array


def _parsed_whole(text: bytes, file: str) -> Document:
    excess = format.excess(text)
    if excess is not None:
        raise ReadError(file, f"the file is damaged or not a bench: it has {excess}", BACKUP)
    try:
        document = _strict(text.decode())
    except UnicodeDecodeError as error:
        line = text.count(b"\n", 0, error.start) + 1
        raise ReadError(file, "the file is damaged: it is not UTF-8 text", BACKUP, line) from None
    except json.JSONDecodeError as error:
        if not looks_like_bench(text):
            raise no_bench(file) from None
        reason = f"the file is damaged or cut short: {error.msg}"
        raise ReadError(file, reason, BACKUP, error.lineno) from None
    except _NotAllowedError as error:
        raise ReadError(file, str(error), BACKUP) from None
    except ValueError:  # Python refuses to convert a number with thousands of digits
        raise ReadError(file, "a number with too many digits", BACKUP) from None
    if not isinstance(document, dict):
        raise no_bench(file)
    set_arrays(document)
    return document


def set_arrays(document: Document) -> None:
    """Turn points that are lists into arrays, where they are tables of numbers."""
    for sweep in _sweeps(document):
        array = points.from_lists(sweep.get("points"))
        if array is not None:
            sweep["points"] = array


def no_bench(file: str) -> ReadError:
    """The error for a file that is something else."""
    return ReadError(file, "the file is not a Fairlead bench", "open a .fairlead file, or a sweep")


def _sweeps(document: Any) -> list[Document]:
    sweeps = document.get("sweeps") if isinstance(document, dict) else None
    if not isinstance(sweeps, list):
        return []
    return [sweep for sweep in sweeps if isinstance(sweep, dict)]


def _strict(text: str) -> Any:
    return json.loads(text, object_pairs_hook=_without_repeats, parse_constant=_refuse_constant)


def _without_repeats(pairs: list[tuple[str, Any]]) -> Document:
    found: Document = {}
    for key, value in pairs:
        if key in found:
            raise _NotAllowedError(f"the key {shown(key)} occurs twice in one place")
        found[key] = value
    return found


def _refuse_constant(name: str) -> None:
    raise _NotAllowedError(f"{name} is not a number allowed in a bench")
