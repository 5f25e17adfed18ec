"""The page that explains why a sweep is marked, as simple HTML; variable text is escaped."""

from __future__ import annotations

from html import escape
from typing import TYPE_CHECKING

from fairlead.core.soundness.checks import ABOUTS, about

if TYPE_CHECKING:
    from collections.abc import Sequence

    from fairlead.core.soundness.finding import Finding


def concerns_page(label: str, findings: Sequence[Finding]) -> str:
    """What was found in a sweep, why it matters, when it is reported, the source, what to do."""
    lines = [f"<h2>{escape(label)}</h2>"]
    if not findings:
        lines.append("<p>Nothing is marked. These checks found nothing to report:</p><ul>")
        lines += [f"<li>{escape(one.title)}: {escape(one.threshold)}.</li>" for one in ABOUTS]
        return "".join([*lines, "</ul>"])
    for finding in findings:
        known = about(finding.code)
        title = "Noticed when it was read" if known is None else known.title
        lines.append(f"<h3>{escape(title)}</h3><p>{escape(finding.text)}.</p>")
        rows = [("Why it matters", finding.reason), ("What to do", finding.advice)]
        if known is not None:
            rows += [
                ("When this is reported", f"{known.threshold}."),
                ("Source", f"{known.source}."),
            ]
        kind = "suspect" if finding.severity == "suspect" else "worth knowing"
        rows.append(("Weight", f"{kind} ({finding.code})"))
        lines.append("<table cellpadding='3'>")
        lines += [
            f"<tr><td><b>{escape(name)}</b></td><td>{escape(text)}</td></tr>"
            for name, text in rows
            if text
        ]
        lines.append("</table>")
    return "".join(lines)
