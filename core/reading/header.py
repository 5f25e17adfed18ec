"""What the header of a Touchstone file means for its numbers, defaults included."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import numpy as np

from fairlead.core.errors import ReadError
from fairlead.core.notice import Notice
from fairlead.core.reading.option_line import UNIT_NAMES, Options

if TYPE_CHECKING:
    from fairlead.core.arrays import FloatArray
    from fairlead.core.reading.points import Points
    from fairlead.core.reading.scan import Scan

# Above this, rows that a lone format word proves to come from an instrument are plainly in Hz:
# as MHz they would reach 3 THz.
_PLAINLY_HZ = 3e6


def options_of(found: Scan, points: Points, file: str) -> tuple[Options, str, list[Notice]]:
    """Options that hold for the numbers.

    Returns
    -------
    options : Options
    unit_note : str
        Where the unit of frequency comes from, for messages.
    notices : list of Notice
        What was assumed.

    Raises
    ------
    ReadError
        Where a lone format word contradicts the option line.
    """
    if found.options is not None:
        return _stated_options(found, found.options, file)
    options = Options(form=found.lone_format or "ma")
    highest = float(points.frequency.max())
    if found.lone_format is None or highest < _PLAINLY_HZ:
        text = f"no option line: read as GHz S {options.form.upper()} R 50, the standard's defaults"
        notices = [Notice("defaults-applied", text)]
        return options, "no option line: GHz is the standard's default", notices
    text = (
        f"no option line: read as Hz S {options.form.upper()} R 50, because a line says "
        f"{options.form.upper()} and frequencies reach {highest:.4g}"
    )
    notices = [Notice("unit-assumed", text)]
    return replace(options, unit_hz=1.0), "no option line: read as Hz", notices


def _stated_options(found: Scan, options: Options, file: str) -> tuple[Options, str, list[Notice]]:
    missing = list(options.missing)
    if found.references_ohm and "R 50" in missing:
        missing.remove("R 50")
    if found.lone_format is not None and "MA" in missing:
        missing.remove("MA")
        options = replace(options, form=found.lone_format)
    if found.lone_format not in (None, options.form):
        raise ReadError(
            file,
            f"this line says {str(found.lone_format).upper()}, the option line in line "
            f"{options.line} says {options.form.upper()}",
            "remove the one that is wrong",
            found.lone_format_line,
        )
    if not missing:
        return options, f"the option line says {UNIT_NAMES[options.unit_hz]}", []
    text = f"not in the option line, so the standard's defaults hold: {', '.join(missing)}"
    unit = UNIT_NAMES[options.unit_hz]
    unit_note = (
        "the option line has no unit: GHz is the standard's default"
        if "GHz" in missing
        else f"the option line says {unit}"
    )
    return options, unit_note, [Notice("defaults-applied", text)]


def check_parameter(found: Scan, options: Options, points: Points, file: str) -> None:
    """Refuse kinds of parameters that the data cannot be.

    Raises
    ------
    ReadError
        H or G of other than two ports or of half a matrix; mixed modes of anything but S.
    """
    name = options.parameter.upper()
    if name in "HG" and points.ports != 2:
        raise ReadError(
            file,
            f"{name} parameters need two ports, but the rows are {points.ports}-port data",
            "export S, Z or Y parameters",
            options.line,
        )
    if name in "HG" and found.matrix_format != "full":
        raise ReadError(
            file, f"half a matrix of {name} parameters", "export the full matrix", options.line
        )
    if name != "S" and found.mixed_mode_line:
        raise ReadError(
            file,
            f"mixed-mode data of {name} parameters",
            "export single-ended S-parameters",
            found.mixed_mode_line,
        )


def references_of(found: Scan, options: Options, points: Points) -> tuple[FloatArray, list[Notice]]:
    """Reference of every port.

    Returns
    -------
    references_ohm : FloatArray, shape (ports,)
        [Reference] before R before 50 ohm; where there are fewer values than ports, or more,
        that of port 1 for all.
    notices : list of Notice
    """
    given = found.references_ohm or options.references_ohm
    z0_ohm = given[0]
    notices = []
    if len(given) not in (1, points.ports) or any(value != z0_ohm for value in given):
        listed = ", ".join(f"{value:g}" for value in given)
        text = f"references of {listed} ohm are given: {z0_ohm:g} ohm holds for port 1"
        notices.append(Notice("references-differ", text))
    if z0_ohm != 50:
        notices.append(Notice("reference-not-50", f"the reference impedance is {z0_ohm:g} ohm"))
    if len(given) != points.ports:
        given = (z0_ohm,) * points.ports
    return np.array(given), notices
