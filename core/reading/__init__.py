"""From bytes to sweeps: the contents of a file decide how it is read, hardly ever its name.

What concerns the columns of tables is loaded only when it is asked for, or a table is read: most
files are Touchstone, and every start of the program counts.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from fairlead.core.reading.files import expand_paths
from fairlead.core.reading.opening import (
    open_preview,
    open_sweeps,
    preview_sweeps,
    read_preview,
    read_sweeps,
)
from fairlead.core.reading.reading import Reading

if TYPE_CHECKING:
    from fairlead.core.reading.tables import (
        ColumnPlan,
        Kind,
        NeedsColumnsError,
        Quantity,
        TablePreview,
    )

__all__ = [
    "ColumnPlan",
    "Kind",
    "NeedsColumnsError",
    "Quantity",
    "Reading",
    "TablePreview",
    "expand_paths",
    "open_preview",
    "open_sweeps",
    "preview_sweeps",
    "read_preview",
    "read_sweeps",
]


def __getattr__(name: str) -> object:
    if name not in __all__:
        raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
    from fairlead.core.reading import tables  # noqa: PLC0415 - see above

    found: object = getattr(tables, name)
    return found
