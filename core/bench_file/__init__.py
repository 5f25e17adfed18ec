"""The bench as a file: `.fairlead`, JSON text with everything on the bench.

The format is described in ``schema-1.json``. One point of a sweep is one line, so that a version
control system shows what changed; numbers come back exactly; equal benches give equal bytes.
"""

from __future__ import annotations

from fairlead.core.bench_file.decode import bench_from_bytes
from fairlead.core.bench_file.encode import bench_to_bytes
from fairlead.core.bench_file.format import SUFFIX, looks_like_bench
from fairlead.core.bench_file.storage import load_bench, save_bench

__all__ = [
    "SUFFIX",
    "bench_from_bytes",
    "bench_to_bytes",
    "load_bench",
    "looks_like_bench",
    "save_bench",
]
