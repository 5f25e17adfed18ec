"""The version of the program: a constant, because asking the package's metadata is slow."""

from __future__ import annotations

VERSION = "0.1.0"
"""The same as in pyproject.toml; a test holds the two together."""


def version() -> str:
    """Version of the program."""
    return VERSION
