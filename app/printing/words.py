"""The text around the plots: title, caption, remarks, and the description for blind readers."""

from __future__ import annotations

from typing import TYPE_CHECKING

from fairlead.app.drawing.marks import SHADINGS
from fairlead.app.printing.plot_part import shaded
from fairlead.app.printing.type_setting import clean, wrap
from fairlead.core.table_lines import heading_line, interval_line, undecided_lines
from fairlead.core.units import format_frequency, format_swr, mhz_decimals

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from fairlead.app.printing.table_part import TablePlan
    from fairlead.app.printing.traces import Trace
    from fairlead.app.printing.type_setting import Measure
    from fairlead.core.comparison.changes import ChangeSummary
    from fairlead.core.comparison.rows import Row
    from fairlead.core.document.bench import Bench
    from fairlead.core.document.picture_request import PictureRequest
    from fairlead.core.views.quantity import Quantity

_NAMES_LISTED = 3
_LONGEST_NAME = 40
# So many sentences are short enough to stand among the remarks.
_MOST_UNASKED = 2


def title_of(
    bench: Bench, rows: Sequence[Row], request: PictureRequest, without_room: int = 0
) -> str:
    """The user's title, or one that says what is compared where."""
    if request.title is not None:
        return clean(request.title)
    what = clean(rows[0].entry.caption) if len(rows) == 1 else f"{len(rows)} sweeps compared"
    if without_room:
        what = f"{len(rows)} of {len(rows) + without_room} sweeps compared"
    if bench.has_own_band and bench.band.name is not None:
        return f"{what} in the {bench.band.name.split(',')[0]} band"
    return what


def condition_line(
    bench: Bench, rows: Sequence[Row], plan: TablePlan, *, band_is_shown: bool
) -> str:
    """Band, limit, reference impedance and reference in one line."""
    line = heading_line(bench)
    if not bench.has_own_band:
        line = f"Span of the sweeps {line}"
    elif band_is_shown:
        line = f"Band (shaded) {line}"
    else:
        line = f"Band {line}"
    reference = bench.reference
    if len(rows) < 2 or reference is None:
        return f"{line}."
    name = _short(clean(reference.caption))
    sign = "in bold" if any(row.is_reference for row in rows) else "not drawn"
    has_shift = any(column.id == "shift" for column in plan.columns)
    return f"{line}. {'Shift against' if has_shift else 'Reference:'} {name} ({sign})."


def remarks(
    bench: Bench,
    traces: Sequence[Trace],
    quantity: Quantity,
    beyond: int,
    *,
    band_is_shown: bool,
    drawn: Sequence[Trace],
    without_room: int = 0,
) -> list[str]:
    """Everything that a reader of the picture must know, the most important first.

    ``drawn`` are the traces as the plot over frequency draws them; ``without_room`` more sweeps are
    not hidden, but the legend has no room for them, and something else says so.
    """
    rows = [trace.row for trace in traces]
    found: list[str] = []
    if bench.has_own_band and not band_is_shown:
        found.append("None of the sweeps reaches the band.")
    found += _steps(rows)
    found += _measured(traces, quantity, beyond)
    found += _signs(traces)
    found += _shading(drawn)
    if bench.has_own_band:
        found += [clean(line) for line in undecided_lines(rows)]
    found += _left_out(bench, rows, traces, without_room, band_is_shown=band_is_shown)
    found += _notices(rows)
    found += filter(None, [interval_line(rows)])
    return found


def _steps(rows: Sequence[Row]) -> list[str]:
    """The curves that are not as measured."""
    changed = [row.entry for row in rows if row.entry.steps_caption]
    names = [f"{_short(clean(entry.label))} ({entry.steps_caption})" for entry in changed]
    return [f"Not as measured: {'; '.join(names)}."] if names else []


def _measured(traces: Sequence[Trace], quantity: Quantity, beyond: int) -> list[str]:
    found = []
    above = [trace for trace in traces if trace.row.figures.above_one]
    if above:
        counts = ", ".join(
            f"{_name(t.row)} {t.row.figures.above_one}" for t in above[:_NAMES_LISTED]
        )
        more = f" and {len(above) - _NAMES_LISTED} more" if len(above) > _NAMES_LISTED else ""
        is_marked = not quantity.exists_above_one and any(t.above_one_hz.size for t in traces)
        sign = " (^ at the top edge)" if is_marked else ""
        found.append(f"Points with |reflection| > 1, which have no SWR{sign}: {counts}{more}.")
    if any(t.edge_hz.size for t in traces if t.analysis.is_bound is not None):
        found.append("^ at the top edge: SWR beyond the meter's scale.")
    if beyond:
        found.append(f"{beyond} of them lie outside the part of the Smith chart that is drawn.")
    scalar = [trace.row for trace in traces if trace.reflection is None]
    if scalar and len(scalar) < len(traces):
        where = "in neither plot" if quantity.needs_phase else "not on the Smith chart"
        found.append(f"SWR only, no phase, so {where}: {_names(scalar)}.")
    elif scalar and quantity.needs_phase:
        found.append(f"No phase was measured, so there is no {quantity.title} to plot.")
    return found


def _signs(traces: Sequence[Trace]) -> list[str]:
    """What thin dots and small crosses mean, for those who have only the picture."""
    found = []
    coarse = [(_name(t.row), t.analysis.points_wanted) for t in traces if t.in_gap.any()]
    if coarse:
        names = "; ".join(f"{name}, take {wanted}" for name, wanted in coarse[:_NAMES_LISTED])
        more = f" and {len(coarse) - _NAMES_LISTED} more" if len(coarse) > _NAMES_LISTED else ""
        found.append(f"Thin dots: points too far apart ({names}{more}).")
    crossed = [trace.row for trace in traces if trace.outliers.frequency_hz.size]
    if crossed:
        found.append(
            "Small crosses: single points off the curve, not used in any figure "
            f"({_names(crossed)})."
        )
    return found


def _shading(traces: Sequence[Trace]) -> list[str]:
    """What the pale bands mean, and which curves have them."""
    lines = []
    for kind, text in SHADINGS.items():
        found = [
            trace
            for trace in shaded(traces)
            if trace.points is not None and trace.points.kind == kind
        ]
        if found:
            everyone = len(found) == len(traces)
            only = "" if everyone else f" ({_names([trace.row for trace in found])})"
            lines.append(f"{text[0].upper()}{text[1:]}{only}.")
    return lines


def _left_out(
    bench: Bench,
    rows: Sequence[Row],
    traces: Sequence[Trace],
    without_room: int,
    *,
    band_is_shown: bool,
) -> list[str]:
    found = []
    short = [row for row in rows if not row.figures.covers_band]
    if bench.has_own_band and band_is_shown and short:
        found.append(f"Does not cover the band: {_names(short)}.")
    at_end = [row for row in rows if row.figures.best_match_at_end]
    if at_end:
        found.append(f"The SWR is still falling where the sweep ends: {_names(at_end)}.")
    empty = [trace.row for trace in traces if trace.frequency_hz.size == 0]
    if empty:
        found.append(f"Outside the frequencies drawn: {_names(empty)}.")
    hidden = len(bench.entries) - len(rows) - without_room
    if hidden:
        found.append(f"{hidden} hidden {'sweep is' if hidden == 1 else 'sweeps are'} not drawn.")
    return found


def _notices(rows: Sequence[Row]) -> list[str]:
    """The readers' notices; the same text for several sweeps only once."""
    by_text: dict[str, list[Row]] = {}
    for row in rows:
        for notice in row.entry.notices:
            if notice.code == "reflection-above-one":
                # Counted for all sweeps together above.
                continue
            by_text.setdefault(clean(notice.text), []).append(row)
    return [f"{_names(of)}: {text.rstrip('.')}." for text, of in by_text.items()]


def what_changed(
    bench: Bench,
    rows: Sequence[Row],
    before: Mapping[int, ChangeSummary] | None,
    request: PictureRequest,
) -> list[str]:
    """What changed in the sweeps that are drawn, as far as the request wants it said.

    Taking a change apart takes a while, so of many sweeps it is done only when asked for.
    """
    drawn = [row for row in rows if row.entry.is_visible and row.change is not None]
    is_unasked = request.changes == "if-room" and len(drawn) > _MOST_UNASKED
    if not drawn or request.changes == "no" or is_unasked:
        return []
    compared = [row for row in rows if row.is_reference or row.entry.is_visible]
    # Ten modules that most pictures do not need.
    from fairlead.core.comparison.changes import changes_of  # noqa: PLC0415

    found = changes_of(bench, compared, before or {}) or {}
    return [clean(found[row.entry.key].sentence) for row in drawn if row.entry.key in found]


def fit_sentences(
    measure: Measure, said: Sequence[str], width_mm: float, size_pt: float, most_lines: int
) -> list[str]:
    """Each sentence on lines of its own; how many have no room stands at the end."""
    lines: list[str] = []
    for count, sentence in enumerate(said):
        own = wrap(measure, sentence, width_mm, size_pt)
        is_last = count == len(said) - 1
        if len(lines) + len(own) + (not is_last) > most_lines:
            left = len(said) - count
            what = "sentence on what changed has" if left == 1 else "sentences on what changed have"
            more = f"({left} {'more ' if count else ''}{what} no room here.)"
            return [*lines, *wrap(measure, more, width_mm, size_pt)]
        lines += own
    return lines


def description_of(
    bench: Bench,
    rows: Sequence[Row],
    title: str,
    quantity: Quantity,
    said: Sequence[str] = (),
) -> str:
    """The picture in words, for the file's description and for blind readers."""
    start = f"{title}. " if title else ""
    many = "1 sweep" if len(rows) == 1 else f"{len(rows)} sweeps"
    what = f"{quantity.title} plot and Smith chart of {many}"
    parts = [f"{start}{what}. {heading_line(bench)}."]
    for row in rows:
        own = row.figures
        decimals = mhz_decimals(own.step_hz)
        if own.best_match_hz is None:
            parts.append(f"{_name(row)}: nothing measured in the band.")
            continue
        text = (
            f"{_name(row)}: best match {format_frequency(own.best_match_hz, decimals)}"
            f" with SWR {format_swr(own.best_match_swr)}"
        )
        if own.best_match_at_end:
            text += " at the end of the sweep"
        if own.worst_swr is not None:
            text += f", worst SWR in the band {format_swr(own.worst_swr)}"
        parts.append(f"{text}.")
    return clean(" ".join([*parts, *said]))


def fit_remarks(
    measure: Measure, found: Sequence[str], width_mm: float, size_pt: float, most_lines: int
) -> list[str]:
    """The remarks as running text in a number of lines, ending with how many do not fit."""
    for count in range(len(found), -1, -1):
        left = len(found) - count
        more = [f"({left} more {'remark has' if left == 1 else 'remarks have'} no room here.)"]
        lines = wrap(
            measure, " ".join([*found[:count], *(more if left else [])]), width_mm, size_pt
        )
        if len(lines) <= most_lines:
            return lines
    return []


def _name(row: Row) -> str:
    return _short(clean(row.entry.caption))


def _short(name: str) -> str:
    """A name, shortened to leave room for the rest of the remark."""
    return name if len(name) <= _LONGEST_NAME else f"{name[: _LONGEST_NAME - 10]}…{name[-9:]}"


def _names(rows: Sequence[Row]) -> str:
    listed = ", ".join(_name(row) for row in rows[:_NAMES_LISTED])
    more = len(rows) - _NAMES_LISTED
    return f"{listed} and {more} more" if more > 0 else listed
