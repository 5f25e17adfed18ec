"""Reading Touchstone does not load what tables need, and the package offers both."""

from __future__ import annotations

import subprocess
import sys

import pytest

import fairlead.core.reading
from fairlead.core.reading import tables

CODE = """
import sys
from fairlead.core.reading import Reading, open_sweeps, read_sweeps
read_sweeps(b"# MHz S RI R 50\\n50 .1 .2\\n51 .1 .2\\n", "a.s1p")
print([name for name in sys.modules if name.startswith("fairlead.core.reading.tables")])
from fairlead.core.reading import ColumnPlan
print(ColumnPlan.__module__)
"""


def test_touchstone_needs_no_tables():
    done = subprocess.run(
        [sys.executable, "-c", CODE], capture_output=True, text=True, check=True, timeout=60
    )
    assert done.stdout.splitlines() == ["[]", "fairlead.core.reading.tables.plan"]


def test_the_package_offers_what_it_lists():
    for name in tables.__all__:
        assert getattr(fairlead.core.reading, name) is getattr(tables, name)
    assert all(hasattr(fairlead.core.reading, name) for name in fairlead.core.reading.__all__)
    with pytest.raises(AttributeError, match="no attribute 'Nothing'"):
        fairlead.core.reading.Nothing  # noqa: B018
