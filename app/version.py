"""The version of the program: a constant, because asking the package's metadata is slow."""

from __future__ import annotations

import platform

VERSION = "0.1.0"
"""The same as in pyproject.toml; a test holds the two together."""
_LIBRARIES = ("PySide6-Essentials", "pyqtgraph", "numpy")


def version() -> str:
    """Version of the program."""
    return VERSION


def with_libraries() -> str:
    """Versions of the program and of what it is built on, one line each; slow."""
    from importlib import metadata  # noqa: PLC0415 - see above

    lines = [f"fairlead {VERSION}", f"Python {platform.python_version()}"]
    for name in _LIBRARIES:
        try:
            lines.append(f"{name} {metadata.version(name)}")
        except metadata.PackageNotFoundError:
            lines.append(f"{name}: not installed")
    return "\n".join(lines)
