"""What files of traced sweeps say about the tracing, so that they are read back as traced.

Comments: the mark itself; the picture's SHA-256 and the method; how many neighbouring points share
their error, with the uncertainty of the frequency axis; each gap with its ends. In a table the
uncertainty of each point is a column; elsewhere the largest one is a comment.
"""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

import numpy as np

from fairlead.core.errors import SweepError
from fairlead.core.traced import TRACED_WORDS, Traced

if TYPE_CHECKING:
    from collections.abc import Iterable

    from fairlead.core.arrays import FloatArray

TRACED_COLUMN = "standard_uncertainty"
_NUMBER = r"([0-9]+(?:\.[0-9]+)?(?:e[-+]?[0-9]+)?)"
_FACTS = {
    "method": re.compile(rf"^[#!]\s*{TRACED_WORDS}, not measured \(method ([0-9]{{1,6}})\)"),
    "picture": re.compile(r"^[#!]\s*picture SHA-256: ([0-9a-f]{64})"),
    "frequency": re.compile(rf"^[#!]\s*standard uncertainty of the frequency in hertz: {_NUMBER}"),
    "largest": re.compile(rf"^[#!]\s*largest standard uncertainty of \|G\|: {_NUMBER}"),
    "share": re.compile(rf"^[#!]\s*share of it that is the line's own: {_NUMBER}"),
    "alike": re.compile(rf"^[#!]\s*neighbouring points that share their error: {_NUMBER}"),
}
_LOST = re.compile(rf"^[#!]\s*lost between the frequencies {_NUMBER} and {_NUMBER}")
_LONGEST = 200


def traced_lines(traced: Traced, frequency_hz: FloatArray) -> list[str]:
    """The comments, without the character that opens them."""
    lines = [f"{TRACED_WORDS}, not measured (method {traced.method})"]
    if traced.picture_sha256:
        lines.append(f"picture SHA-256: {traced.picture_sha256}")
    lines += [
        f"standard uncertainty of the frequency in hertz: {traced.frequency_sigma_hz:.4g}",
        f"largest standard uncertainty of |G|: {float(traced.sigma.max()):.4g}",
        f"share of it that is the line's own: {traced.line_share:.4g}",
        f"neighbouring points that share their error: {traced.alike_points:.4g}",
    ]
    for index in traced.lost_after:
        low_hz, high_hz = frequency_hz[index : index + 2].tolist()
        lines.append(f"lost between the frequencies {low_hz!r} and {high_hz!r}")
    return lines


def traced_of(
    comments: Iterable[str], frequency_hz: FloatArray, rows: tuple[FloatArray, FloatArray] | None
) -> Traced | None:
    """What comments say about a sweep; None if they do not say that it was traced.

    Parameters
    ----------
    comments : iterable of str
        Lines of the file that open with # or !.
    frequency_hz : FloatArray, shape (n,)
        Of the sweep that was read.
    rows : tuple of FloatArray, or None
        Frequencies and uncertainties of the table, if it has that column.

    Raises
    ------
    SweepError
        If the numbers contradict each other.
    """
    facts: dict[str, str] = {}
    gaps_hz: list[float] = []
    for line in comments:
        text = line[:_LONGEST]
        facts |= {key: found[1] for key, of in _FACTS.items() if (found := of.match(text))}
        if gap := _LOST.match(text):
            gaps_hz.append((float(gap[1]) + float(gap[2])) / 2)
    if "method" not in facts:
        return None
    if rows is not None:
        sigma = np.interp(frequency_hz, *rows)
    elif "largest" in facts:
        sigma = np.full(frequency_hz.size, float(facts["largest"]))
    else:
        raise SweepError(
            "the file says that it was traced from a picture, but not how well",
            "export it again",
        )
    after = np.searchsorted(frequency_hz, gaps_hz) - 1
    lost = sorted({int(index) for index in after if 0 <= index < frequency_hz.size - 1})
    return Traced(
        sigma,
        tuple(lost),
        float(facts.get("frequency", 0)),
        float(facts.get("alike", 3)),
        facts.get("picture", ""),
        int(facts["method"]),
        float(facts.get("share", 1)),
    )
