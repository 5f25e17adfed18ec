"""What a file's name gives: a label for lists and legends, and how many ports it claims."""

from __future__ import annotations

import re
from pathlib import PurePath

_PORTS = re.compile(r"\.[a-z](\d{1,3})p$", re.IGNORECASE)
_TOUCHSTONE = re.compile(r"\.(?:[a-z]\d{1,3}p|ts)$", re.IGNORECASE)
# What can be an ending: short, and not the tail of a number ("6 m dipole 1.5m") or of a sentence.
_ENDING = re.compile(r"\.[A-Za-z][A-Za-z0-9]{0,4}$")


def label_of(file: str) -> str:
    """Short name for a sweep: the file's name without its ending.

    A file whose whole name is an ending (".s1p") is called after the folder it lies in.
    """
    path = PurePath(file)
    stem = _ENDING.sub("", path.name).strip()
    return stem or path.parent.name.strip() or "unnamed"


def ports_in_name(file: str) -> int | None:
    """Ports that a name like "unit 1.s2p" claims (2), or None. The content decides, not this."""
    match = _PORTS.search(file)
    return int(match[1]) if match else None


def claims_touchstone(file: str) -> bool:
    """Whether a file is called as Touchstone files are: "unit 1.s1p", "unit 1.ts"."""
    return _TOUCHSTONE.search(file) is not None
