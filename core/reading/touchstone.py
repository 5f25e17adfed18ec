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
reflection-above-one, s11-of-multiport, separators-ignored, unit-assumed, unknown-keyword,
version-missing, zero-frequency-left-out.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from fairlead.core.errors import ReadError
from fairlead.core.reading import header, remarks, tidy
from fairlead.core.reading.clock import taken_at
from fairlead.core.reading.kind import check_kind
from fairlead.core.reading.label import label_of, ports_in_name
from fairlead.core.reading.parameters import to_complex, to_reflection
from fairlead.core.reading.points import to_points
from fairlead.core.reading.reading import Reading
from fairlead.core.reading.rows import to_numbers
from fairlead.core.reading.scan import scan
from fairlead.core.reading.text import to_lines
from fairlead.core.reading.tidy import Series
from fairlead.core.sweep import Sweep

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from fairlead.core.arrays import FloatArray
    from fairlead.core.notice import Notice
    from fairlead.core.reading.option_line import Options
    from fairlead.core.reading.points import Points
    from fairlead.core.reading.scan import Scan

_HEAD = 100


def parse(data: bytes, file: str) -> Reading:
    """Read the bytes of one Touchstone file; see `parse_lines`."""
    lines = to_lines(data, file)
    check_kind(lines, file)
    return parse_lines(lines, file)


def parse_lines(lines: Sequence[str], file: str) -> Reading:
    """Read the content of one Touchstone file.

    Parameters
    ----------
    lines : sequence of str
        As `fairlead.core.reading.text.to_lines` gives them.
    file : str
        Path as the user gave it: for messages, for the label, and as a hint at the ports.

    Returns
    -------
    Reading
        S11 at the reference of port 1.

    Raises
    ------
    ReadError
        Where the content is not Touchstone or a line of it cannot be read.
    """
    found = scan(lines, file)
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
    series, order_notices = tidy.in_order(series)
    if series.lines.size < 2:
        raise ReadError(
            file,
            f"only {tidy.counted(series.lines.size)} above 0 Hz",
            "a sweep needs at least 2 frequencies: measure more points",
        )
    z0_ohm = float(references_ohm[0])
    notices = (
        *found.notices,
        *option_notices,
        *reference_notices,
        *remarks.on_ports(points, name_ports, z0_ohm),
        *remarks.on_rows(found, numbers, points),
        *remarks.on_port_impedances(found, z0_ohm),
        *value_notices,
        *order_notices,
        *tidy.oddities(series, unit_note),
    )
    sweep = Sweep(series.frequency_hz, series.reflection, z0_ohm)
    return Reading(sweep, label_of(file), file, notices, taken_at(_comments(lines)))


def _comments(lines: Sequence[str]) -> Iterator[str]:
    """Comments at the head of the file."""
    for line in lines[:_HEAD]:
        _, mark, comment = line.partition("!")
        if mark:
            yield comment


def _series(
    found: Scan, options: Options, points: Points, references_ohm: FloatArray, file: str
) -> tuple[Series, list[Notice]]:
    """Frequencies in Hz and S11, in the order of the file; points at 0 Hz left out."""
    tidy.refuse(points.frequency < 0, points.lines, file, "negative frequency")
    frequency_hz = tidy.to_hz(points.frequency, options.unit_hz)
    tidy.refuse(np.isinf(frequency_hz), points.lines, file, "frequency beyond all numbers")
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
