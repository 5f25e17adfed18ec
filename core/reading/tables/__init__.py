"""Tables of readings: whatever holds frequency and match in columns becomes sweeps."""

from __future__ import annotations

from fairlead.core.reading.tables.plan import ColumnPlan, Kind, Quantity
from fairlead.core.reading.tables.preview import NeedsColumnsError, TablePreview

__all__ = ["ColumnPlan", "Kind", "NeedsColumnsError", "Quantity", "TablePreview"]
