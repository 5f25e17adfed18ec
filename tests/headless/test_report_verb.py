"""``fairlead report``: a page with embedded fonts, or Markdown with its picture."""

from __future__ import annotations

import re

import pytest


@pytest.mark.parametrize(("paper", "size"), [("a4", (595, 842)), ("letter", (612, 792))])
def test_a_page_has_its_size_one_sheet_and_its_fonts(fairlead, write, tmp_path, paper, size):
    done = fairlead(
        "report", write("a.s1p"), write("b.s1p", f0_hz=50e6), "--band", "6m", "-o", "out.pdf",
        "--page", paper,
    )  # fmt: skip
    assert (done.status, done.out, done.errors) == (0, "", [])
    data = (tmp_path / "out.pdf").read_bytes()
    assert data.startswith(b"%PDF-")
    boxes = re.findall(rb"/MediaBox \[0 0 (\d+)[.\d]* (\d+)[.\d]*\]", data)
    assert [tuple(map(int, box)) for box in boxes] == [size]
    assert b"/FontFile" in data
    assert b"/Subtype /Image" not in data


def test_markdown_has_everything_and_a_picture_beside_it(fairlead, write, tmp_path):
    name = write("a.s1p")
    done = fairlead("report", name, "--band", "6m", "-o", "my report.md", "--title", "A_b")
    assert (done.status, done.errors) == (0, [])
    text = (tmp_path / "my report.md").read_text("utf-8")
    assert text.startswith("# A\\_b\n")
    assert "](my%20report.png)" in text
    assert (tmp_path / "my report.png").read_bytes().startswith(b"\x89PNG")
    headings = re.findall(r"^## (.*)$", text, re.MULTILINE)
    assert headings[0] == "Does it cover the band"
    assert "Cautions" in headings
    assert "a: yes, at most SWR" in text


def test_somebody_elses_picture_is_not_replaced(fairlead, write, tmp_path):
    name = write("a.s1p")
    (tmp_path / "out.png").write_bytes(b"not ours")
    assert fairlead("report", name, "-o", "out.md").status == 0
    assert (tmp_path / "out.png").read_bytes() == b"not ours"
    assert "](out-2.png)" in (tmp_path / "out.md").read_text("utf-8")


@pytest.mark.parametrize(
    ("arguments", "reason"),
    [
        ((), "-o"),
        (("-o", "out.png"), "use a name ending in .pdf or .md"),
        (("-o", "out.pdf", "--page", "a5"), "--page"),
        (("-o", "out.pdf", "--view", "nothing"), "nothing"),
    ],
)
def test_wrong_usage_of_report_is_one_line(fairlead, write, tmp_path, arguments, reason):
    name = write("a.s1p")
    done = fairlead("report", name, *arguments)
    assert done.status == 2
    (line,) = done.errors
    assert reason in line
    assert [path.name for path in tmp_path.iterdir()] == [name]


def test_originals_stay_and_nothing_readable_makes_no_report(fairlead, write, tmp_path):
    name = write("in.md")
    before = (tmp_path / name).read_bytes()
    done = fairlead("report", name, "-o", name)
    assert done.status == 1
    assert "originals are never written over" in done.errors[-1]
    assert (tmp_path / name).read_bytes() == before
    done = fairlead("report", "gone.s1p", "-o", "out.pdf")
    assert done.status == 1
    assert done.errors[-1] == "out.pdf: not written, because no sweep could be read"
