"""A matching network in the picture: its way over the Smith chart, and in words what to build."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from fairlead.app.drawing.marks import PATH_ENDS
from fairlead.app.printing.polylines import simplify
from fairlead.app.printing.shapes import Line, Mark, Pen
from fairlead.app.printing.type_setting import SMALLEST_PT, cap_mm, set_text
from fairlead.core.errors import FairleadError
from fairlead.core.reflection import renormalise

if TYPE_CHECKING:
    from collections.abc import Callable

    from fairlead.app.printing.shapes import Shape
    from fairlead.app.printing.trace_style import Ink
    from fairlead.app.printing.type_setting import Measure
    from fairlead.core.analysis.analyses import Analyses
    from fairlead.core.arrays import ComplexArray, FloatArray
    from fairlead.core.document.bench import Bench

_LINE_MM, _HALO_MM, _DOT_MM = 0.4, 1.0, 1.3
_TOLERANCE_MM = 0.02
_PAPER = "#ffffff"


@dataclass(frozen=True, slots=True, eq=False)
class PrintedMatch:
    """What is drawn, and what is said.

    Attributes
    ----------
    path : tuple of ComplexArray
        Reflections at the chart's impedance, an array an element, from the antenna on.
    remark : str
    """

    path: tuple[ComplexArray, ...] = ()
    remark: str = ""


def printed_match(bench: Bench, analyses: Analyses) -> PrintedMatch | None:
    """The network that the bench wants in its picture; None if it wants none."""
    if not bench.advice.in_picture:
        return None
    # Pictures hardly ever have one, and a cold start is short.
    from fairlead.core.advice.radio import RADIO_OHM  # noqa: PLC0415
    from fairlead.core.advice.requested import network_of  # noqa: PLC0415
    from fairlead.core.advice.wording import built_sentence  # noqa: PLC0415

    try:
        match = network_of(bench, analyses)
    except FairleadError as error:
        return PrintedMatch(remark=f"No network is drawn: {error.reason}.")
    path = tuple(renormalise(part, RADIO_OHM, bench.z0_ohm) for part in match.path)
    wanted = bench.advice.network
    other = f" Nothing of the kind {wanted} matches it." if wanted not in ("", match.kind) else ""
    return PrintedMatch(
        path, f"What-if, on the Smith chart from the antenna on: {built_sentence(match)}{other}"
    )


def match_shapes(
    path: tuple[ComplexArray, ...],
    places: Callable[[ComplexArray], FloatArray],
    ink: Ink,
    measure: Measure,
) -> list[Shape]:
    """Lines with a dot at each end of an element, and words where they begin and end."""
    if not path:
        return []
    lines = [simplify(places(part), _TOLERANCE_MM) for part in path]
    shapes: list[Shape] = [Line(line, Pen(_PAPER, _HALO_MM)) for line in lines]
    shapes += [Line(line, Pen(ink.text, _LINE_MM)) for line in lines]
    ends = [lines[0][0], *(line[-1] for line in lines)]
    shapes += [Mark("circle", float(x), float(y), _DOT_MM, ink.text, False) for x, y in ends]
    # The upper end has its words above it, so that they stay apart however near the ends are.
    first_is_upper = ends[0][1] < ends[-1][1]
    for (x, y), words, is_upper in zip(
        (ends[0], ends[-1]), PATH_ENDS, (first_is_upper, not first_is_upper), strict=True
    ):
        down_mm = -_DOT_MM if is_upper else _DOT_MM + cap_mm(SMALLEST_PT)
        at = (float(x) + _DOT_MM, float(y) + down_mm)
        shapes.append(set_text(measure, words, at, SMALLEST_PT, colour=ink.text, halo=True))
    return shapes
