"""The pages of the Help menu as simple HTML; variable text is escaped."""

from __future__ import annotations

from html import escape
from importlib import metadata
from typing import TYPE_CHECKING

from fairlead.app.panels.cautions import CAUTIONS, FIRST
from fairlead.app.panels.help_views import views_section
from fairlead.app.panels.newcomer_text import GLOSSARY, QUESTIONS
from fairlead.app.version import version
from fairlead.core.band_tables import NATIONAL_RULES
from fairlead.core.figure_table import shown

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

_LIBRARIES = ("PySide6-Essentials", "pyqtgraph", "numpy", "scikit-rf")


def keys_page(rows: Iterable[tuple[str, str, Sequence[str]]]) -> str:
    """Menu, command and keys of every command that has keys, then what the mouse does."""
    lines = ["<h2>Keys</h2><table cellpadding='3'>"]
    menu = ""
    for row_menu, text, keys in rows:
        if row_menu != menu:
            menu = row_menu
            lines.append(f"<tr><td colspan='2'><b>{escape(menu)}</b></td></tr>")
        shown = ", ".join(escape(key) for key in keys)
        lines.append(f"<tr><td>{escape(text)}</td><td>{shown}</td></tr>")
    lines.append("</table><h3>With the mouse, and in the list</h3><ul>")
    lines += [
        f"<li>{escape(text)}</li>"
        for text in (
            (
                "Drag a band edge, the band between the edges, or the SWR limit line; Escape "
                "cancels the drag."
            ),
            "Turn the wheel over a plot to zoom; drag its background to move it.",
            (
                "Space shows or hides the selected sweeps; a double click on a sweep's first "
                "line renames it, on its second line edits the condition; drag it to another "
                "place."
            ),
            "In a field, Enter applies what you typed and Escape restores the old value.",
            "Drag the headings of the table to reorder its columns.",
            "Alt and a click on a tick show that sweep alone; the same again shows all as before.",
            "Drag a sweep out of the list to the desktop: it arrives as a file, as measured.",
            (
                "While a picture is traced: 1 to 6 choose what a click does; the arrows move the "
                "cursor, or the mark chosen with N or P, by a fifth of a pixel, with Shift by five "
                "pixels, and with Ctrl the picture; Enter clicks, Delete removes a mark, Ctrl+Z "
                "undoes one step of the tracing, Alt places a mark without snapping to a grid "
                "line, and +, - and 0 zoom."
            ),
        )
    ]
    return "".join([*lines, "</ul>"])


def figures_page(limit: str) -> str:
    """What each figure means."""
    rows = "".join(
        f"<tr><td><b>{escape(spec.heading.format(limit=limit))}</b></td>"
        f"<td>{escape(spec.unit)}</td><td>{escape(spec.hint)}.</td></tr>"
        for spec in shown("help")
    )
    notes = "".join(
        f"<li>{escape(text)}</li>"
        for text in (
            (
                "Best match is where the SWR is lowest; resonance is where the reactance crosses"
                " zero. They are not the same, and usually lie apart."
            ),
            (
                "Both, and the ends of each segment below the limit, are interpolated between the "
                "points; no figure has more digits than the points support."
            ),
            (
                "A dash stands for a figure that does not exist: no impedance in a sweep with "
                "SWR only, no worst SWR where the sweep does not cover the band. Rest "
                "the mouse on it to read the reason."
            ),
            (
                "± shows how far a figure may be off: from noise alone, the range in which 95 % "
                "of repeated sweeps fall, or including the analyzer's own error where that is "
                "known. A number has no more digits than are known; > marks an SWR that can be "
                "arbitrarily higher."
            ),
            (
                "A change is shown as unresolved where it is smaller than the combined "
                "uncertainty of the two figures."
            ),
            (
                "A sweep traced from a picture is marked as such everywhere. Its ± and its pale "
                "band cover 95 % of what the picture leaves open; what was wrong in the picture "
                "stays wrong."
            ),
            "A best match marked (end) lies where the sweep stops; the true one lies outside.",
            (
                "Unless a feed line is removed, everything is what the analyzer saw: a lossy feed "
                "line makes an antenna look better than it is."
            ),
            NATIONAL_RULES,
        )
    )
    table = f"<h2>What the figures mean</h2><table cellpadding='3'>{rows}</table>"
    return f"{table}<ul>{notes}</ul>{views_section()}"


def questions_page() -> str:
    """What newcomers ask, then the words of the trade."""
    questions = "".join(
        f"<p><b>{escape(question)}</b><br>{escape(answer)}</p>" for question, answer in QUESTIONS
    )
    words = "".join(
        f"<tr><td><b>{escape(word)}</b></td><td>{escape(meaning)}</td></tr>"
        for word, meaning in GLOSSARY
    )
    return (
        f"<h2>Questions people ask</h2>{questions}"
        f"<h2>Words</h2><table cellpadding='3'>{words}</table>"
    )


def cautions_page() -> str:
    """Cautions, local codes first."""
    items = "".join(f"<p><b>{escape(title)}.</b> {escape(text)}</p>" for title, text in CAUTIONS)
    return f"<h2>Cautions</h2><p><b>{escape(FIRST)}</b></p>{items}"


def about_page() -> str:
    """Version, licence, libraries."""
    libraries = "".join(
        f"<li>{escape(name)} {escape(found)}</li>"
        for name in _LIBRARIES
        if (found := _version_of(name))
    )
    return (
        f"<h2>Fairlead {escape(version())}</h2>"
        "<p>A workbench for comparing antenna sweeps: overlay, mark, compare, print.</p>"
        "<p>Licence: MIT. It comes without any warranty.</p>"
        f"<p>Built on:</p><ul>{libraries}</ul>"
        "<p>The sample sweeps are invented; nothing in them was measured.</p>"
    )


def _version_of(name: str) -> str:
    try:
        return metadata.version(name)
    except metadata.PackageNotFoundError:
        return ""
