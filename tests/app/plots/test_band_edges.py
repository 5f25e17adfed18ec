"""What is written on the handles."""

from __future__ import annotations

import pytest

from fairlead.app.plots.line_handle import edge_text


@pytest.mark.parametrize(
    ("frequency_hz", "text"),
    [
        (50e6, "50.000"),
        (50.1234e6, "50.1234"),
        (144_012_345.0, "144.012345"),
        (472e3, "0.472"),
        (1296.123_456e6, "1296.12346"),
        (109_999_999_992.0, "110000.000"),
    ],
)
def test_edges_are_written_in_megahertz_with_as_many_decimals_as_they_need(frequency_hz, text):
    assert edge_text(frequency_hz) == text
