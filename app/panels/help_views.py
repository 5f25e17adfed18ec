"""The quantities that can be plotted over frequency, for the help pages."""

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
        "<p>View, Plot over frequency. A sweep without phase has only SWR and return loss, their "
        "changes and the aligned SWR.</p>"
        "<p>A change is the value of a sweep minus that of the reference at that frequency. Where "
        "the reference was not measured there is no line. Sweeps of different ends of a feed line "
        "are compared at the reference's end, if the line is known.</p>"
        "<p>With the best matches aligned, 100 % is each sweep's own best match in the band. The "
        "band's edges are then at other percentages for each sweep and are not shown.</p>"
        f"<table cellpadding='3'>{rows}</table>"
    )


def _limit(has_limit: bool) -> str:
    return "; shows the SWR limit" if has_limit else ""
