"""Tables of readings: whatever holds frequency and match in columns becomes sweeps."""

from __future__ import annotations

from core.reading.tables.plan import ColumnPlan, Kind, Quantity
from core.reading.tables.preview import NeedsColumnsError, TablePreview

__all__ = ["ColumnPlan", "Kind", "NeedsColumnsError", "Quantity", "TablePreview"]
