"""The one table of commands: where each stands, what it is called, its keys, and what it calls."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

from core.band_tables import NATIONAL_RULES, REGION_TEXT, REGIONS, allocations

if TYPE_CHECKING:
    from collections.abc import Callable

    from app.handlers import Handlers
    from core.band_tables import Allocation

Need = Literal["", "unsaved", "sweeps", "selection", "one", "typed", "undo", "redo"]


@dataclass(frozen=True, slots=True)
class ActionSpec:
    """One command.

    Attributes
    ----------
    id : str
    menu : str
        Menu, or menu and submenu with a slash between.
    text : str
        In the menu; ``&`` before the letter to press.
    tip : str
        One sentence.
    call : callable
        Takes the `Handlers`.
    keys : tuple of str
        In Qt's portable spelling. Standard keys are empty on some systems, so they stand here.
    icon : str
        Name of one of our icons, or empty.
    need : str
        What must be there for the command to make sense: unsaved changes, sweeps on the bench, a
        selection, one selected sweep, something to undo or redo; empty for nothing.
    group : str
        Commands of a group exclude each other and show which one holds.
    is_checkable : bool
    starts_section : bool
        A line stands above it in the menu.
    """

    id: str
    menu: str
    text: str
    tip: str
    call: Callable[[Handlers], None]
    keys: tuple[str, ...] = ()
    icon: str = ""
    need: Need = ""
    group: str = ""
    is_checkable: bool = False
    starts_section: bool = False


_FILE = (
    ActionSpec(
        "new",
        "&File",
        "&New bench",
        "Begin with an empty bench",
        lambda do: do.bench.new(),
        keys=("Ctrl+N",),
        icon="new-bench",
    ),
    ActionSpec(
        "open",
        "&File",
        "&Open ...",
        "Add sweeps from one or more files, or open a saved bench",
        lambda do: do.files.open_files(),
        keys=("Ctrl+O",),
        icon="open",
    ),
    ActionSpec(
        "open-folder",
        "&File",
        "Open &folder ...",
        "Read every sweep in a folder and below it",
        lambda do: do.files.open_folder(),
        keys=("Ctrl+Shift+O",),
        icon="open-folder",
    ),
    ActionSpec(
        "clear-recent",
        "&File/Open &recent",
        "&Clear list",
        "Forget which benches were opened before; the files stay",
        lambda do: do.bench.clear_recent(),
        starts_section=True,
    ),
    ActionSpec(
        "open-samples",
        "&File",
        "Open club sa&mples",
        "Read the sample sweeps; all of them are invented",
        lambda do: do.files.open_samples(),
        icon="samples",
    ),
    ActionSpec(
        "type-readings",
        "&File",
        "T&ype readings ...",
        "Type or paste frequency and SWR, or forward and reflected power, from a meter",
        lambda do: do.typed.type_new(),
        keys=("Ctrl+T",),
        icon="type-readings",
    ),
    ActionSpec(
        "watch-folder",
        "&File",
        "Watc&h a folder ...",
        "Show every sweep that is saved in a folder from now on, as soon as it is complete",
        lambda do: do.watch.choose(),
        keys=("Ctrl+Shift+W",),
        icon="watch-folder",
        starts_section=True,
    ),
    ActionSpec(
        "save",
        "&File",
        "&Save",
        "Save the bench with everything on it: sweeps, names, band, picture",
        lambda do: do.bench.save(),
        keys=("Ctrl+S",),
        icon="save",
        need="unsaved",
        starts_section=True,
    ),
    ActionSpec(
        "save-as",
        "&File",
        "Save &as ...",
        "Save the bench under another name, and go on with that file",
        lambda do: do.bench.save_as(),
        keys=("Ctrl+Shift+S",),
    ),
    ActionSpec(
        "export-picture",
        "&File",
        "&Export picture ...",
        "Set size and words of the picture for print, and save it",
        lambda do: do.pictures.show_panel(),
        keys=("Ctrl+E",),
        icon="export-picture",
        need="sweeps",
        starts_section=True,
    ),
    ActionSpec(
        "copy-picture",
        "&File",
        "Copy &picture",
        "Put the picture on the clipboard, with the size and words it would be saved with",
        lambda do: do.pictures.copy(),
        keys=("Ctrl+Shift+E",),
        icon="copy-picture",
        need="sweeps",
    ),
    ActionSpec(
        "export-touchstone-1",
        "&File/Export s&weeps",
        "As Touchstone &1.1 ...",
        "Write the selected sweeps, or all that are shown, each to a Touchstone 1.1 file",
        lambda do: do.exports.export_sweeps("Touchstone 1.1"),
        need="sweeps",
    ),
    ActionSpec(
        "export-touchstone-2",
        "&File/Export s&weeps",
        "As Touchstone &2.0 ...",
        "Write the selected sweeps, or all that are shown, each to a Touchstone 2.0 file",
        lambda do: do.exports.export_sweeps("Touchstone 2.0"),
        need="sweeps",
    ),
    ActionSpec(
        "export-csv",
        "&File/Export s&weeps",
        "As &CSV ...",
        "Write the selected sweeps, or all that are shown, each to a table of its points",
        lambda do: do.exports.export_sweeps("CSV"),
        need="sweeps",
    ),
    ActionSpec(
        "export-table-csv",
        "&File/Export &table",
        "As &CSV ...",
        "Write the figures of the selected sweeps, or of all, with numbers in full",
        lambda do: do.exports.export_table("CSV"),
        need="sweeps",
    ),
    ActionSpec(
        "export-table-markdown",
        "&File/Export &table",
        "As &Markdown ...",
        "Write the figures of the selected sweeps, or of all, as a Markdown table",
        lambda do: do.exports.export_table("Markdown"),
        need="sweeps",
    ),
    ActionSpec(
        "forget-columns",
        "&File",
        "Forget chosen &columns",
        "Ask anew which column is what, also for tables like those you chose columns for",
        lambda do: do.imports.forget(),
    ),
    ActionSpec(
        "quit",
        "&File",
        "&Quit",
        "Close Fairlead",
        lambda do: do.files.quit(),
        keys=("Ctrl+Q",),
        icon="quit",
        starts_section=True,
    ),
)

_EDIT = (
    ActionSpec(
        "undo",
        "&Edit",
        "&Undo",
        "Take the last change back",
        lambda do: do.sweeps.undo(),
        keys=("Ctrl+Z",),
        icon="undo",
        need="undo",
    ),
    ActionSpec(
        "redo",
        "&Edit",
        "&Redo",
        "Make the change again that was taken back",
        lambda do: do.sweeps.redo(),
        keys=("Ctrl+Shift+Z", "Ctrl+Y"),
        icon="redo",
        need="redo",
    ),
    ActionSpec(
        "rename",
        "&Edit",
        "Re&name",
        "Give the selected sweep another name",
        lambda do: do.sweeps.rename(),
        keys=("F2",),
        icon="rename",
        need="one",
        starts_section=True,
    ),
    ActionSpec(
        "condition",
        "&Edit",
        "Edit &condition",
        "Say what was different when the sweep was taken: dry, wet, iced ...",
        lambda do: do.sweeps.edit_condition(),
        keys=("Shift+F2",),
        need="one",
    ),
    ActionSpec(
        "edit-readings",
        "&Edit",
        "Edit readin&gs ...",
        "Type the readings of the selected sweep anew, if it was typed",
        lambda do: do.typed.edit(),
        keys=("Ctrl+F2",),
        icon="type-readings",
        need="typed",
    ),
    ActionSpec(
        "reference",
        "&Edit",
        "Choose as re&ference",
        "Compare the other sweeps with the selected one",
        lambda do: do.sweeps.choose_reference(),
        keys=("Ctrl+R",),
        icon="reference",
        need="one",
    ),
    ActionSpec(
        "toggle",
        "&Edit",
        "Show or &hide",
        "Draw the selected sweeps, or leave them out of the plots; their figures stay",
        lambda do: do.sweeps.toggle_visible(),
        keys=("Ctrl+H",),
        icon="visible",
        need="selection",
    ),
    ActionSpec(
        "move-up",
        "&Edit",
        "Move u&p",
        "Move the selected sweeps up in the list",
        lambda do: do.sweeps.move_up(),
        keys=("Alt+Up",),
        icon="move-up",
        need="selection",
        starts_section=True,
    ),
    ActionSpec(
        "move-down",
        "&Edit",
        "Move &down",
        "Move the selected sweeps down in the list",
        lambda do: do.sweeps.move_down(),
        keys=("Alt+Down",),
        icon="move-down",
        need="selection",
    ),
    ActionSpec(
        "sort-name",
        "&Edit/&Sort list",
        "By &name",
        "Put the list in order by name",
        lambda do: do.sweeps.sort("name"),
        need="sweeps",
    ),
    ActionSpec(
        "sort-condition",
        "&Edit/&Sort list",
        "By &condition",
        "Put the list in order by condition; sweeps without one come last",
        lambda do: do.sweeps.sort("condition"),
        need="sweeps",
    ),
    ActionSpec(
        "sort-date",
        "&Edit/&Sort list",
        "By &date",
        "Put the list in order by date; sweeps without one come last",
        lambda do: do.sweeps.sort("date"),
        need="sweeps",
    ),
    ActionSpec(
        "remove",
        "&Edit",
        "Re&move",
        "Take the selected sweeps off the bench; their files stay",
        lambda do: do.sweeps.remove(),
        keys=("Del",),
        icon="remove",
        need="selection",
    ),
    ActionSpec(
        "select-all",
        "&Edit",
        "Select &all",
        "Select all sweeps",
        lambda do: do.sweeps.select_all(),
        keys=("Ctrl+A",),
        need="sweeps",
        starts_section=True,
    ),
    ActionSpec(
        "copy-table",
        "&Edit",
        "Copy &table",
        "Copy the figures of the selected sweeps, or of all, with tabs for a spreadsheet",
        lambda do: do.sweeps.copy_table(),
        keys=("Ctrl+C",),
        icon="copy-table",
        need="sweeps",
    ),
    ActionSpec(
        "copy-markdown",
        "&Edit",
        "Copy table as Mar&kdown",
        "Copy the figures of the selected sweeps, or of all, as a Markdown table",
        lambda do: do.sweeps.copy_markdown(),
        keys=("Ctrl+Shift+C",),
        need="sweeps",
    ),
)

_VIEW = (
    ActionSpec(
        "zoom-fit",
        "&View",
        "Zoom to &fit",
        "Show all sweeps whole in both plots",
        lambda do: do.view.zoom_to_fit(),
        keys=("Ctrl+0",),
        icon="zoom-fit",
        need="sweeps",
    ),
    ActionSpec(
        "zoom-band",
        "&View",
        "Zoom to &band",
        "Show the band in both plots",
        lambda do: do.view.zoom_to_band(),
        keys=("Ctrl+B",),
        icon="band",
        need="sweeps",
    ),
    ActionSpec(
        "zoom-in",
        "&View",
        "Zoom &in",
        "Enlarge the plot under the mouse",
        lambda do: do.view.zoom_in(),
        keys=("Ctrl++", "Ctrl+="),
        icon="zoom-in",
        need="sweeps",
    ),
    ActionSpec(
        "zoom-out",
        "&View",
        "Zoom &out",
        "Show more in the plot under the mouse",
        lambda do: do.view.zoom_out(),
        keys=("Ctrl+-",),
        icon="zoom-out",
        need="sweeps",
    ),
    ActionSpec(
        "detail",
        "&View",
        "Show &details",
        "Show file, points and notices of the selected sweep below the list",
        lambda do: do.view.toggle_detail(),
        keys=("Ctrl+D",),
        icon="info",
        is_checkable=True,
        starts_section=True,
    ),
    ActionSpec(
        "theme-system",
        "&View",
        "As the &system",
        "Light or dark as the desktop is",
        lambda do: do.view.choose_theme("system"),
        group="theme",
        starts_section=True,
    ),
    ActionSpec(
        "theme-light",
        "&View",
        "&Light",
        "Dark writing on light",
        lambda do: do.view.choose_theme("light"),
        icon="theme-light",
        group="theme",
    ),
    ActionSpec(
        "theme-dark",
        "&View",
        "D&ark",
        "Light writing on dark",
        lambda do: do.view.choose_theme("dark"),
        icon="theme-dark",
        group="theme",
    ),
)

_BAND = (
    ActionSpec(
        "type-edges",
        "&Band",
        "&Type the edges",
        "Type the lower edge, or both edges",
        lambda do: do.band.type_edges(),
        keys=("Ctrl+L",),
        icon="band",
    ),
    ActionSpec(
        "whole-span",
        "&Band",
        "&Whole span",
        "Use the span that all sweeps cover",
        lambda do: do.band.use_whole_span(),
        keys=("Ctrl+Shift+B",),
        need="sweeps",
    ),
    ActionSpec(
        "low-down",
        "&Band",
        "&Lower edge down",
        "Move the lower edge down by about 1/200 of the band; hold the key to go on",
        lambda do: do.band.step_edge("low", -1),
        keys=("Alt+Left",),
        starts_section=True,
    ),
    ActionSpec(
        "low-up",
        "&Band",
        "Lower &edge up",
        "Move the lower edge up by about 1/200 of the band; hold the key to go on",
        lambda do: do.band.step_edge("low", 1),
        keys=("Alt+Right",),
    ),
    ActionSpec(
        "high-down",
        "&Band",
        "&Upper edge down",
        "Move the upper edge down by about 1/200 of the band; hold the key to go on",
        lambda do: do.band.step_edge("high", -1),
        keys=("Alt+Shift+Left",),
    ),
    ActionSpec(
        "high-up",
        "&Band",
        "U&pper edge up",
        "Move the upper edge up by about 1/200 of the band; hold the key to go on",
        lambda do: do.band.step_edge("high", 1),
        keys=("Alt+Shift+Right",),
    ),
    ActionSpec(
        "limit-up",
        "&Band",
        "SWR limit up",
        "Raise the SWR limit by 0.1; hold the key to go on",
        lambda do: do.band.step_limit(1),
        keys=("Alt+Shift+Up",),
        icon="limit",
        starts_section=True,
    ),
    ActionSpec(
        "limit-down",
        "&Band",
        "SWR limit down",
        "Lower the SWR limit by 0.1; hold the key to go on",
        lambda do: do.band.step_limit(-1),
        keys=("Alt+Shift+Down",),
    ),
)

_HELP = (
    ActionSpec(
        "help-keys",
        "&Help",
        "&Keys",
        "Every key, and what the mouse does",
        lambda do: do.help.show_keys(),
        keys=("F1",),
        icon="help",
    ),
    ActionSpec(
        "help-figures",
        "&Help",
        "What the &figures mean",
        "Each column of the table in one sentence",
        lambda do: do.help.show_figures(),
    ),
    ActionSpec(
        "help-cautions",
        "&Help",
        "&Cautions",
        "Power lines, lightning and static, RF exposure, transmitting into a bad match",
        lambda do: do.help.show_cautions(),
        icon="warning",
    ),
    ActionSpec(
        "about",
        "&Help",
        "&About Fairlead",
        "Version, licence and libraries",
        lambda do: do.help.show_about(),
        icon="fairlead",
        starts_section=True,
    ),
)


def _band_spec(row: Allocation) -> ActionSpec:
    edges = f"{row.low_hz / 1e6:g} – {row.high_hz / 1e6:g} MHz"
    note = f"{row.note}. " if row.note else ""
    band = row.band
    return ActionSpec(
        f"band-{row.region}-{row.name}",
        f"&Band/Region &{row.region}",
        f"{row.name}    {edges}",
        f"{REGION_TEXT[row.region]}. {note}{NATIONAL_RULES}",
        lambda do: do.band.choose(band),
    )


_TABLES = tuple(_band_spec(row) for region in REGIONS for row in allocations(region))

SPECS: tuple[ActionSpec, ...] = (*_FILE, *_EDIT, *_VIEW, *_BAND, *_TABLES, *_HELP)
"""All commands, in the order of the menus."""
