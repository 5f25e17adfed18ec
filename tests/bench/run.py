"""Print the table of budgets, all measured in this one run: `python tests/bench/run.py`."""

from __future__ import annotations

import sys
from importlib import import_module

from rows import print_rows

NAMES = ("start", "drag", "pan", "shift", "core", "reading", "picture", "session", "memory")


def main() -> int:
    """Measure everything, or only what is named."""
    rows = []
    for name in sys.argv[1:] or NAMES:
        rows += import_module(f"bench_{name}").measure()
    print_rows(rows)
    return 0 if all(row.is_ok for row in rows) else 1


if __name__ == "__main__":
    sys.exit(main())
