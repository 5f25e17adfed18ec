"""The checklist: one page, a box before every line, or a refusal."""

from __future__ import annotations

import pytest

from fairlead.app.printing.checklist import lay_out_checklist
from fairlead.app.printing.shapes import Box, StraightLine, Text
from fairlead.core.errors import FairleadError
from fairlead.core.report_page.paper import PAPERS
from fairlead.core.report_page.words import Section


@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.parametrize("lines", [3, 45])
def test_every_line_has_a_box_and_stays_on_the_page(ruler, paper, lines):
    section = Section("Before", tuple(f"line {n} " * 8 for n in range(lines)), "")
    page = lay_out_checklist("List", [section], paper, ruler)
    sheet = Box(0, 0, *PAPERS[paper]).grown(-17.9)
    texts = [shape for shape in page.shapes if isinstance(shape, Text)]
    assert all(sheet.holds(text.box) for text in texts)
    assert len([one for one in page.shapes if isinstance(one, StraightLine)]) == 4 * lines


def test_too_much_is_refused_and_not_cut(ruler):
    section = Section("Before", tuple("words " * 40 for _ in range(60)), "")
    with pytest.raises(FairleadError, match="one page"):
        lay_out_checklist("List", [section], "a4", ruler)
