"""Groups of sweeps: units of one kind, or repeats; compared with a member or with the mean.

The sweeps of a group must be one population at one reference plane: otherwise their spread would
measure something else, and the number itself would not show it.
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from fairlead.core.document.edits import free_style
from fairlead.core.document.entry import PLANE_WORDS
from fairlead.core.document.session import Group
from fairlead.core.errors import FairleadError

if TYPE_CHECKING:
    from collections.abc import Callable, Collection, Sequence

    from fairlead.core.document.bench import Bench
    from fairlead.core.document.entry import Entry
    from fairlead.core.document.session import GroupKind


def group_of(bench: Bench, key: int) -> Group | None:
    """The group that contains a sweep, or None."""
    return next((group for group in bench.groups if key in group.members), None)


def group_named(bench: Bench, group_key: int) -> Group:
    """The group with that key.

    Raises
    ------
    KeyError
        If there is none.
    """
    for group in bench.groups:
        if group.key == group_key:
            return group
    raise KeyError(group_key)


def group_chosen(bench: Bench, keys: Collection[int]) -> Group | None:
    """The group whose members are exactly these sweeps, or None."""
    wanted = set(keys)
    return next((group for group in bench.groups if set(group.members) == wanted), None)


def in_rows(bench: Bench) -> tuple[Group | Entry, ...]:
    """Groups and sweeps in the order of lists: each group followed by its members.

    A group takes the position of its first member.
    """
    rows: list[Group | Entry] = []
    own = {key: group for group in bench.groups for key in group.members}
    members: dict[int, list[Entry]] = {group.key: [] for group in bench.groups}
    for entry in bench.entries:
        if entry.key in own:
            members[own[entry.key].key].append(entry)
    for entry in bench.entries:
        group = own.get(entry.key)
        if group is None:
            rows.append(entry)
        elif members[group.key][0] is entry:
            rows += [group, *members[group.key]]
    return tuple(rows)


def mixture(entries: Sequence[Entry], *, conditions_may_differ: bool = False) -> str:
    """Why these sweeps are not one population at one plane, in words; empty if they can be.

    A property that is not stated matches any other, because most files state nothing.
    """
    seen: dict[int, Entry] = {}
    for entry in entries:
        other = seen.setdefault(id(entry.measured), entry)
        if other is not entry:
            return f"{_names(other, entry)} are the same measured sweep, which would count twice"
    for words, said in _MUST_AGREE:
        if conditions_may_differ and words == _CONDITIONS:
            continue
        first: Entry | None = None
        for entry in entries:
            if said(entry) and first is None:
                first = entry
            elif first is not None and said(entry) and said(entry) != said(first):
                return f"{_names(first, entry)} {words}: {said(first)} and {said(entry)}"
    z0_ohm = entries[0].sweep.z0_ohm
    odd = next((entry for entry in entries if entry.sweep.z0_ohm != z0_ohm), None)
    if odd is not None and not all(entry.sweep.has_phase for entry in entries):
        return (
            f"{_names(entries[0], odd)} are stated at different reference impedances, and not all "
            "have a phase"
        )
    return ""


def _names(one: Entry, other: Entry) -> str:
    return f'"{one.label}" and "{other.label}"'


_CONDITIONS = "were taken under different conditions"
# What the user or the file states about each member; empty where not stated.
_MUST_AGREE: tuple[tuple[str, Callable[[Entry], str]], ...] = (
    (
        "are seen at different planes",
        lambda entry: "" if entry.seen_at is None else PLANE_WORDS[entry.seen_at],
    ),
    (
        _CONDITIONS,
        lambda entry: entry.condition and f'"{entry.condition}"',
    ),
    (
        "are not alike",
        lambda entry: "one is a what-if" if entry.is_what_if else "one was measured",
    ),
)


def with_group(
    bench: Bench, keys: Collection[int], label: str = "", kind: GroupKind = "units"
) -> Bench:
    """Group sweeps, moved together to the position of the first and compared with their mean.

    Parameters
    ----------
    bench : Bench
    keys : collection of int
    label : str
        If empty, the group is numbered.
    kind : {"units", "repeats"}

    Raises
    ------
    FairleadError
        With fewer than two sweeps, if one is in a group already, or if they are not one population
        at one plane.
    """
    entries = [entry for entry in bench.entries if entry.key in keys]
    if len(entries) < 2:
        raise FairleadError("a group needs at least two sweeps", "select more of them")
    for entry in entries:
        taken = group_of(bench, entry.key)
        if taken is not None:
            raise FairleadError(
                f'"{entry.label}" is in the group "{taken.label}"', "ungroup that one first"
            )
    problem = mixture(entries)
    if problem:
        advice = "group what is alike; a condition, plane or step is changed in the details"
        raise FairleadError(f"no group: {problem}", advice)
    group = Group(
        key=bench.next_key,
        label=" ".join(label.split()) or f"group {len(bench.groups) + 1}",
        kind=kind,
        members=tuple(entry.key for entry in entries),
        style=free_style(bench.used_styles),
    )
    first = [entry.key for entry in bench.entries].index(entries[0].key)
    others = [entry for entry in bench.entries[first:] if entry.key not in group.members]
    return replace(
        bench,
        entries=(*bench.entries[:first], *entries, *others),
        groups=(*bench.groups, group),
        next_key=bench.next_key + 1,
    )


def without_group(bench: Bench, group_key: int) -> Bench:
    """Dissolve a group; its sweeps stay, and so do the log lines about it."""
    groups = tuple(group for group in bench.groups if group.key != group_key)
    log = tuple(
        replace(one, about_key=None) if one.about_key == group_key else one for one in bench.log
    )
    return replace(bench, groups=groups, log=log)


def with_group_label(bench: Bench, group_key: int, label: str) -> Bench:
    """Rename a group; surrounding blanks are removed, an empty name changes nothing."""
    label = " ".join(label.split())
    return _changed(bench, group_key, label=label) if label else bench


def with_group_reference(bench: Bench, group_key: int, reference_key: int | None) -> Bench:
    """Choose the member that the others are compared with; None for their mean.

    Raises
    ------
    FairleadError
        If the sweep is not one of its members.
    """
    group = group_named(bench, group_key)
    if reference_key is not None and reference_key not in group.members:
        raise FairleadError(
            f'"{bench.entry(reference_key).label}" is not in the group "{group.label}"',
            "choose one of its members",
        )
    return _changed(bench, group_key, reference_key=reference_key)


def with_group_visibility(bench: Bench, group_key: int, *, is_visible: bool) -> Bench:
    """Show or hide the envelope and mean of a group; each member has its own check box."""
    return _changed(bench, group_key, is_visible=is_visible)


def _changed(bench: Bench, group_key: int, **changes: object) -> Bench:
    group = group_named(bench, group_key)
    changed = replace(group, **changes)  # type: ignore[arg-type]  # checked by every caller
    if changed == group:
        return bench
    return replace(bench, groups=tuple(changed if one is group else one for one in bench.groups))
