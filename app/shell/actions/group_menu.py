"""Groups of sweeps, a submenu of the Edit menu."""

from __future__ import annotations

from fairlead.app.shell.actions.spec import ActionSpec

_MENU = "&Edit/Units and r&epeats"

GROUPS: tuple[ActionSpec, ...] = (
    ActionSpec(
        "group-units",
        _MENU,
        "Group as &units",
        "Group the selected sweeps as units of one kind: spread of the figures, envelope and mean",
        lambda do: do.groups.make("units"),
        keys=("Ctrl+Shift+G",),
        need="several",
    ),
    ActionSpec(
        "group-repeats",
        _MENU,
        "Group as &repeats",
        "Group the selected sweeps as the same antenna measured again",
        lambda do: do.groups.make("repeats"),
        need="several",
    ),
    ActionSpec(
        "ungroup",
        _MENU,
        "U&ngroup",
        "Dissolve the group of the selected sweeps; the sweeps stay",
        lambda do: do.groups.dissolve(),
        keys=("Ctrl+Shift+U",),
        need="grouped",
    ),
    ActionSpec(
        "group-fold",
        _MENU,
        "&Fold or unfold",
        "Show or hide the members of the group in list and table",
        lambda do: do.groups.turn_fold(),
        keys=("Ctrl+Shift+D",),
        need="grouped",
        starts_section=True,
    ),
    ActionSpec(
        "group-mean",
        _MENU,
        "Compare with the &mean",
        "Show how far each member is from the mean of the group",
        lambda do: do.groups.hold_against_mean(),
        need="grouped",
        starts_section=True,
    ),
    ActionSpec(
        "group-reference",
        _MENU,
        "Compare with the &selected sweep",
        "Show how far each member is from the selected one",
        lambda do: do.groups.hold_against_selected(),
        need="member",
    ),
)
