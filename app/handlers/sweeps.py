"""Commands on the selected sweeps, and undo and redo."""

from __future__ import annotations

from typing import TYPE_CHECKING, Literal

from PySide6.QtCore import Qt
from PySide6.QtGui import QGuiApplication

from fairlead.app.tables.clipboard import markdown_data, table_data
from fairlead.core.document.colouring import sharing_a_colour
from fairlead.core.document.entry import COLOUR_KINDS
from fairlead.core.document.groups import group_chosen
from fairlead.core.document.showing import alone_keys, shown_keys
from fairlead.core.errors import FairleadError
from fairlead.core.transform.registry import KINDS

if TYPE_CHECKING:
    from collections.abc import Callable, Collection, Iterable, Sequence

    from PySide6.QtCore import QMimeData

    from fairlead.app.document.document import Document
    from fairlead.app.document.edits import Edits
    from fairlead.app.document.view_state import ViewState
    from fairlead.app.panels.history_window import HistoryWindow
    from fairlead.app.panels.list_filter import ListFilter
    from fairlead.app.panels.message_bar import MessageBar
    from fairlead.app.panels.sweep_detail import SweepDetail
    from fairlead.app.panels.sweep_list import SweepList
    from fairlead.core.comparison.rows import Row
    from fairlead.core.document.bench import Bench
    from fairlead.core.document.colouring import ColourBy
    from fairlead.core.document.entry import Entry
    from fairlead.core.transform.step import Step

SortBy = Literal["name", "condition", "date"]


class SweepHandler:
    """Acts on the selection, in the order of the list."""

    def __init__(
        self,
        document: Document,
        edits: Edits,
        view_state: ViewState,
        sweep_list: SweepList,
        list_filter: ListFilter,
        detail: SweepDetail,
        messages: MessageBar,
    ) -> None:
        self._document = document
        self._edits = edits
        self._view_state = view_state
        self._list = sweep_list
        self._filter = list_filter
        self._detail = detail
        self._messages = messages
        self._history: HistoryWindow | None = None
        # What was shown alone last, and what was shown before.
        self._before_alone: tuple[frozenset[int], frozenset[int]] = (frozenset(), frozenset())
        # Keys on another bench are other sweeps.
        document.opened.connect(self._forget_alone)

    def _forget_alone(self) -> None:
        self._before_alone = (frozenset(), frozenset())

    def undo(self) -> None:
        """Undo one step."""
        self._edits.undo()

    def redo(self) -> None:
        """Redo one step."""
        self._edits.redo()

    def show_history(self) -> None:
        """List every undo step beside the window."""
        if self._history is None:
            from fairlead.app.panels.history_window import HistoryWindow  # noqa: PLC0415 - seldom

            self._history = HistoryWindow(self._document, self._list.window())
            self._history.step_wanted.connect(self._edits.go_to)
        self._history.show()
        self._history.steps.setFocus(Qt.FocusReason.OtherFocusReason)

    @property
    def history(self) -> HistoryWindow | None:
        """The list of undo steps; None before it is first shown."""
        return self._history

    def rename(self) -> None:
        """Open the editor for the name of the selected sweep or group."""
        keys = self._selected
        group = group_chosen(self._document.bench, keys) if len(keys) > 1 else None
        for key in keys[:1]:
            self._list.edit_field(key if group is None else group.key, "label")

    def edit_condition(self) -> None:
        """Edit the condition of the selected sweep in the list."""
        for key in self._selected[:1]:
            self._list.edit_field(key, "condition")

    def choose_reference(self) -> None:
        """Compare the others with the selected sweep."""
        for key in self._selected[:1]:
            self._edits.set_reference(key)

    def toggle_visible(self) -> None:
        """Hide the selected sweeps if the first of them is shown, else show them."""
        keys = self._selected
        if keys:
            is_visible = self._document.bench.entry(keys[0]).is_visible
            self._edits.set_visible(keys, is_visible=not is_visible)

    def show_alone(self, keys: Collection[int] | None = None) -> None:
        """Show the selected sweeps alone; if they are alone, show again what was shown before."""
        bench = self._document.bench
        chosen = self._selected if keys is None else keys
        shown, wanted = shown_keys(bench), alone_keys(bench, chosen)
        alone, before = self._before_alone
        if chosen and shown == wanted:
            everything = alone_keys(bench, [entry.key for entry in bench.entries])
            self._edits.show_only(before if shown == alone else everything, "Show as before")
        elif chosen:
            # From one shown alone to the next: the way back leads to where it began.
            self._before_alone = wanted, before if shown == alone else shown
            self._edits.show_only(wanted, "Show alone")

    def colour(self, by: ColourBy) -> None:
        """Colour all sweeps by condition or group, or each for itself."""
        sharing = sharing_a_colour(self._document.bench, by) if by != "sweep" else 0
        self._edits.colour(by)
        if sharing:
            line = (
                f"Only {COLOUR_KINDS} colours can be told apart by everybody: the last {sharing} "
                f"{by}s share one; dash and marker still differ"
            )
            self._messages.say("note", [line])

    def ask_filter(self) -> None:
        """Type words to filter the list by."""
        self._filter.ask()

    def change_style(self) -> None:
        """Draw the selected sweeps in another colour, dash and marker."""
        self._edits.change_style(self._selected)

    def duplicate(self) -> None:
        """Add a copy of the selected sweeps below them, to try something with."""
        self._edits.copy(self._selected)

    def add_step(self, kind: str) -> None:
        """Add a step of that kind to the selected sweeps; its number is edited in the details."""
        keys = self._selected
        step = KINDS[kind]()
        if keys and self._is_taken(lambda: self._edits.add_step(keys, step)):
            if len(keys) == 1 and self._detail.isVisible():
                self._detail.steps.focus_last(kind)
            else:
                line = f"Added {step.caption}; edit its number in the details of each sweep"
                self._messages.say("note", [line])

    def set_steps(self, key: int, steps: tuple[Step, ...]) -> None:
        """Set the steps of a sweep."""
        if not self._is_taken(lambda: self._edits.set_steps(key, steps)):
            self._detail.steps.show_entry(self._document.bench.entry(key))

    def switch_steps(self) -> None:
        """Show the selected sweeps as they were measured, or with their steps again."""
        keys = [key for key in self._selected if self._document.bench.entry(key).steps]
        if keys:
            self._is_taken(lambda: self._edits.switch_steps(keys))
        else:
            self._messages.say("note", ["The selected sweeps are shown as measured"])

    def _is_taken(self, edit: Callable[[], None]) -> bool:
        try:
            edit()
        except FairleadError as error:
            self._messages.say("error", [str(error)])
            return False
        return True

    def remove(self) -> None:
        """Remove the selected sweeps from the bench and select the next one."""
        keys = self._selected
        order = [entry.key for entry in self._document.bench.entries]
        left = [key for key in order if key not in keys]
        if not keys:
            return
        place = min(order.index(keys[0]), len(left) - 1)
        self._edits.remove(keys)
        self._view_state.set_selection(frozenset(left[place : place + 1] if left else ()))

    def select_all(self) -> None:
        """Select every sweep in the list; those that its filter hides stay out."""
        self._view_state.set_selection(frozenset(self._list.filtered_keys))

    def move_up(self) -> None:
        """Move the selected sweeps up by one row."""
        keys = self._selected
        above = [key for key in self._seen_besides(keys) if self._row(key) < self._row(keys[0])]
        if above:
            self.move(keys, self._row(above[-1]))
        elif keys:
            self.move(keys, self._row(keys[0]))

    def move_down(self) -> None:
        """Move the selected sweeps down by one row."""
        keys = self._selected
        below = [key for key in self._seen_besides(keys) if self._row(key) > self._row(keys[-1])]
        if below:
            self.move(keys, self._row(below[0]) + 1)
        elif keys:
            self.move(keys, self._row(keys[-1]) + 1)

    def _seen_besides(self, keys: Sequence[int]) -> list[int]:
        """The other sweeps in the list: a move past one that its filter hides would not be seen."""
        return [key for key in self._list.filtered_keys if keys and key not in keys]

    def move(self, keys: Iterable[int], before_row: int) -> None:
        """Move sweeps together before a row of the current list; one undo step."""
        moved = [entry.key for entry in self._document.bench.entries if entry.key in set(keys)]
        old = [entry.key for entry in self._document.bench.entries]
        above = [key for key in old[:before_row] if key not in moved]
        below = [key for key in old[before_row:] if key not in moved]
        new = [*above, *moved, *below]
        if new == old:
            return
        stack = self._document.undo_stack
        stack.beginMacro("Move in list")
        try:
            for place, key in enumerate(new):
                if self._row(key) != place:
                    self._edits.move(key, place)
        finally:
            stack.endMacro()

    def sort(self, by: SortBy) -> None:
        """Sort the list by name, condition or date; sweeps without one come last."""
        from fairlead.core.reading.files import natural_key  # noqa: PLC0415 - readers load after the window

        texts: dict[SortBy, Callable[[Entry], str]] = {
            "name": lambda entry: entry.label,
            "condition": lambda entry: entry.condition,
            "date": lambda entry: entry.circumstances.taken_at,
        }
        text = texts[by]
        entries = sorted(
            self._document.bench.entries,
            key=lambda entry: (not text(entry), natural_key(text(entry))),
        )
        self._edits.sort([entry.key for entry in entries], by)

    def copy_table(self) -> None:
        """Copy the selected rows, or all, in formats for spreadsheets, letters and scripts."""
        self._copy(table_data)

    def copy_markdown(self) -> None:
        """Copy the selected rows, or all, as Markdown."""
        self._copy(markdown_data)

    def _copy(self, make: Callable[[Bench, Collection[int], Sequence[Row]], QMimeData]) -> None:
        bench = self._document.bench
        keys = self._selected
        QGuiApplication.clipboard().setMimeData(make(bench, keys, self._document.rows()))
        rows = len(keys) or len(bench.entries)
        of_all = f"{rows} of {len(bench.entries)}" if keys else "all"
        what = "row" if rows == 1 and keys else "rows"
        self._messages.say("note", [f"Copied {of_all} {what} of the table"])

    @property
    def _selected(self) -> list[int]:
        keys = self._view_state.selection
        return [entry.key for entry in self._document.bench.entries if entry.key in keys]

    def _row(self, key: int) -> int:
        return [entry.key for entry in self._document.bench.entries].index(key)
