"""What the report says of sweeps whose state is known by construction."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
from printed_benches import GRID_HZ, bench_of, bench_with, circuit, reading

from fairlead.core.advice.cautions import FIRST, POWER
from fairlead.core.bands import Band
from fairlead.core.comparison.changes import changes_of
from fairlead.core.comparison.knowledge import compare_known
from fairlead.core.document.entry import Circumstances
from fairlead.core.document.groups import with_group
from fairlead.core.notice import Notice
from fairlead.core.reading import Reading
from fairlead.core.report_page.markdown import report_as_markdown
from fairlead.core.report_page.words import page_sections, page_title
from fairlead.core.sweep import Sweep


def told(bench, remarks=()):
    rows = compare_known(bench)
    found = page_sections(bench, rows, changes_of(bench, rows), remarks)
    return {section.heading: section.lines for section in found}


def test_verdicts_are_those_of_the_table_with_their_reasons():
    short = reading(2, "short", frequency_hz=GRID_HZ[:100])
    bench = bench_of(reading(0), reading(1), short).with_limit(1.6)
    rows = compare_known(bench)
    lines = told(bench)["Does it cover the band"]
    assert {row.figures.verdict.covers for row in rows} >= {"cannot tell"}
    assert any(line.startswith("short: cannot tell, the sweep does not reach") for line in lines)
    covering = [row.entry.label for row in rows if row.figures.verdict.covers == "yes"]
    assert all(any(name in line for line in lines) for name in covering)


def test_several_that_cover_the_band_share_a_line_and_one_has_its_own():
    assert told(bench_with(2).with_limit(5.0))["Does it cover the band"] == (
        "Yes, under the limit from edge to edge: sweep 1, sweep 2.",
    )
    (line,) = told(bench_with(1).with_limit(5.0))["Does it cover the band"]
    assert line.startswith("sweep 1: yes, at most SWR ")
    (line,) = told(bench_with(1).with_limit(1.1))["Does it cover the band"]
    assert line.startswith("sweep 1: no, SWR ")
    assert told(bench_of(reading(), band=None))["Does it cover the band"] == (
        "No band was chosen.",
    )


def test_conditions_that_all_share_are_said_once():
    bench = bench_with(2)
    for key, weather in ((1, "dry"), (2, "rain")):
        bench = bench.with_circumstances(
            key, Circumstances(taken_at="2026-05-14T18:30", place="roof", weather=weather)
        )
    bench = bench.with_plane(1, "feed")
    assert told(bench)["Conditions"] == (
        "All sweeps: taken 2026-05-14 18:30; place roof.",
        "sweep 1 (at the feed point): weather dry; seen at the feed point.",
        "sweep 2: weather rain.",
    )
    alone = bench_with(1).with_circumstances(1, Circumstances(place="roof", notes="a\nb"))
    assert told(alone)["Conditions"] == ("sweep 1: place roof.",)
    assert told(alone)["Notes"] == ("sweep 1: a b",)
    assert "Conditions" not in told(bench_with(1))
    one_noted = bench_with(2).with_circumstances(2, Circumstances(place="roof"))
    assert told(one_noted)["Conditions"] == ("sweep 2: place roof.",)


def test_the_transmitter_is_cautioned_about_where_the_match_is_bad():
    assert POWER in told(bench_of(reading()).with_band(Band(48e6, 54e6)))["Cautions"]
    good = told(bench_with(1).with_limit(5.0))["Cautions"]
    assert POWER not in good
    assert good[-1] == FIRST


def test_what_is_suspect_is_said_once_for_all_it_is_said_of():
    shifted = Reading(Sweep(GRID_HZ, circuit().reflection(GRID_HZ) * 0 + 1.2), "a", "a.s1p", ())
    same = replace(shifted, label="b", sweep=Sweep(GRID_HZ, np.full(GRID_HZ.size, 1.2 + 0j)))
    lines = told(bench_of(shifted, same))["What is suspect"]
    assert any(line.startswith("a, b: ") for line in lines)


def test_what_is_only_worth_knowing_is_not_suspect():
    told_of_note = told(bench_of(reading(notices=(Notice("odd-header", "an odd header"),))))
    assert "What is suspect" not in told_of_note


def test_groups_files_and_remarks_have_their_lines():
    bench = with_group(bench_with(3), [1, 2, 3])
    found = told(bench, ["Thin dots: points too far apart."])
    assert any("cover" in line for line in found["Units and repeats"])
    assert found["About the figure"] == ("Thin dots: points too far apart.",)
    assert found["Where the data come from"] == (
        "Read from sweep 1.s1p, sweep 2.s1p, sweep 3.s1p.",
    )


def test_the_title_says_what_is_compared_where():
    bench = bench_with(2)
    rows = compare_known(bench)
    assert page_title(bench, rows) == "2 sweeps compared in the 6 m band"
    assert page_title(bench, rows[:1]) == "sweep 1 in the 6 m band"
    assert page_title(bench.with_picture(replace(bench.picture, title="A\nB")), rows) == "A B"
    plain = bench_of(reading(), band=None)
    assert page_title(plain, compare_known(plain)) == "sweep 1"


def test_markdown_escapes_what_people_wrote():
    bench = bench_of(reading(label="a|b"))
    bench = bench.with_picture(replace(bench.picture, caption="see <b>", title="T"))
    rows = compare_known(bench)
    text = report_as_markdown(bench, rows, {}, "pic ture.png", "a [picture]")
    assert text.startswith("# T\n\nsee \\<b>\n\n![a \\[picture\\]](pic%20ture.png)\n\n")
    assert "a\\|b" in text
    bare = bench.with_picture(replace(bench.picture, caption=""))
    assert report_as_markdown(bare, rows, {}, "p.png", "").startswith("# T\n\n![](p.png)\n")
