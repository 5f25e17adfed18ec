"""What can be plotted over frequency, for the help pages."""

from __future__ import annotations

from html import escape

from fairlead.core.views.registry import VIEWS


def views_section() -> str:
    """Title, unit and meaning of every quantity, and what a limit line means there, as HTML."""
    rows = "".join(
        f"<tr><td><b>{escape(view.title)}</b></td><td>{escape(view.unit)}</td>"
        f"<td>{escape(view.hint)}{_limit(view.limit is not None)}.</td></tr>"
        for view in VIEWS
    )
    return (
        "<h2>What can be plotted over frequency</h2>"
        "<p>View, Plot over frequency. A sweep without phase has SWR and return loss only.</p>"
        f"<table cellpadding='3'>{rows}</table>"
    )


def _limit(has_limit: bool) -> str:
    return "; shows the SWR limit" if has_limit else ""
