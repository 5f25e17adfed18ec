"""Importing without Qt's watch over it."""

from __future__ import annotations

import builtins


def import_plainly() -> None:
    """Take PySide6's watch off the imports, once it is loaded.

    PySide6 wraps Python's import in one that reads and searches the source of every module that is
    imported afterwards, for the sake of ``from __feature__ import ...``, which we do not use: 5 %
    of a start. Without PySide6, or should it stop doing so, nothing happens.
    """
    builtins.__import__ = getattr(builtins, "__orig_import__", builtins.__import__)
