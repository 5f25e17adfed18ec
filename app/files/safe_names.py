"""File names made from the labels of sweeps."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Collection, Iterable

_LONGEST_BYTES = 120
# Characters with a meaning to some system, and unprintable ones.
_UNSAFE = re.compile(r'[\\/:*?"<>|\x00-\x1f\x7f]+')
# Names of devices on Windows, whatever the extension.
_DEVICES = re.compile(r"(?:con|prn|aux|nul|com[1-9]|lpt[1-9])(?:\.|$)", re.IGNORECASE)


def safe_name(label: str) -> str:
    """A label as a file name without extension, valid on every usual system."""
    printable = "".join(c if c.isprintable() else " " for c in label)
    name = " ".join(_UNSAFE.sub("-", printable).split()).strip(" .-")
    # In bytes, which is how most systems count.
    name = name.encode("utf-8", "ignore")[:_LONGEST_BYTES].decode("utf-8", "ignore").rstrip(" .")
    if _DEVICES.match(name):
        name = f"_{name}"
    return name or "sweep"


def distinct_names(labels: Iterable[str], ending: str, taken: Collection[str]) -> list[str]:
    """File names for several labels; one already in use gets a number.

    Parameters
    ----------
    labels : iterable of str
    ending : str
        With its dot.
    taken : collection of str
        Names in the folder. Names that differ only in case count as equal, as on some systems.
    """
    used = {name.casefold() for name in taken}
    names = []
    for label in labels:
        stem = safe_name(label)
        name, number = f"{stem}{ending}", 1
        while name.casefold() in used:
            number += 1
            name = f"{stem} ({number}){ending}"
        used.add(name.casefold())
        names.append(name)
    return names
