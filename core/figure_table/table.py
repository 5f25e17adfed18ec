"""The table of figures: one declaration of every figure, for every place that shows it.

Where an output leaves a figure out, the reason is given here (``left_out``).
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from fairlead.core.figure_table import values
from fairlead.core.figure_table.number import (
    CHANGE,
    HUNDREDTHS,
    KHZ,
    KHZ_CHANGE,
    MHZ,
    SWR,
    TENTHS,
)
from fairlead.core.figure_table.spec import FigureColumn, FigureSpec, Further, Output

if TYPE_CHECKING:
    from collections.abc import Sequence

    from fairlead.core.comparison.rows import Row


def _not_in(reason: str, *outputs: Output) -> dict[Output, str]:
    return dict.fromkeys(outputs, reason)


_FOR_PEOPLE: tuple[Output, ...] = ("window", "text", "markdown", "picture", "help")
_IN_DETAILS = "shown in the details of the sweep"
_NO_ROOM = "a printed table has room for one change of each kind"

FIGURES: tuple[FigureSpec, ...] = (
    FigureSpec(
        "label",
        "label",
        "Sweep",
        "",
        "Name of the sweep",
        lambda row: row.entry.label,
        lambda row: values.one_line(row.entry.title),
        # With the steps, so that a what-if is not taken for a measurement in a spreadsheet either.
        parts=(FigureColumn("label", lambda row: row.entry.title, "Sweep"),),
        is_words=True,
        left_out=_not_in("each row of the printed table begins with the name", "picture"),
    ),
    FigureSpec(
        "condition",
        "condition",
        "Condition",
        "",
        "What was different when it was taken",
        lambda row: row.entry.condition or None,
        lambda row: values.one_line(row.entry.condition),
        widest="wet, 5 mm of ice",
        is_words=True,
        left_out=_not_in("printed with the name", "picture"),
    ),
    FigureSpec(
        "file",
        "file",
        "File",
        "",
        "The file it was read from",
        lambda row: row.entry.file,
        left_out=_not_in(_IN_DETAILS, *_FOR_PEOPLE),
    ),
    FigureSpec(
        "date",
        "date",
        "Date",
        "",
        "When it was taken",
        lambda row: row.entry.circumstances.taken_at or None,
        left_out=_not_in(_IN_DETAILS, *_FOR_PEOPLE),
    ),
    FigureSpec(
        "notes",
        "notes",
        "Notes",
        "",
        "What the user wrote about it",
        lambda row: row.entry.circumstances.notes or None,
        left_out=_not_in(_IN_DETAILS, *_FOR_PEOPLE),
    ),
    FigureSpec(
        "plane",
        "plane",
        "Reference plane",
        "",
        "Where the figures apply: at the radio or at the feed point",
        lambda row: row.entry.seen_at,
        left_out=_not_in("printed after the name of the sweep", *_FOR_PEOPLE),
    ),
    FigureSpec(
        "steps",
        "steps",
        "Steps",
        "",
        "What was done to the sweep after it was measured",
        lambda row: [step.as_object() for step in row.entry.steps],
        left_out=_not_in("printed after the name of the sweep", *_FOR_PEOPLE, "csv"),
    ),
    FigureSpec(
        "points",
        "points",
        "Points",
        "",
        "Number of points",
        lambda row: row.figures.points,
        left_out=_not_in(_IN_DETAILS, *_FOR_PEOPLE),
    ),
    FigureSpec(
        "low",
        "low_hz",
        "First frequency",
        "MHz",
        "Where the sweep begins",
        lambda row: row.figures.low_hz,
        number=MHZ,
        left_out=_not_in(_IN_DETAILS, *_FOR_PEOPLE),
    ),
    FigureSpec(
        "high",
        "high_hz",
        "Last frequency",
        "MHz",
        "Where the sweep ends",
        lambda row: row.figures.high_hz,
        number=MHZ,
        left_out=_not_in(_IN_DETAILS, *_FOR_PEOPLE),
    ),
    FigureSpec(
        "z0",
        "z0_ohm",
        "Reference impedance",
        "Ω",
        "Reference impedance of the file",
        lambda row: row.entry.sweep.z0_ohm,
        number=TENTHS,
        left_out=_not_in(_IN_DETAILS, *_FOR_PEOPLE),
    ),
    FigureSpec(
        "has_phase",
        "has_phase",
        "Has phase",
        "",
        "Whether the sweep has phase, and therefore an impedance",
        lambda row: row.figures.has_phase,
        left_out=_not_in(_IN_DETAILS, *_FOR_PEOPLE),
    ),
    FigureSpec(
        "covers_band",
        "covers_band",
        "Reaches both edges",
        "",
        "Whether the sweep reaches from edge to edge of the band",
        lambda row: row.figures.covers_band,
        left_out=_not_in(
            "a dash for the worst SWR shows it, and so does the verdict", *_FOR_PEOPLE
        ),
    ),
    FigureSpec(
        "verdict",
        "verdict",
        "Covers the band",
        "",
        "Whether the SWR stays within the limit in the whole band: yes, no, or cannot tell",
        values.verdict,
        values.verdict_text,
        parts=(
            FigureColumn(
                "covers",
                lambda row: None if row.figures.verdict is None else row.figures.verdict.covers,
                "Covers the band",
            ),
            FigureColumn(
                "covers_reason",
                lambda row: None if row.figures.verdict is None else row.figures.verdict.reason,
                "Reason",
            ),
        ),
        lines=("Covers", "the band"),
        rank=2,
        widest="cannot tell",
        is_words=True,
        needs_band=True,
    ),
    FigureSpec(
        "best_match",
        "best_match_hz",
        "Best match",
        "MHz",
        "Frequency of the lowest SWR",
        lambda row: row.figures.best_match_hz,
        values.best_match_text,
        MHZ,
        rank=0,
        widest="144.213 (end)",
        worst="furthest",
        least=0.0,
    ),
    FigureSpec(
        "best_swr",
        "best_match_swr",
        "Minimum SWR",
        "",
        "SWR at the best match",
        lambda row: row.figures.best_match_swr,
        number=SWR,
        lines=("Minimum", "SWR"),
        rank=1,
        worst="highest",
        has_limit=True,
        least=1.0,
    ),
    FigureSpec(
        "at_end",
        "best_match_at_end",
        "Best match at the end",
        "",
        "Whether the SWR is still falling where the sweep stops, so the best match lies outside it",
        lambda row: row.figures.best_match_at_end,
        left_out=_not_in("marked (end) at the best match", *_FOR_PEOPLE),
    ),
    FigureSpec(
        "worst",
        "worst_swr",
        "Worst SWR",
        "",
        "Largest SWR in the band; a dash if the sweep does not cover it",
        lambda row: row.figures.worst_swr,
        number=SWR,
        lines=("Worst SWR", "in band"),
        paper_lines=("Worst SWR", "in {place}"),
        rank=4,
        worst="highest",
        has_limit=True,
        least=1.0,
    ),
    FigureSpec(
        "worst_hz",
        "worst_hz",
        "Worst SWR at",
        "MHz",
        "Frequency of the largest SWR in the band",
        lambda row: row.figures.worst_hz,
        number=MHZ,
        left_out=_not_in(
            "an edge of the band in most cases, and visible in the plot", *_FOR_PEOPLE
        ),
    ),
    FigureSpec(
        "width",
        "usable_width_hz",
        "Usable bandwidth",
        "kHz",
        "Width of the segment below the limit that holds the best match",
        lambda row: row.figures.usable_width_hz,
        values.width_text,
        KHZ,
        lines=("Usable", "width, kHz"),
        rank=5,
        worst="lowest",
        least=0.0,
    ),
    FigureSpec(
        "shift",
        "best_match_shift_hz",
        "Shift",
        "kHz",
        "Shift of the best match from the reference",
        values.change("best_match_shift_hz"),
        number=KHZ_CHANGE,
        rank=3,
        widest="unresolved",
        is_change=True,
        worst="furthest",
    ),
    FigureSpec(
        "loss_change",
        "worst_mismatch_loss_change_db",
        "Change of loss",
        "dB",
        "Change of the mismatch loss at the worst SWR in the band",
        values.change("worst_mismatch_loss_change_db"),
        number=CHANGE,
        lines=("Change of", "loss, dB"),
        widest="unresolved",
        is_change=True,
        worst="furthest",
        left_out=_not_in(_NO_ROOM, "picture"),
    ),
    FigureSpec(
        "mismatch",
        "worst_mismatch_loss_db",
        "Mismatch loss at worst",
        "dB",
        "Mismatch loss at the worst SWR in the band",
        lambda row: row.figures.worst_mismatch_loss_db,
        number=HUNDREDTHS,
        lines=("Loss at", "worst, dB"),
        paper_lines=("Mismatch", "loss, dB"),
        rank=12,
        worst="highest",
        least=0.0,
    ),
    FigureSpec(
        "resonance",
        "resonance_hz",
        "Resonance",
        "MHz",
        "Where the reactance crosses zero, nearest to the best match",
        values.resonance_hz,
        number=MHZ,
        rank=9,
        widest="1296.213",
        worst="furthest",
        least=0.0,
    ),
    FigureSpec(
        "resistance",
        "resonance_resistance_ohm",
        "Resistance at resonance",
        "Ω",
        "Resistance where the reactance crosses zero",
        values.resistance_ohm,
        number=TENTHS,
        lines=("R at reso-", "nance, Ω"),
        rank=10,
        worst="furthest",
        least=0.0,
    ),
    FigureSpec(
        "resonances",
        "resonances",
        "All resonances",
        "",
        "Every resonance in the band and in the segment with the best match",
        values.resonances,
        further=Further(
            ("resonance_{n}_hz", "resonance_{n}_resistance_ohm"),
            values.further_resonances,
        ),
        left_out=_not_in("the one nearest to the best match is shown", *_FOR_PEOPLE),
    ),
    FigureSpec(
        "q",
        "q",
        "Q",
        "",
        "From the slope of the impedance (Yaghjian and Best 2005); at the radio's end of a feed "
        "line it is that of line and antenna together, not the antenna's",
        lambda row: row.figures.q,
        number=TENTHS,
        rank=11,
        worst="furthest",
        least=0.0,
    ),
    FigureSpec(
        "low_edge",
        "swr_low_edge",
        "SWR low edge",
        "",
        "SWR at the lower band edge",
        lambda row: row.figures.swr_low_edge,
        number=SWR,
        lines=("SWR at", "low edge"),
        paper_lines=("SWR at", "{low} MHz"),
        rank=7,
        needs_band=True,
        worst="highest",
        has_limit=True,
        least=1.0,
    ),
    FigureSpec(
        "high_edge",
        "swr_high_edge",
        "SWR high edge",
        "",
        "SWR at the upper band edge",
        lambda row: row.figures.swr_high_edge,
        number=SWR,
        lines=("SWR at", "high edge"),
        paper_lines=("SWR at", "{high} MHz"),
        rank=8,
        needs_band=True,
        worst="highest",
        has_limit=True,
        least=1.0,
    ),
    FigureSpec(
        "usable",
        "usable",
        "SWR below {limit}",
        "MHz",
        "Segments with the SWR below the limit; < and > mark ends where the sweep stops",
        values.usable,
        values.usable_text,
        parts=(
            FigureColumn("usable_low_hz", values.end_of("low"), "Usable from (MHz)", 1e6),
            FigureColumn("usable_high_hz", values.end_of("high"), "Usable to (MHz)", 1e6),
            FigureColumn("usable_low_is_open", values.end_is_open("low"), "Sweep begins inside"),
            FigureColumn("usable_high_is_open", values.end_is_open("high"), "Sweep ends inside"),
        ),
        further=Further(
            (
                "usable_{n}_low_hz",
                "usable_{n}_high_hz",
                "usable_{n}_low_is_open",
                "usable_{n}_high_is_open",
            ),
            values.further_usable,
        ),
        paper_lines=("SWR < {limit}", "MHz"),
        rank=6,
        widest="< 49.913 – > 51.213",
    ),
    FigureSpec(
        "shift_percent",
        "best_match_shift_percent",
        "Shift",
        "%",
        "Shift of the best match in percent of the reference's frequency",
        values.change("best_match_shift_percent"),
        number=CHANGE,
        widest="unresolved",
        is_change=True,
        worst="furthest",
        left_out=_not_in(_NO_ROOM, "picture"),
    ),
    FigureSpec(
        "swr_change",
        "best_match_swr_change",
        "Change of minimum SWR",
        "",
        "Change of the SWR at the best match",
        values.change("best_match_swr_change"),
        number=CHANGE,
        lines=("Change of", "min. SWR"),
        widest="unresolved",
        is_change=True,
        worst="furthest",
        left_out=_not_in(_NO_ROOM, "picture"),
    ),
    FigureSpec(
        "worst_change",
        "worst_swr_change",
        "Change of worst SWR",
        "",
        "Change of the worst SWR in the band",
        values.change("worst_swr_change"),
        number=CHANGE,
        lines=("Change of", "worst SWR"),
        widest="unresolved",
        is_change=True,
        worst="furthest",
        left_out=_not_in(_NO_ROOM, "picture"),
    ),
    FigureSpec(
        "width_change",
        "usable_width_change_hz",
        "Change of usable bandwidth",
        "kHz",
        "Change of the usable bandwidth",
        values.change("usable_width_change_hz"),
        number=KHZ_CHANGE,
        lines=("Change of", "width, kHz"),
        widest="unresolved",
        is_change=True,
        worst="furthest",
        left_out=_not_in(_NO_ROOM, "picture"),
    ),
    FigureSpec(
        "q_ratio",
        "q_ratio",
        "Q ratio",
        "",
        "Q divided by the reference's; below 1 can mean loss as well as bandwidth",
        values.change("q_ratio"),
        number=HUNDREDTHS,
        widest="unresolved",
        is_change=True,
        worst="furthest",
        least=0.0,
        left_out=_not_in(_NO_ROOM, "picture"),
    ),
    FigureSpec(
        "warnings",
        "warnings",
        "Notices",
        "",
        "What was noticed when the file was read, and what the checks found",
        values.warnings,
        left_out={
            **_not_in("in the list and its details", "window", "help"),
            **_not_in("in lines below the table", "text", "markdown", "picture"),
            **_not_in("any number of sentences; they are in JSON", "csv"),
        },
    ),
)
"""All figures, in the order of the table: the most important first."""


def shown(output: Output) -> tuple[FigureSpec, ...]:
    """The figures of an output, in their order."""
    return tuple(spec for spec in FIGURES if output not in spec.left_out)


def left_out(output: Output) -> dict[str, str]:
    """The figures that an output does not show, by id, each with its reason."""
    return {spec.id: spec.left_out[output] for spec in FIGURES if output in spec.left_out}


def cells(
    specs: Sequence[FigureSpec], row: Row, before: Row | None = None, texts: Sequence[str] = ()
) -> tuple[str, ...]:
    """The texts of one row.

    Parameters
    ----------
    specs : sequence of FigureSpec
    row : Row
    before : Row, optional
        An earlier row of the same sweep; a number that has not changed is not written again.
    texts : sequence of str
        The texts of that row.
    """
    if row.intervals or row.half_widths:
        return tuple([spec.cell(row) for spec in specs])
    # Fast paths: the table is written again at every step of a drag.
    if before is not None and _is_written_alike(row, before):
        return tuple(
            [
                text
                if spec.text is None and spec.value(row) == spec.value(before)
                else _short_cell(spec, row)
                for spec, text in zip(specs, texts, strict=True)
            ]
        )
    return tuple([_short_cell(spec, row) for spec in specs])


def _short_cell(spec: FigureSpec, row: Row) -> str:
    """The cell of a row without intervals."""
    return spec.cell(row) if spec.is_change and row.change is None else spec.plain(row)


def _is_written_alike(row: Row, before: Row) -> bool:
    """Whether equal values have equal texts in both rows, neither of which has intervals."""
    return (
        row.analysis is before.analysis
        and not before.intervals
        and not before.half_widths
        and row.figures.at_least == before.figures.at_least
        and row.is_reference == before.is_reference
    )
