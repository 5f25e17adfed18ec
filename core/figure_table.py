"""The table of figures: one declaration of every figure, for every place that shows it.

Window, text, CSV, Markdown, JSON, printed picture and help page all go through `FIGURES`. Where one
of them leaves a figure out, the reason stands here (``left_out``). A new figure is worked out in
`fairlead.core.figures` and declared here; nothing else has to know it.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Literal

from fairlead.core.comparison.rows import COMPARED
from fairlead.core.soundness.checks import check_sweep
from fairlead.core.soundness.told import told
from fairlead.core.uncertainty.interval import Interval
from fairlead.core.units import (
    DASH,
    format_mhz,
    format_number,
    format_signed,
    format_swr,
    mhz_decimals,
    swr_decimals,
)

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping, Sequence

    from fairlead.core.analysis.analysis import Segment
    from fairlead.core.comparison.rows import Row
    from fairlead.core.document.bench import Bench
    from fairlead.core.figures import Figures

Output = Literal["window", "text", "csv", "markdown", "json", "picture", "help"]
OUTPUTS: tuple[Output, ...] = ("window", "text", "csv", "markdown", "json", "picture", "help")

UNRESOLVED = "unresolved"
"""Shown for a change smaller than the combined uncertainty of the two figures."""
REFERENCE = "reference"

# What rounding of binary fractions makes of 0.01 is still 0.01.
_NEARLY = 1 + 1e-9
# An interval is given by its two ends if one side is this much longer than the other.
_LOPSIDED = 1.5
_GOES_FIRST = 100


@dataclass(frozen=True, slots=True)
class Number:
    """How the number of a figure is written.

    Attributes
    ----------
    write : callable
        Text of a value in the unit of the figure, with so many decimals.
    decimals : callable
        The most decimals that the points of the sweep support, of a row and a value.
    scale : float
        The value divided by this is in the unit of the figure: 1e6 for MHz.
    """

    write: Callable[[float, int], str]
    decimals: Callable[[Row, float], int]
    scale: float = 1.0

    def text(self, row: Row, value: float) -> str:
        """The value without an interval."""
        value /= self.scale
        return self.write(value, self.decimals(row, value))

    def text_within(self, row: Row, value: float, interval: Interval) -> str:
        """The value to the last digit that is known, and how far it may be off.

        Both end at the first digit of the half width, which is one to ten of the last digit: one
        digit less of the value would be off by more than the interval says. Where the points
        support no more digits and the interval is narrower than the last, the digits say it all.
        """
        value, low, high = (one / self.scale for one in (value, interval.low, interval.high))
        most = self.decimals(row, low if math.isinf(value) else value)
        if math.isinf(high):
            return f"> {self._rounded(low, most)}"
        half = (high - low) / 2
        if half <= 0 or math.isinf(half) or math.isinf(value):
            return self.write(value, most)
        decimals = min(most, -math.floor(math.log10(half * _NEARLY)))
        ends = " to ".join(dict.fromkeys(self._rounded(one, decimals) for one in (low, high)))
        if not low <= value <= high:
            return ends
        text = self._rounded(value, decimals)
        unit = 10.0**-decimals
        if decimals == most and half <= unit / 2:
            return text
        up, down = high - value, value - low
        if max(up, down) > max(_LOPSIDED * min(up, down), unit):
            return f"{text} ({ends})"
        # Rounded up: never less than what is not known.
        shown = math.ceil(half / unit / _NEARLY) * unit
        return f"{text} ± {shown:.{max(0, decimals)}f}"

    def _rounded(self, value: float, decimals: int) -> str:
        return self.write(round(value, decimals), max(0, decimals))


@dataclass(frozen=True, slots=True)
class Part:
    """One column of a table that holds one number or word in a column.

    Attributes
    ----------
    header : str
        Its name in CSV files, with the unit of the value.
    value : callable
        Number, word or truth of a row; None where it does not exist.
    title : str
        Its name for people, with its unit, where the figure has several parts.
    scale : float
        The value divided by this is in that unit.
    """

    header: str
    value: Callable[[Row], object]
    title: str = ""
    scale: float = 1.0


@dataclass(frozen=True, slots=True)
class Further:
    """Columns of figures of which a sweep may have any number.

    Attributes
    ----------
    headers : tuple of str
        Names in CSV files with a place for the number: "resonance_{n}_hz", from 2 on.
    values : callable
        The further ones of a row, after the main one, each with as many values as headers.
    """

    headers: tuple[str, ...]
    values: Callable[[Row], Sequence[tuple[object, ...]]]


@dataclass(frozen=True, slots=True)
class FigureSpec:
    """One figure: what it is called, what it means and how each output gets it.

    Attributes
    ----------
    id : str
        Stable name within the program.
    key : str
        Its key in JSON, in ``Figures.why_not`` and in ``Row.intervals``; its header in CSV.
    heading : str
        In one line; may hold ``{limit}``.
    unit : str
        Of the number shown, or empty.
    hint : str
        What it means, one sentence without its full stop.
    value : callable
        Of a row, in Hz, ohm, dB or as JSON has it; None where it does not exist.
    text : callable or None
        Text of a row; None: the value as ``number`` writes it.
    number : Number or None
        How the number is written; None for words.
    parts : tuple of Part
        Columns of CSV; empty: one, named by ``key``.
    further : Further or None
    lines : tuple of str
        The heading in two lines where columns are narrow; empty: heading and unit.
    paper_lines : tuple of str
        The same on paper, where they may hold ``{low}``, ``{high}`` (edges in MHz) and ``{place}``.
    rank : int
        On paper the figure with the highest rank goes first where there is no room.
    widest : str
        The widest text that is usual.
    is_change : bool
        Compares with the reference.
    needs_band : bool
        Means nothing without a band that somebody chose.
    is_words : bool
        Text, not a number.
    left_out : mapping of Output to str
        Where it is not shown, and why.
    """

    id: str
    key: str
    heading: str
    unit: str
    hint: str
    value: Callable[[Row], object]
    text: Callable[[Row], str] | None = None
    number: Number | None = None
    parts: tuple[Part, ...] = ()
    further: Further | None = None
    lines: tuple[str, str] | None = None
    paper_lines: tuple[str, str] | None = None
    rank: int = _GOES_FIRST
    widest: str = "−00.00"
    is_change: bool = False
    needs_band: bool = False
    is_words: bool = False
    left_out: Mapping[Output, str] = field(default_factory=dict)

    def title(self, bench: Bench) -> str:
        """Heading with the bench's limit, and the unit."""
        text = self.heading.format(limit=f"{bench.limit_swr:.4g}")
        return f"{text} ({self.unit})" if self.unit else text

    def two_lines(self, bench: Bench) -> tuple[str, str]:
        """Heading and unit in two lines, with the bench's limit."""
        first, second = self.lines or (self.heading, self.unit)
        return first.format(limit=f"{bench.limit_swr:.4g}"), second

    def columns(self) -> tuple[Part, ...]:
        """One column for each number: where a table is read by programs."""
        scale = 1.0 if self.number is None else self.number.scale
        return self.parts or (Part(self.key, self.value, "", scale),)

    def interval(self, row: Row) -> Interval | None:
        """How far the figure can be trusted: the bound of its error, else its repeatability."""
        if self.is_change:
            value, half = self.value(row), row.half_widths.get(self.key)
            if half is None or not isinstance(value, float):
                return None
            return Interval(value - half, value + half)
        known = row.intervals.get(self.key)
        return None if known is None else known.accuracy or known.repeatability

    def cell(self, row: Row) -> str:
        """What is shown of a row: a dash, "unresolved", words, or a number to its last known digit.

        A change of the reference against itself is empty; its shift reads "reference".
        """
        if self.is_change and row.change is None:
            return REFERENCE if self.id == "shift" else ""
        if self.key in row.unresolved:
            return UNRESOLVED
        if self.number is not None and (row.intervals or row.half_widths):
            value, interval = self.value(row), self.interval(row)
            if isinstance(value, float) and interval is not None:
                return self.number.text_within(row, value, interval)
        return self.plain(row)

    def plain(self, row: Row) -> str:
        """The text of a row with all digits that its points support, whatever is known of it."""
        if self.text is not None:
            return self.text(row)
        value = self.value(row)
        if self.number is None or not isinstance(value, (int, float)):
            return DASH if value is None else str(value)
        text = self.number.text(row, value)
        # Beyond what the noise can tell, the figure is a lower bound.
        return f"> {text}" if self.key in row.figures.at_least else text

    def tip(self, row: Row) -> str:
        """What there is to say of one cell beside its text: a reason, an interval, or the hint."""
        verdict = row.figures.verdict
        if self.id == "verdict" and verdict is not None:
            return verdict.reason
        if self.is_change and row.change is None:
            return self.hint
        if self.key in row.unresolved:
            half = row.half_widths[self.key] / (1.0 if self.number is None else self.number.scale)
            unsure = f"the combined uncertainty of {half:.2g}{self._unit}"
            return f"{self.plain(row)}{self._unit} is less than {unsure}"
        if self.value(row) is None:
            key = COMPARED.get(self.key, self.key)
            if row.change is not None and self.is_change and row.change.why_not:
                return row.change.why_not
            return row.figures.why_not.get(key) or self.hint
        return "; ".join(self._statements(row)) or self.hint

    def _statements(self, row: Row) -> list[str]:
        """What is known of the figure, in words."""
        known, number = row.intervals.get(self.key), self.number
        if known is None or number is None:
            return []
        said = (
            ("If measured again, it lies between {} (95 %)", known.repeatability),
            ("Allowing for the analyzer's own error, it lies between {}", known.accuracy),
        )
        return [
            words.format(
                f"{number.text(row, found.low)} and {number.text(row, found.high)}{self._unit}"
            )
            for words, found in said
            if found is not None
        ]

    @property
    def _unit(self) -> str:
        return f" {self.unit}" if self.unit else ""


def shown(output: Output) -> tuple[FigureSpec, ...]:
    """The figures of an output, in their order."""
    return tuple(spec for spec in FIGURES if output not in spec.left_out)


def left_out(output: Output) -> dict[str, str]:
    """The figures that an output does not show, by id, each with its reason."""
    return {spec.id: spec.left_out[output] for spec in FIGURES if output in spec.left_out}


def cells(specs: Sequence[FigureSpec], row: Row) -> tuple[str, ...]:
    """The texts of one row."""
    if row.intervals or row.half_widths:
        return tuple([spec.cell(row) for spec in specs])
    # The short way: the table is written again at every step of a drag.
    if row.change is None:
        return tuple([spec.cell(row) if spec.is_change else spec.plain(row) for spec in specs])
    return tuple([spec.plain(row) for spec in specs])


def one_line(text: str) -> str:
    """A name taken from a file's may hold any character; a table's row ends with the line."""
    return " ".join(text.split())


def segment_text(figures: Figures, segment: Segment) -> str:
    """A segment below the limit in MHz; an open end is marked: "< 49.0 – 51.2"."""
    decimals = mhz_decimals(figures.step_hz)
    low = ("< " if segment.low_is_open else "") + format_mhz(segment.low_hz, decimals)
    high = ("> " if segment.high_is_open else "") + format_mhz(segment.high_hz, decimals)
    return f"{low} – {high}"


def _step_mhz(row: Row, _value: float) -> int:
    return mhz_decimals(row.figures.step_hz)


def _step_khz(row: Row, _value: float) -> int:
    step_hz = row.figures.step_hz
    return max(0, mhz_decimals(step_hz) - 3) if step_hz > 0 else 0


def _always(decimals: int) -> Callable[[Row, float], int]:
    return lambda _row, _value: decimals


_MHZ = Number(format_number, _step_mhz, 1e6)
_KHZ = Number(format_number, _always(0), 1e3)
_KHZ_CHANGE = Number(format_signed, _step_khz, 1e3)
_SWR = Number(format_swr, lambda _row, value: swr_decimals(value))
_TENTHS = Number(format_number, _always(1))
_HUNDREDTHS = Number(format_number, _always(2))
_CHANGE = Number(format_signed, _always(2))


def _best_match(row: Row) -> str:
    best_hz = row.figures.best_match_hz
    text = DASH if best_hz is None else _MHZ.text(row, best_hz)
    return f"{text} (end)" if row.figures.best_match_at_end else text


def _width(row: Row) -> str:
    segment = row.figures.main_segment
    if segment is not None and segment.width_hz is None:
        return f"> {_KHZ.text(row, segment.high_hz - segment.low_hz)}"
    width_hz = row.figures.usable_width_hz
    return DASH if width_hz is None else _KHZ.text(row, width_hz)


def _usable_text(row: Row) -> str:
    return ", ".join(segment_text(row.figures, part) for part in row.figures.usable) or DASH


def _end_of(low_or_high: Literal["low", "high"]) -> Callable[[Row], float | None]:
    """An end of the segment with the best match; None also where the sweep ends first."""

    def end(row: Row) -> float | None:
        segment = row.figures.main_segment
        if segment is None or getattr(segment, f"{low_or_high}_is_open"):
            return None
        return segment.low_hz if low_or_high == "low" else segment.high_hz

    return end


def _end_is_open(low_or_high: Literal["low", "high"]) -> Callable[[Row], bool | None]:
    def is_open(row: Row) -> bool | None:
        segment = row.figures.main_segment
        if segment is None:
            return None
        return segment.low_is_open if low_or_high == "low" else segment.high_is_open

    return is_open


def _further_usable(row: Row) -> list[tuple[object, ...]]:
    main = row.figures.main_segment
    return [
        (
            None if part.low_is_open else part.low_hz,
            None if part.high_is_open else part.high_hz,
            part.low_is_open,
            part.high_is_open,
        )
        for part in row.figures.usable
        if part is not main
    ]


def _further_resonances(row: Row) -> list[tuple[object, ...]]:
    main = row.figures.main_resonance
    return [
        (found.frequency_hz, found.resistance_ohm)
        for found in row.figures.resonances
        if found is not main
    ]


def _resonance_hz(row: Row) -> float | None:
    found = row.figures.main_resonance
    return None if found is None else found.frequency_hz


def _resistance_ohm(row: Row) -> float | None:
    found = row.figures.main_resonance
    return None if found is None else found.resistance_ohm


def _usable(row: Row) -> list[dict[str, object]]:
    return [
        {
            "low_hz": part.low_hz,
            "high_hz": part.high_hz,
            "low_is_open": part.low_is_open,
            "high_is_open": part.high_is_open,
        }
        for part in row.figures.usable
    ]


def _resonances(row: Row) -> list[dict[str, object]]:
    return [
        {"frequency_hz": found.frequency_hz, "resistance_ohm": found.resistance_ohm}
        for found in row.figures.resonances
    ]


def _verdict(row: Row) -> dict[str, object] | None:
    verdict = row.figures.verdict
    return None if verdict is None else {"covers": verdict.covers, "reason": verdict.reason}


def _verdict_text(row: Row) -> str:
    return DASH if row.figures.verdict is None else row.figures.verdict.covers


def _change(key: str) -> Callable[[Row], float | None]:
    """A change by its name in `Change`, which is also its key in JSON."""

    def value(row: Row) -> float | None:
        found: float | None = None if row.change is None else getattr(row.change, key)
        return found

    return value


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
        lambda row: one_line(row.entry.title),
        # With the steps: in a spreadsheet too nobody takes a what-if for the measured sweep.
        parts=(Part("label", lambda row: row.entry.title, "Sweep"),),
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
        lambda row: one_line(row.entry.condition),
        widest="wet, 5 mm of ice",
        is_words=True,
        left_out=_not_in("printed with the name", "picture"),
    ),
    FigureSpec(
        "file",
        "file",
        "File",
        "",
        "Where it was read from",
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
        "Where the figures hold: at the radio or at the feed point",
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
        number=_MHZ,
        left_out=_not_in(_IN_DETAILS, *_FOR_PEOPLE),
    ),
    FigureSpec(
        "high",
        "high_hz",
        "Last frequency",
        "MHz",
        "Where the sweep ends",
        lambda row: row.figures.high_hz,
        number=_MHZ,
        left_out=_not_in(_IN_DETAILS, *_FOR_PEOPLE),
    ),
    FigureSpec(
        "z0",
        "z0_ohm",
        "Reference impedance",
        "Ω",
        "Reference impedance of the file",
        lambda row: row.entry.sweep.z0_ohm,
        number=_TENTHS,
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
        _verdict,
        _verdict_text,
        parts=(
            Part(
                "covers",
                lambda row: None if row.figures.verdict is None else row.figures.verdict.covers,
                "Covers the band",
            ),
            Part(
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
        "Frequency of the least SWR",
        lambda row: row.figures.best_match_hz,
        _best_match,
        _MHZ,
        rank=0,
        widest="144.213 (end)",
    ),
    FigureSpec(
        "best_swr",
        "best_match_swr",
        "Minimum SWR",
        "",
        "SWR at the best match",
        lambda row: row.figures.best_match_swr,
        number=_SWR,
        lines=("Minimum", "SWR"),
        rank=1,
    ),
    FigureSpec(
        "at_end",
        "best_match_at_end",
        "Best match at the end",
        "",
        "Whether the SWR still falls where the sweep stops, so that the best match lies outside it",
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
        number=_SWR,
        lines=("Worst SWR", "in band"),
        paper_lines=("Worst SWR", "in {place}"),
        rank=4,
    ),
    FigureSpec(
        "worst_hz",
        "worst_hz",
        "Worst SWR at",
        "MHz",
        "Frequency of the largest SWR in the band",
        lambda row: row.figures.worst_hz,
        number=_MHZ,
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
        _width,
        _KHZ,
        lines=("Usable", "width, kHz"),
        rank=5,
    ),
    FigureSpec(
        "shift",
        "best_match_shift_hz",
        "Shift",
        "kHz",
        "Shift of the best match from the reference",
        _change("best_match_shift_hz"),
        number=_KHZ_CHANGE,
        rank=3,
        widest="unresolved",
        is_change=True,
    ),
    FigureSpec(
        "loss_change",
        "worst_mismatch_loss_change_db",
        "Change of loss",
        "dB",
        "Change of the mismatch loss at the worst SWR in the band",
        _change("worst_mismatch_loss_change_db"),
        number=_CHANGE,
        lines=("Change of", "loss, dB"),
        widest="unresolved",
        is_change=True,
        left_out=_not_in(_NO_ROOM, "picture"),
    ),
    FigureSpec(
        "mismatch",
        "worst_mismatch_loss_db",
        "Mismatch loss at worst",
        "dB",
        "Mismatch loss at the worst SWR in the band",
        lambda row: row.figures.worst_mismatch_loss_db,
        number=_HUNDREDTHS,
        lines=("Loss at", "worst, dB"),
        paper_lines=("Mismatch", "loss, dB"),
        rank=12,
    ),
    FigureSpec(
        "resonance",
        "resonance_hz",
        "Resonance",
        "MHz",
        "Where the reactance crosses zero, nearest to the best match",
        _resonance_hz,
        number=_MHZ,
        rank=9,
        widest="1296.213",
    ),
    FigureSpec(
        "resistance",
        "resonance_resistance_ohm",
        "Resistance at resonance",
        "Ω",
        "Resistance where the reactance crosses zero",
        _resistance_ohm,
        number=_TENTHS,
        lines=("R at reso-", "nance, Ω"),
        rank=10,
    ),
    FigureSpec(
        "resonances",
        "resonances",
        "All resonances",
        "",
        "Every resonance in the band and in the segment with the best match",
        _resonances,
        further=Further(
            ("resonance_{n}_hz", "resonance_{n}_resistance_ohm"),
            _further_resonances,
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
        number=_TENTHS,
        rank=11,
    ),
    FigureSpec(
        "low_edge",
        "swr_low_edge",
        "SWR low edge",
        "",
        "SWR at the lower band edge",
        lambda row: row.figures.swr_low_edge,
        number=_SWR,
        lines=("SWR at", "low edge"),
        paper_lines=("SWR at", "{low} MHz"),
        rank=7,
        needs_band=True,
    ),
    FigureSpec(
        "high_edge",
        "swr_high_edge",
        "SWR high edge",
        "",
        "SWR at the upper band edge",
        lambda row: row.figures.swr_high_edge,
        number=_SWR,
        lines=("SWR at", "high edge"),
        paper_lines=("SWR at", "{high} MHz"),
        rank=8,
        needs_band=True,
    ),
    FigureSpec(
        "usable",
        "usable",
        "SWR below {limit}",
        "MHz",
        "Segments with the SWR below the limit; < and > mark ends where the sweep stops",
        _usable,
        _usable_text,
        parts=(
            Part("usable_low_hz", _end_of("low"), "Usable from (MHz)", 1e6),
            Part("usable_high_hz", _end_of("high"), "Usable to (MHz)", 1e6),
            Part("usable_low_is_open", _end_is_open("low"), "Sweep begins inside"),
            Part("usable_high_is_open", _end_is_open("high"), "Sweep ends inside"),
        ),
        further=Further(
            (
                "usable_{n}_low_hz",
                "usable_{n}_high_hz",
                "usable_{n}_low_is_open",
                "usable_{n}_high_is_open",
            ),
            _further_usable,
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
        _change("best_match_shift_percent"),
        number=_CHANGE,
        widest="unresolved",
        is_change=True,
        left_out=_not_in(_NO_ROOM, "picture"),
    ),
    FigureSpec(
        "swr_change",
        "best_match_swr_change",
        "Change of minimum SWR",
        "",
        "Change of the SWR at the best match",
        _change("best_match_swr_change"),
        number=_CHANGE,
        lines=("Change of", "min. SWR"),
        widest="unresolved",
        is_change=True,
        left_out=_not_in(_NO_ROOM, "picture"),
    ),
    FigureSpec(
        "worst_change",
        "worst_swr_change",
        "Change of worst SWR",
        "",
        "Change of the worst SWR in the band",
        _change("worst_swr_change"),
        number=_CHANGE,
        lines=("Change of", "worst SWR"),
        widest="unresolved",
        is_change=True,
        left_out=_not_in(_NO_ROOM, "picture"),
    ),
    FigureSpec(
        "width_change",
        "usable_width_change_hz",
        "Change of usable bandwidth",
        "kHz",
        "Change of the usable bandwidth",
        _change("usable_width_change_hz"),
        number=_KHZ_CHANGE,
        lines=("Change of", "width, kHz"),
        widest="unresolved",
        is_change=True,
        left_out=_not_in(_NO_ROOM, "picture"),
    ),
    FigureSpec(
        "q_ratio",
        "q_ratio",
        "Q ratio",
        "",
        "Q divided by the reference's; below 1 can mean loss as well as bandwidth",
        _change("q_ratio"),
        number=_HUNDREDTHS,
        widest="unresolved",
        is_change=True,
        left_out=_not_in(_NO_ROOM, "picture"),
    ),
    FigureSpec(
        "warnings",
        "warnings",
        "Notices",
        "",
        "What was noticed when the file was read, and what the checks found",
        lambda row: [
            {"code": found.code, "text": found.text}
            for found in told(row.entry.notices, check_sweep(row.analysis, row.figures))
        ],
        left_out={
            **_not_in("in the list and its details", "window", "help"),
            **_not_in("in lines below the table", "text", "markdown", "picture"),
            **_not_in("any number of sentences; JSON has them", "csv"),
        },
    ),
)
"""All of them, in the order of the table: the most important first."""
