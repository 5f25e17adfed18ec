"""Markers, a submenu of the Band menu."""

from __future__ import annotations

from fairlead.app.shell.actions.spec import ActionSpec

_MENU = "&Band/&Markers"

MARKERS: tuple[ActionSpec, ...] = (
    ActionSpec(
        "marker-add",
        _MENU,
        "&Add marker here",
        "Pin the frequency under the cursor and read all sweeps off there",
        lambda do: do.markers.add(),
        keys=("Ctrl+M",),
        need="sweeps",
    ),
    ActionSpec(
        "marker-remove",
        _MENU,
        "&Remove nearest marker",
        "Remove the marker nearest to the cursor",
        lambda do: do.markers.remove_nearest(),
        keys=("Ctrl+Shift+M",),
        need="markers",
    ),
    ActionSpec(
        "markers-edit",
        _MENU,
        "&Type markers ...",
        "Type frequencies and names of all markers",
        lambda do: do.markers.edit(),
        keys=("Ctrl+Alt+M",),
        icon="markers",
    ),
    ActionSpec(
        "markers-clear",
        _MENU,
        "Remove a&ll markers",
        "Remove every marker; the sweeps stay",
        lambda do: do.markers.remove_all(),
        need="markers",
    ),
)
