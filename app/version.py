"""The version of the installed program."""

from __future__ import annotations

from importlib import metadata


def version() -> str:
    """Version as in the package's metadata; "unknown" if it is not installed."""
    try:
        return metadata.version("fairlead")
    except metadata.PackageNotFoundError:
        return "unknown"
