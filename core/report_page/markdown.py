"""The report as Markdown, with a picture beside it: everything, since paper is not short here."""

from __future__ import annotations

from typing import TYPE_CHECKING
from urllib.parse import quote

from fairlead.core.report import as_markdown, escaped
from fairlead.core.report_page.words import page_sections, page_title

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from fairlead.core.comparison.changes import ChangeSummary
    from fairlead.core.comparison.rows import Row
    from fairlead.core.document.bench import Bench


def report_as_markdown(
    bench: Bench,
    rows: Sequence[Row],
    changes: Mapping[int, ChangeSummary],
    picture: str,
    description: str,
    remarks: Sequence[str] = (),
) -> str:
    """Title, picture, table and sections.

    Parameters
    ----------
    bench, rows, changes, remarks
        As `fairlead.core.report_page.words.page_sections` takes them.
    picture : str
        Name of the picture's file, which lies in the same folder.
    description : str
        The picture in words.
    """
    parts = [f"# {escaped(page_title(bench, rows))}"]
    if bench.picture.caption:
        parts.append(escaped(" ".join(bench.picture.caption.split())))
    parts.append(f"![{escaped(description)}]({quote(picture)})")
    parts.append(as_markdown(bench, rows).strip())
    for section in page_sections(bench, rows, changes, remarks):
        lines = "\n".join(f"- {escaped(line)}" for line in section.lines)
        parts.append(f"## {section.heading}\n\n{lines}")
    return "\n\n".join(parts) + "\n"
