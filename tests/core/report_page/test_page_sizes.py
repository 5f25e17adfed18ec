"""The size of a page by territory; sizes: ISO 216 and ANSI/ASME Y14.1 (from memory)."""

from __future__ import annotations

import pytest

from fairlead.core.report_page.paper import PAPER_WORDS, PAPERS, usual_paper


@pytest.mark.parametrize(
    ("territory", "paper"),
    [("US", "letter"), ("CA", "letter"), ("DE", "a4"), ("GB", "a4"), ("JP", "a4"), ("", "a4")],
)
def test_letter_is_usual_in_north_america(territory, paper):
    """Unicode CLDR (from memory)."""
    assert usual_paper(territory) == paper


def test_each_size_has_its_name():
    assert PAPER_WORDS.keys() == PAPERS.keys()
    assert PAPERS["letter"] == pytest.approx((8.5 * 25.4, 11 * 25.4))
