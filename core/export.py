"""A sweep as a file for other programs: Touchstone 1.1 or 2.0, or a table (CSV).

All measured numbers are written in full (the shortest text that gives the same number), so that
what is read back equals what was on the bench.

Source of the Touchstone forms: Touchstone File Format Specification 1.1 (2002) and 2.0 (2009), IBIS
Open Forum: ASCII only, ``!`` opens a comment, in version 2 the keywords in their order.
"""

from __future__ import annotations

import csv
import io
import unicodedata
from typing import TYPE_CHECKING, Literal

import numpy as np

from fairlead.core.errors import FairleadError
from fairlead.core.reflection import impedance_ohm, return_loss_db, swr
from fairlead.core.sweep import ScalarSweep, Sweep
from fairlead.core.traced_text import TRACED_COLUMN, traced_lines

if TYPE_CHECKING:
    from collections.abc import Iterable

    from fairlead.core.arrays import FloatArray
    from fairlead.core.document.entry import Entry
    from fairlead.core.sweep import AnySweep

TouchstoneVersion = Literal["1.1", "2.0"]
What = Literal["measured", "shown"]
"""The numbers as they were read, or with the sweep's steps applied."""

_CIRCUMSTANCES = (
    ("taken at", "taken_at"),
    ("place", "place"),
    ("height", "height"),
    ("feed line", "feed_line"),
    ("weather", "weather"),
    ("continuity", "continuity"),
    ("notes", "notes"),
)


def as_touchstone(entry: Entry, version: TouchstoneVersion = "1.1", what: What = "measured") -> str:
    """The text of a one-port Touchstone file, for a name that ends in .s1p (2.0 also .ts).

    Parameters
    ----------
    entry : Entry
        Name, condition and circumstances become comments; what is not ASCII in them is replaced.
    version : {"1.1", "2.0"}
    what : {"measured", "shown"}
        With "shown", the steps that are on become comments; with "measured" they are not mentioned.

    Raises
    ------
    FairleadError
        For a scalar sweep: Touchstone cannot leave out the phase, and none is invented.
    """
    sweep = _sweep(entry, what)
    if not isinstance(sweep, Sweep):
        raise FairleadError(
            f'no phase was measured with "{entry.label}", and Touchstone needs one',
            "export it as CSV",
        )
    z0_ohm = _number(sweep.z0_ohm)
    options = f"# Hz S RI R {z0_ohm}"
    columns = (sweep.frequency_hz, sweep.reflection.real, sweep.reflection.imag)
    rows = [
        " ".join(map(_number, row)) for row in zip(*map(np.ndarray.tolist, columns), strict=True)
    ]
    if version == "1.1":
        lines = [options, *rows]
    else:
        lines = [
            "[Version] 2.0",
            options,
            "[Number of Ports] 1",
            f"[Number of Frequencies] {len(rows)}",
            f"[Reference] {z0_ohm}",
            "[Network Data]",
            *rows,
            "[End]",
        ]
    return "\n".join([*_comments(entry, what), *lines]) + "\n"


def as_csv(entry: Entry, what: What = "measured") -> str:
    """A table with a header: the reflection in full, and what follows from it to six digits.

    Comments in front state the reference impedance and, of what is shown, the steps that are on. A
    cell is empty where a figure does not exist: SWR and return loss where |G| > 1, impedance of an
    open circuit. Of a traced sweep, the comments say so, and a column has the standard uncertainty
    of |G| (of real and imaginary part each).
    """
    sweep = _sweep(entry, what)
    columns: list[tuple[str, Iterable[str]]] = [
        ("frequency_hz", map(_number, sweep.frequency_hz.tolist()))
    ]
    if isinstance(sweep, Sweep):
        with np.errstate(over="ignore"):  # as good as an open circuit: no finite impedance
            z_ohm = impedance_ohm(sweep.reflection, sweep.z0_ohm)
        columns += [
            ("reflection_real", map(_number, sweep.reflection.real.tolist())),
            ("reflection_imaginary", map(_number, sweep.reflection.imag.tolist())),
            ("resistance_ohm", _figures(z_ohm.real)),
            ("reactance_ohm", _figures(z_ohm.imag)),
        ]
    elif sweep.is_bound is None:
        columns.append(("reflection_magnitude", map(_number, sweep.magnitude.tolist())))
    ratios, losses_db = _figures(swr(sweep.magnitude)), _figures(return_loss_db(sweep.magnitude))
    if isinstance(sweep, ScalarSweep) and sweep.is_bound is not None:
        # Beyond the meter's scale: as a magnitude it would pass for a value.
        is_bound = sweep.is_bound.tolist()
        ratios = [f"> {one}" if at else one for one, at in zip(ratios, is_bound, strict=True)]
        losses_db = [f"< {one}" if at else one for one, at in zip(losses_db, is_bound, strict=True)]
    columns += [("swr", ratios), ("return_loss_db", losses_db)]
    if sweep.traced is not None:
        columns.append((TRACED_COLUMN, map(_number, sweep.traced.sigma.tolist())))
    out = io.StringIO()
    out.write(f"# reference impedance: {_number(sweep.z0_ohm)} ohm\n")
    if sweep.traced is not None:
        out.writelines(f"# {line}\n" for line in traced_lines(sweep.traced, sweep.frequency_hz))
    out.writelines(f"# {line}\n" for line in _steps(entry, what))
    writer = csv.writer(out, lineterminator="\n")
    writer.writerow([name for name, _ in columns])
    writer.writerows(zip(*(cells for _, cells in columns), strict=True))
    return out.getvalue()


def _number(value: float) -> str:
    """All digits; whole numbers without a fraction, and no negative zero."""
    return repr(value + 0.0).removesuffix(".0")


def _figures(values: FloatArray) -> list[str]:
    return [f"{value:.6g}" if np.isfinite(value) else "" for value in (values + 0.0).tolist()]


def _sweep(entry: Entry, what: What) -> AnySweep:
    return entry.measured if what == "measured" else entry.sweep


def _steps(entry: Entry, what: What) -> list[str]:
    if what == "measured" or not entry.steps_caption:
        return []
    return [f"not as measured: {entry.steps_caption}"]


def _comments(entry: Entry, what: What) -> list[str]:
    lines = [entry.measured_caption, *_steps(entry, what)]
    sweep = _sweep(entry, what)
    if sweep.traced is not None:
        lines += traced_lines(sweep.traced, sweep.frequency_hz)
    for name, field in _CIRCUMSTANCES:
        value = getattr(entry.circumstances, field)
        lines += [f"{name}: {line}" for line in value.splitlines() if line.strip()]
    return [f"! {_ascii(line)}" for line in lines]


def _ascii(text: str) -> str:
    """Accents dropped, any other character beyond ASCII replaced; one line."""
    spread = unicodedata.normalize("NFKD", " ".join(text.split()))
    plain = "".join(c for c in spread if not unicodedata.combining(c))
    return "".join(c if c.isascii() and c.isprintable() else "?" for c in plain)
