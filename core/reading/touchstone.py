"""Reads Touchstone, versions 1.0, 1.1, 2.0 and 2.1, by content.

Why a parser of our own: errors have to name their line, values of version 1 have to be scaled
as the specification says, and the wrappers that instruments put around a file have to be read.
Nothing in a file is ever run. The tests hold this parser against scikit-rf's.

Sources: Touchstone File Format Specification 1.1 (EIA/IBIS Open Forum, 2002), 2.0 (IBIS Open
Forum, 2009), TSIRD 4.1 and 5.1 for what 2.1 adds.

Codes of the notices: block-cut-short, defaults-applied, duplicate-frequencies,
frequency-count-differs, frequency-implausible, hash-comment, keyword-misprint, keyword-missing,
magnitude-negative, noise-left-out, nothing-measured, option-line-repeated, points-out-of-order,
port-impedance-in-comments, ports-differ-from-name, reference-not-50, references-differ,
reflection-above-one, s11-of-multiport, separators-ignored, sweeps-split, unit-assumed,
unknown-keyword, version-missing, zero-frequency-left-out.
"""

from __future__ import annotations

import itertools
from dataclasses import replace
from typing import TYPE_CHECKING

import numpy as np

from fairlead.core.errors import ReadError
from fairlead.core.notice import Notice
from fairlead.core.reading import header, remarks, tidy
from fairlead.core.reading.clock import taken_at
from fairlead.core.reading.kind import check_kind
from fairlead.core.reading.label import label_of, ports_in_name
from fairlead.core.reading.number import SEPARATORS, parse_number
from fairlead.core.reading.parameters import to_complex, to_reflection
from fairlead.core.reading.points import to_points
from fairlead.core.reading.reading import Reading
from fairlead.core.reading.restarts import is_continued, starts_of_sweeps
from fairlead.core.reading.rows import to_numbers
from fairlead.core.reading.scan import line_list, scan
from fairlead.core.reading.text import to_lines
from fairlead.core.reading.tidy import Series
from fairlead.core.sweep import Sweep

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from fairlead.core.arrays import FloatArray
    from fairlead.core.reading.option_line import Options
    from fairlead.core.reading.points import Points
    from fairlead.core.reading.scan import Scan

_HEAD = 100


def parse(data: bytes, file: str) -> Reading:
    """Read the bytes of a Touchstone file that holds one sweep; see `parse_lines`.

    Raises
    ------
    ReadError
        Also where it holds several.
    """
    lines = to_lines(data, file)
    check_kind(lines, file)
    first, *others = parse_lines(lines, file)
    if others:
        raise ReadError(file, f"{len(others) + 1} sweeps in one file", "split the file")
    return first


def parse_lines(lines: Sequence[str], file: str) -> tuple[Reading, ...]:
    """Read the content of one Touchstone file.

    The standard knows one sweep a file. Programs append further ones all the same, mostly with an
    option line of their own: each is read as a sweep of its own, and they are never mixed.

    Parameters
    ----------
    lines : sequence of str
        As `fairlead.core.reading.text.to_lines` gives them.
    file : str
        Path as the user gave it: for messages, for the label, and as a hint at the ports.

    Returns
    -------
    tuple of Reading
        S11 at the reference of port 1 of each sweep, at least one.

    Raises
    ------
    ReadError
        Where the content is not Touchstone or a line of it cannot be read.
    """
    whole = scan(lines, file)
    cuts = [1, *_further_sweeps(whole, file), len(lines) + 1]
    readings: list[Reading] = []
    for begin, end in itertools.pairwise(cuts):
        part = lines[begin - 1 : end - 1]
        found = whole if len(cuts) == 2 else scan(part, file, begin)
        readings += _readings(found, part, file)
    if len(readings) == 1:
        return tuple(readings)
    text = f"one of {len(readings)} sweeps that stand in the file one after the other"
    return tuple(
        replace(
            reading,
            label=f"{reading.label} {number}",
            notices=(*reading.notices, Notice("sweeps-split", text)),
        )
        for number, reading in enumerate(readings, 1)
    )


def _further_sweeps(found: Scan, file: str) -> list[int]:
    """Lines of the option lines that begin another sweep.

    One that stands in front of the numbers, or that says the same between rows whose frequencies go
    on, is ignored, as the standard wants it.

    Raises
    ------
    ReadError
        In a file with keywords of version 2, which hold for the whole file.
    """
    between = [restart for restart in found.restarts if 0 < restart.row < len(found.rows)]
    if not between:
        return []
    first_words = _starts_of_points(found.rows)
    is_point = ~np.isnan(first_words)
    starts = first_words[is_point]
    # Rows as places among the points: one pass here, since every row may have an option line.
    places = np.concatenate([[0], np.cumsum(is_point)])
    lines: list[int] = []
    since = 0
    cuts = [*places[[restart.row for restart in between]].tolist(), starts.size]
    for restart, (cut, end) in zip(between, itertools.pairwise(cuts), strict=True):
        if restart.differs or not is_continued(starts[since:cut], starts[cut:end]):
            lines.append(restart.line)
            since = cut
    _refuse_too_many(len(lines) + 1, file)
    if lines and found.is_version_2:
        raise ReadError(
            file,
            "an option line begins another sweep, but keywords apply to the whole file",
            "split the file: one sweep per file",
            lines[0],
        )
    return lines


def _readings(found: Scan, lines: Sequence[str], file: str) -> list[Reading]:
    """The sweeps that stand behind one option line."""
    if found.restarts:
        ignored = line_list([restart.line for restart in found.restarts])
        text = f"further option lines are ignored: {ignored}"
        found.notices.insert(0, Notice("option-line-repeated", text))
    if not found.rows:
        raise ReadError(file, "no rows of numbers in the file", "export the sweep again")
    numbers = to_numbers(found.rows, found.row_lines, file)
    name_ports = ports_in_name(file)
    points = to_points(
        numbers,
        file,
        ports=found.ports,
        triangular=found.matrix_format != "full",
        name_ports=name_ports,
    )
    options, unit_note, option_notices = header.options_of(found, points, file)
    header.check_parameter(found, options, points, file)
    references_ohm, reference_notices = header.references_of(found, options, points)
    series, value_notices = _series(found, options, points, references_ohm, file)
    z0_ohm = float(references_ohm[0])
    notices = (
        *found.notices,
        *option_notices,
        *reference_notices,
        *remarks.on_ports(points, name_ports, z0_ohm),
        *remarks.on_rows(found, numbers, points),
        *remarks.on_port_impedances(found, z0_ohm),
        *value_notices,
    )
    at = taken_at(_comments(lines))
    starts = starts_of_sweeps(series.frequency_hz)
    _refuse_too_many(len(starts) + 1, file)
    pieces = [series]
    if starts:
        places = np.split(np.arange(series.lines.size), starts)
        pieces = [series.where(place) for place in places]
    readings = []
    for piece in pieces:
        ordered, order_notices = tidy.in_order(piece)
        if ordered.lines.size < 2:
            raise ReadError(
                file,
                f"only {tidy.counted(ordered.lines.size)} above 0 Hz",
                "a sweep needs at least 2 frequencies: measure more points",
            )
        own = (*notices, *order_notices, *tidy.oddities(ordered, unit_note))
        sweep = Sweep(ordered.frequency_hz, ordered.reflection, z0_ohm)
        readings.append(Reading(sweep, label_of(file), file, own, at))
    return readings


def _refuse_too_many(sweeps: int, file: str) -> None:
    if sweeps > tidy.MOST_SWEEPS:
        raise ReadError(file, f"more than {tidy.MOST_SWEEPS} sweeps in one file", "split the file")


def _starts_of_points(rows: Sequence[str]) -> FloatArray:
    """The frequency that each row begins with; NaN for rows that continue a point, or are blank."""
    found = []
    for row in rows:
        words = row.split()
        value = parse_number(words[0].rstrip(SEPARATORS)) if len(words) % 2 else None
        found.append(np.nan if value is None else value)
    return np.array(found)


def _comments(lines: Sequence[str]) -> Iterator[str]:
    """Comments at the head of the file."""
    for line in lines[:_HEAD]:
        if "!" in line:
            yield line.partition("!")[2]


def _series(
    found: Scan, options: Options, points: Points, references_ohm: FloatArray, file: str
) -> tuple[Series, list[Notice]]:
    """Frequencies in Hz and S11, in the order of the file; points at 0 Hz left out."""
    tidy.refuse(points.frequency < 0, points.lines, file, "negative frequency")
    frequency_hz = tidy.to_hz(points.frequency, options.unit_hz)
    tidy.refuse_odd_frequencies(frequency_hz, points.lines, file)
    # S11 stands first in every file; the other parameters need the whole matrix.
    pairs = points.pairs[:, :2] if options.parameter == "s" else points.pairs
    reflection = to_reflection(
        to_complex(pairs, options.form),
        options.parameter,
        references_ohm if found.is_version_2 else None,
        found.matrix_format,
    )
    series = Series(frequency_hz, reflection, points.lines)
    notices = remarks.on_negative_magnitudes(points) if options.form == "ma" else []
    series, zero_notices = tidy.above_zero(series)
    tidy.refuse_endless(series, file)
    return series, [*notices, *zero_notices]
