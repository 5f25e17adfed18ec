"""Writes the report: one page as PDF, or Markdown with its picture beside it."""

from __future__ import annotations

from pathlib import PurePath
from typing import TYPE_CHECKING

from fairlead.app.printing.export import png_bytes
from fairlead.app.printing.fonts import FontMeasure, chosen_families
from fairlead.app.printing.layout import lay_out
from fairlead.app.printing.page import lay_out_page, told_of
from fairlead.app.printing.pdf import pdf_of
from fairlead.app.printing.report_names import is_page, picture_name
from fairlead.core.atomic_file import write_atomic
from fairlead.core.comparison.knowledge import NOTHING_KNOWN
from fairlead.core.report_page.markdown import report_as_markdown

if TYPE_CHECKING:
    from collections.abc import Mapping

    from fairlead.app.printing.page import Told
    from fairlead.core.analysis.analyses import Analyses
    from fairlead.core.comparison.changes import ChangeSummary
    from fairlead.core.comparison.knowledge import Knowledge
    from fairlead.core.document.bench import Bench
    from fairlead.core.report_page.paper import Paper


def write_report(
    bench: Bench,
    path: str,
    paper: Paper = "a4",
    analyses: Analyses | None = None,
    originals: frozenset[str] = frozenset(),
    known: Knowledge = NOTHING_KNOWN,
    changes: Mapping[int, ChangeSummary] | None = None,
    *,
    shows_uncertainty: bool = True,
) -> tuple[str, ...]:
    """Write the report of a bench; the extension says whether as a page or as Markdown.

    What ``analyses``, ``known`` and ``changes`` tell of the sweeps is not worked out again.
    ``originals``, and the files that the sweeps were read from, are never replaced.

    Returns
    -------
    tuple of str
        The files written: Markdown has a picture beside it.

    Raises
    ------
    FairleadError
        If the extension is unknown, there is nothing to report on, or a file cannot be written.
    """
    as_page = is_page(path)
    told = told_of(bench, analyses, known, changes)
    never_over = bench.source_files | originals
    if as_page:
        families = chosen_families()
        page = lay_out_page(told, paper, FontMeasure(families), shows_uncertainty=shows_uncertainty)
        write_atomic(path, [pdf_of(page, families)], never_over=never_over)
        return (path,)
    return _write_markdown(told, path, never_over, shows_uncertainty=shows_uncertainty)


def _write_markdown(
    told: Told, path: str, never_over: frozenset[str], *, shows_uncertainty: bool
) -> tuple[str, ...]:
    """The picture first: text that points at no picture would be half a report."""
    bench, families = told.bench, chosen_families()
    picture = lay_out(
        bench,
        bench.picture,
        FontMeasure(families),
        told.analyses,
        told.known,
        told.changes,
        shows_uncertainty=shows_uncertainty,
    )
    beside = picture_name(path)
    text = report_as_markdown(
        bench,
        told.rows,
        told.changes,
        PurePath(beside).name,
        picture.description,
        picture.remarks,
    )
    write_atomic(beside, [png_bytes(picture, bench.picture, families)], never_over=never_over)
    data = text.encode("utf-8", "backslashreplace")
    write_atomic(path, [data], never_over={*never_over, beside})
    return path, beside
