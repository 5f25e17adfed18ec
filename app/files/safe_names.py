"""Names of files made from what people call their sweeps."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Collection, Iterable

_LONGEST_BYTES = 120
# Letters that mean something to one system or another, and what cannot be printed.
_UNSAFE = re.compile(r'[\\/:*?"<>|\x00-\x1f\x7f]+')
# Names of devices on Windows, whatever the ending.
_DEVICES = re.compile(r"(?:con|prn|aux|nul|com[1-9]|lpt[1-9])(?:\.|$)", re.IGNORECASE)


def safe_name(label: str) -> str:
    """A label as the name of a file, without an ending, that every usual system takes."""
    printable = "".join(c if c.isprintable() else " " for c in label)
    name = " ".join(_UNSAFE.sub("-", printable).split()).strip(" .-")
    # In bytes, since that is how most systems count.
    name = name.encode("utf-8", "ignore")[:_LONGEST_BYTES].decode("utf-8", "ignore").rstrip(" .")
    if _DEVICES.match(name):
        name = f"_{name}"
    return name or "sweep"


def distinct_names(labels: Iterable[str], ending: str, taken: Collection[str]) -> list[str]:
    """Names of files for several labels; one that is taken gets a number.

    Parameters
    ----------
    labels : iterable of str
    ending : str
        With its dot.
    taken : collection of str
        Names in the folder. Case does not tell names apart: it does not on every system.
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
