"""What a figure of the table is: its names, its columns and the text of its cell."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Literal

from fairlead.core.comparison.rows import COMPARED
from fairlead.core.uncertainty.interval import Interval
from fairlead.core.units import DASH

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping, Sequence

    from fairlead.core.comparison.groups import Worst
    from fairlead.core.comparison.rows import Row
    from fairlead.core.document.bench import Bench
    from fairlead.core.figure_table.number import Number

Output = Literal["window", "text", "csv", "markdown", "json", "picture", "help"]
OUTPUTS: tuple[Output, ...] = ("window", "text", "csv", "markdown", "json", "picture", "help")

UNRESOLVED = "unresolved"
"""Shown for a change smaller than the combined uncertainty of the two figures."""
REFERENCE = "reference"

_GOES_FIRST = 100


@dataclass(frozen=True, slots=True)
class FigureColumn:
    """One column of a table with one number or word per column.

    Attributes
    ----------
    header : str
        Its name in CSV files, with the unit of the value.
    value : callable
        Number, word or truth value of a row; None where it does not exist.
    title : str
        Its displayed name with its unit, where the figure has several parts.
    scale : float
        The value divided by this is in that unit.
    """

    header: str
    value: Callable[[Row], object]
    title: str = ""
    scale: float = 1.0


@dataclass(frozen=True, slots=True)
class Further:
    """Columns of figures of which a sweep can have any number.

    Attributes
    ----------
    headers : tuple of str
        Names in CSV files with a placeholder for the number: "resonance_{n}_hz", from 2 on.
    values : callable
        The further ones of a row, after the main one, each with as many values as headers.
    """

    headers: tuple[str, ...]
    values: Callable[[Row], Sequence[tuple[object, ...]]]


@dataclass(frozen=True, slots=True)
class FigureSpec:
    """One figure: its name, its meaning and how each output gets it.

    Attributes
    ----------
    id : str
        Stable name within the program.
    key : str
        Its key in JSON, in ``Figures.why_not`` and in ``Row.intervals``; its header in CSV.
    heading : str
        In one line; can contain ``{limit}``.
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
    parts : tuple of FigureColumn
        Columns of CSV; empty: one, named by ``key``.
    further : Further or None
    lines : tuple of str
        The heading in two lines where columns are narrow; empty: heading and unit.
    paper_lines : tuple of str
        The same on paper, where they can contain ``{low}``, ``{high}`` (edges in MHz) and
        ``{place}``.
    rank : int
        On paper the figure with the highest rank is dropped first if there is no room.
    widest : str
        The widest usual text.
    is_change : bool
        It compares with the reference.
    needs_band : bool
        It means nothing unless the user chose a band.
    is_words : bool
        Text, not a number.
    worst : {"highest", "lowest", "furthest"} or None
        Which member of a group is the worst in it; None for what has no spread over a group.
    least : float or None
        The least possible value: 1 for an SWR.
    has_limit : bool
        It is an SWR, to which the limit applies.
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
    parts: tuple[FigureColumn, ...] = ()
    further: Further | None = None
    lines: tuple[str, str] | None = None
    paper_lines: tuple[str, str] | None = None
    rank: int = _GOES_FIRST
    widest: str = "−00.00"
    is_change: bool = False
    needs_band: bool = False
    is_words: bool = False
    worst: Worst | None = None
    least: float | None = None
    has_limit: bool = False
    left_out: Mapping[Output, str] = field(default_factory=dict)

    def title(self, bench: Bench) -> str:
        """Heading with the bench's limit, and the unit."""
        text = self.heading.format(limit=f"{bench.limit_swr:.4g}")
        return f"{text} ({self.unit})" if self.unit else text

    def two_lines(self, bench: Bench) -> tuple[str, str]:
        """Heading and unit in two lines, with the bench's limit."""
        first, second = self.lines or (self.heading, self.unit)
        return first.format(limit=f"{bench.limit_swr:.4g}"), second

    def is_over(self, row: Row, limit_swr: float) -> bool:
        """Whether the SWR of a row is over the limit; a lower bound may be so already."""
        value = self.value(row) if self.has_limit else None
        return isinstance(value, float) and value > limit_swr

    def columns(self) -> tuple[FigureColumn, ...]:
        """One column for each number: where a table is read by programs."""
        scale = 1.0 if self.number is None else self.number.scale
        return self.parts or (FigureColumn(self.key, self.value, "", scale),)

    def interval(self, row: Row) -> Interval | None:
        """The bound of the figure's error, else its repeatability."""
        if self.is_change:
            value, half = self.value(row), row.half_widths.get(self.key)
            if half is None or not isinstance(value, float):
                return None
            return Interval(value - half, value + half)
        known = row.intervals.get(self.key)
        return None if known is None else known.widest

    def cell(self, row: Row) -> str:
        """The text of a row: a dash, "unresolved", words, or a number to its last known digit.

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
        """The text of a row with all digits that its points support, whatever its uncertainty."""
        if self.text is not None:
            return self.text(row)
        value = self.value(row)
        if self.number is None or not isinstance(value, (int, float)):
            return DASH if value is None else str(value)
        text = self.number.text(row, value)
        # Where noise dominates, or the meter's scale ended, the figure is a lower bound.
        return f"> {_short(text)}" if self.key in row.figures.at_least else text

    def tip(self, row: Row) -> str:
        """More about one cell: a reason, an interval, or the hint."""
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
        """The uncertainty of the figure in words."""
        known, number = row.intervals.get(self.key), self.number
        if known is None or number is None:
            return []
        allowing = "Allowing for the analyzer's own error, it is between {}"
        if row.analysis.traced is not None:
            allowing = "Traced from a picture, it is between {} (95 %)"
        said = (
            ("A repeat measurement would lie between {} (95 %)", known.repeatability),
            (allowing, known.accuracy),
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


def _short(number: str) -> str:
    """A number without zeros at its end: a bound is no measured value, "> 10" as on the meter."""
    return number.rstrip("0").rstrip(".") if "." in number else number
