"""Groups made of the selected sweeps, and dissolved."""

from __future__ import annotations

from typing import TYPE_CHECKING

from fairlead.core.document.groups import group_chosen, group_of
from fairlead.core.errors import FairleadError

if TYPE_CHECKING:
    from fairlead.app.document.document import Document
    from fairlead.app.document.edits import Edits
    from fairlead.app.document.view_state import ViewState
    from fairlead.app.panels.message_bar import MessageBar
    from fairlead.app.panels.sweep_list import SweepList
    from fairlead.core.document.session import Group, GroupKind


class GroupHandler:
    """Acts on the selection."""

    def __init__(
        self,
        document: Document,
        edits: Edits,
        view_state: ViewState,
        sweep_list: SweepList,
        messages: MessageBar,
    ) -> None:
        self._document = document
        self._edits = edits
        self._view_state = view_state
        self._list = sweep_list
        self._messages = messages

    def make(self, kind: GroupKind) -> None:
        """Put the selected sweeps into a group and open the line for its name."""
        keys = self._view_state.selection
        try:
            self._edits.group(keys, kind)
        except FairleadError as error:
            self._messages.say("error", [str(error)])
            return
        made = group_chosen(self._document.bench, keys)
        if made is not None:
            self._list.edit_field(made.key, "label")

    def dissolve(self) -> None:
        """Dissolve the groups of the selected sweeps."""
        self._edits.ungroup([group.key for group in self._groups])

    def turn_fold(self) -> None:
        """Fold or unfold the groups of the selected sweeps."""
        # An open line for a name would stay where its row was.
        self._list.setFocus()
        for group in self._groups:
            self._view_state.turn_fold(group.key)

    def hold_against_mean(self) -> None:
        """Hold the members of the selected sweep's group against their mean."""
        for group in self._groups[:1]:
            self._edits.set_group_reference(group.key, None)

    def hold_against_selected(self) -> None:
        """Hold the others of its group against the selected sweep."""
        for key in self._view_state.selection:
            group = group_of(self._document.bench, key)
            if group is not None:
                self._edits.set_group_reference(group.key, key)

    @property
    def _groups(self) -> list[Group]:
        keys = self._view_state.selection
        return [one for one in self._document.bench.groups if not keys.isdisjoint(one.members)]
