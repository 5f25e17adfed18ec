"""The report page: on the page, without overlaps, and open about what had no room."""

from __future__ import annotations

from dataclasses import replace
from functools import cache

import numpy as np
import pytest
from printed_benches import Ruler, bench_of, bench_with, reading

from fairlead.app.printing.page import PAPERS, lay_out_page, told_of
from fairlead.app.printing.shapes import Box, Text
from fairlead.core.document.bench import Bench
from fairlead.core.errors import FairleadError

FEW_POINTS_HZ = np.linspace(46e6, 58e6, 61)


@cache
def told_with(count):
    """Once for all tests: working out what is known takes longer than drawing it."""
    return told_of(bench_with(count, frequency_hz=FEW_POINTS_HZ))


def page_of(bench, paper="a4"):
    return lay_out_page(told_of(bench), paper, Ruler())


def texts(page):
    return [shape for shape in page.shapes if isinstance(shape, Text)]


def words(page):
    return " ".join(text.text for text in texts(page))


def noted(bench, notes, keys=None):
    for entry in bench.entries:
        if keys is None or entry.key in keys:
            bench = bench.with_circumstances(entry.key, replace(entry.circumstances, notes=notes))
    return bench


@pytest.mark.unmeasured
@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.parametrize("count", [1, 5, 12, 30])
def test_nothing_leaves_the_page_and_no_texts_overlap(paper, count):
    page = lay_out_page(told_with(count), paper, Ruler())
    sheet = Box(0, 0, *PAPERS[paper]).grown(-14.9)
    found = texts(page)
    assert all(sheet.holds(text.box) for text in found)
    level = [text for text in found if not text.is_upright and not text.halo]
    below = [text for text in level if text.y > page.picture.table.shapes[0].y1]
    for index, one in enumerate(below):
        assert not any(one.box.overlaps(other.box) for other in below[index + 1 :]), one.text


@pytest.mark.parametrize("count", [1, 5, 12, 30])
def test_every_sweep_is_in_the_table_and_what_has_no_room_is_said_first(count):
    page = lay_out_page(told_with(count), "a4", Ruler())
    assert len(page.picture.table.names) == count
    assert page.picture.table.plan.left_out_rows == 0
    headings = [section.heading for section in page.sections]
    assert "Cautions" in headings
    assert (headings[0] == "Not on this page") == (count == 30)
    for section in page.sections:
        assert section.heading in words(page)


def test_notes_without_room_are_counted_at_the_head_of_the_text():
    page = page_of(noted(bench_with(5), "It rained on it for three invented hours. " * 30))
    first = page.sections[0]
    assert first.heading == "Not on this page"
    assert first.lines[0].startswith("No room for 2 of 5 notes, 1 of 1 lists of files; ")
    assert "Markdown" in first.lines[0]
    assert words(page).count("sweep 3: It rained") == 1
    assert "sweep 4: It rained" not in words(page)


def test_few_notes_stand_on_the_page():
    page = page_of(noted(bench_with(2), "Invented, on a\nwooden mast", keys={1}))
    assert "sweep 1: Invented, on a wooden mast" in words(page)
    assert page.sections[0].heading == "Does it cover the band"


def test_title_and_caption_are_those_of_the_picture():
    bench = bench_with(2)
    picture = replace(bench.picture, title="Two of a kind", caption="Invented data", grey=True)
    page = page_of(bench.with_picture(picture))
    assert page.title == "Two of a kind"
    assert texts(page)[0].text == "Two of a kind"
    assert texts(page)[1].text == "Invented data"


def test_a_caption_that_would_push_the_picture_off_is_refused():
    bench = bench_with(1)
    picture = replace(bench.picture, caption="long words " * 200)
    with pytest.raises(FairleadError, match="shorten it"):
        page_of(bench.with_picture(picture))


@pytest.mark.parametrize(
    ("bench", "advice"),
    [
        (Bench(), "open at least one"),
        (bench_of(reading()).with_visibility(1, is_visible=False), "show at least one"),
    ],
)
def test_without_a_sweep_there_is_no_page(bench, advice):
    with pytest.raises(FairleadError, match=advice):
        told_of(bench)
