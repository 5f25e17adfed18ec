"""Where the next unit lies, from sweeps to figures; the full study is in tests/bench."""

from __future__ import annotations

from next_units import next_unit_held


def test_the_next_unit_lies_where_it_is_said_to():
    """15 kits of five; tests/bench/coverage_trends.py has the full counts."""
    held = next_unit_held(15, 5, 3)
    assert all(share > 0.75 for share in held.values()), held
