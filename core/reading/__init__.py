"""From bytes to sweeps: what is in a file decides how it is read, never its name."""

from __future__ import annotations

from core.reading.files import expand_paths
from core.reading.opening import open_sweeps
from core.reading.reading import Reading

__all__ = ["Reading", "expand_paths", "open_sweeps"]
