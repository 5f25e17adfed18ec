"""From bytes to sweeps: what is in a file decides how it is read, hardly ever its name."""

from __future__ import annotations

from core.reading.files import expand_paths
from core.reading.opening import (
    open_preview,
    open_sweeps,
    preview_sweeps,
    read_preview,
    read_sweeps,
)
from core.reading.reading import Reading
from core.reading.tables.plan import ColumnPlan, Kind, Quantity
from core.reading.tables.preview import NeedsColumnsError, TablePreview

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
