"""A ruler for layouts that need no font."""

from __future__ import annotations

import pytest
from printed_benches import Ruler


@pytest.fixture
def ruler():
    return Ruler()
