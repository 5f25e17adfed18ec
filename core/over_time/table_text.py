"""Trends as text and Markdown: what one figure does, the table of all, and the notes below it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from fairlead.core.over_time.words import notes, trend_sentences, trend_table
from fairlead.core.report import aligned, escaped, markdown_table
from fairlead.core.table_lines import heading_line

if TYPE_CHECKING:
    from fairlead.core.document.bench import Bench
    from fairlead.core.figure_table import FigureSpec
    from fairlead.core.over_time.trends import OverTime


def trends_as_text(
    bench: Bench, spec: FigureSpec, found: OverTime, *, as_markdown: bool = False
) -> str:
    """The whole of it; ``spec`` is the figure that is put into a sentence."""
    said = trend_sentences(bench, spec, found)
    # Where there is no trend at all, the first note says it again.
    below = notes(found)[1:] if found.why_not else notes(found)
    has_trend = any(trend.slope is not None for trend in found.trends.values())
    table = trend_table(bench, found) if has_trend else []
    if not as_markdown:
        lines = [heading_line(bench), *said, *([""] if table else [])]
        return "\n".join([*lines, *(aligned(table) if table else []), *below]) + "\n"
    said, below = list(map(escaped, said)), list(map(escaped, below))
    head = "\n\n".join([heading_line(bench), *said])
    tail = markdown_table(table, below) if table else "\n\n".join(below) + "\n"
    return f"{head}\n\n{tail}"
