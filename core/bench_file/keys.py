"""What a schema cannot say about the keys of a bench."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from fairlead.core.document.bench import Bench


def key_problem(bench: Bench) -> str | None:
    """What is wrong with the keys of a bench, for people; None if nothing is."""
    keys = [entry.key for entry in bench.entries]
    if len(set(keys)) < len(keys):
        return "two sweeps have the same key"
    if keys and max(keys) >= bench.next_key:
        return "next_key is not above the keys of all sweeps"
    if bench.reference_key is None:
        return "no sweep is the reference" if keys else None
    return None if bench.reference_key in keys else "reference_key is the key of no sweep"
