"""``fairlead picture``: a file of the asked size from a process without a screen."""

from __future__ import annotations

import re

import pytest
from PySide6.QtGui import QImage


def test_a_picture_needs_no_screen_and_has_its_size(fairlead_process, write, tmp_path):
    done = fairlead_process(
        "picture", write("a.s1p"), write("b.s1p", f0_hz=50e6), "-o", "out.png", "--band", "6m",
        "--width-mm", "150", "--height-mm", "90", "--dpi", "200", "--title", "Ω <b>",
        "--caption", "invented",
    )  # fmt: skip
    assert (done.status, done.out, done.errors) == (0, "", [])
    image = QImage(str(tmp_path / "out.png"))
    assert (image.width(), image.height()) == (round(150 / 25.4 * 200), round(90 / 25.4 * 200))
    assert image.dotsPerMeterX() == round(200 / 0.0254)
    assert image.text("Title") == "Ω <b>"
    assert "best match 51.000 MHz with SWR 1.24" in image.text("Description")
    assert not image.isGrayscale()


def test_a_platform_that_cannot_work_is_not_used(fairlead_process, write, tmp_path):
    done = fairlead_process(
        "picture", write("a.s1p"), "-o", "out.png", "--grey", QT_QPA_PLATFORM="xcb"
    )
    assert (done.status, done.errors) == (0, [])
    image = QImage(str(tmp_path / "out.png"))
    assert (image.width(), image.height()) == (2126, 1181)
    assert image.isGrayscale()


@pytest.mark.parametrize(("ending", "start"), [("svg", b"<?xml"), ("pdf", b"%PDF-")])
def test_vector_formats_are_chosen_by_the_ending(fairlead, write, tmp_path, ending, start):
    done = fairlead("picture", "-o", f"out.{ending}", write("a.s1p"))
    assert (done.status, done.errors) == (0, [])
    assert (tmp_path / f"out.{ending}").read_bytes().startswith(start)


def test_an_unreadable_file_does_not_stop_the_picture(fairlead, write, tmp_path):
    done = fairlead("picture", write("a.s1p"), "gone.s1p", "-o", "out.svg")
    assert done.status == 1
    assert len(done.errors) == 1
    assert (tmp_path / "out.svg").exists()


def test_nothing_readable_makes_no_picture(fairlead, tmp_path):
    done = fairlead("picture", "gone.s1p", "-o", "out.png")
    assert done.status == 1
    assert done.errors[-1] == "out.png: not written, because no sweep could be read"
    assert not (tmp_path / "out.png").exists()


def test_a_place_that_cannot_be_written_is_one_line(fairlead, write):
    done = fairlead("picture", write("a.s1p"), "-o", "missing/out.png", "--dpi", "72")
    assert done.status == 1
    (line,) = done.errors
    assert "missing/out.png could not be saved" in line


@pytest.mark.parametrize(
    ("arguments", "reason"),
    [
        ((), "-o"),
        (("-o", "out.jpg"), "out.jpg"),
        (("-o", "out"), "use a name ending in"),
        (("-o", "out.png", "--width-mm", "5"), "width"),
        (("-o", "out.png", "--height-mm", "tall"), '"tall"'),
        (("-o", "out.png", "--dpi", "3"), "dpi"),
        (("-o", "out.png", "--dpi", "2400", "--width-mm", "1000"), "pixels"),
        (("-o", "out.png", "--band", "7x"), 'no band "7x"'),
        (("-o", "out.png", "--as", "json"), "--as"),
        (("-o", "out.png", "--match", "much"), '"much"'),
        (("-o", "out.png", "--network", "L network"), "--network needs --match"),
        (("-o", "out.png", "--match", "band", "--network", "magic"), 'no network "magic"'),
    ],
)
def test_wrong_usage_of_picture_is_one_line_and_leaves_no_file(
    fairlead, write, tmp_path, arguments, reason
):
    name = write("a.s1p")
    done = fairlead("picture", name, *arguments)
    assert done.status == 2
    (line,) = done.errors
    assert line.startswith("fairlead picture: ")
    assert reason in line
    assert [path.name for path in tmp_path.iterdir()] == [name]


def test_what_is_read_is_never_written_over(fairlead, write, tmp_path):
    """Also where it could not be read, and through a link."""
    name = write("in.svg")
    (tmp_path / "real.svg").write_text("<svg/>")
    (tmp_path / "link.svg").symlink_to("real.svg")
    for out, files in (
        ("in.svg", [name]),
        ("./in.svg", [name]),
        ("real.svg", [name, "link.svg"]),
        ("in.svg", ["."]),
    ):
        before = (tmp_path / out).read_bytes()
        done = fairlead("picture", *files, "-o", out)
        assert done.status == 1
        assert "originals are never written over" in done.errors[-1]
        assert (tmp_path / out).read_bytes() == before


def test_a_network_is_drawn_where_that_is_asked(fairlead, write, tmp_path):
    """The report as Markdown has the words of the picture that lies beside it."""
    name = write("a.s1p")
    drawn = {}
    for file, options in {
        "plain": (),
        "none": ("--match", "none"),
        "there": ("--match", "50.5MHz", "--network", "L network", "--parts", "E12"),
    }.items():
        done = fairlead("picture", name, "-o", f"{file}.svg", "--band", "6m", *options)
        assert (done.status, done.errors) == (0, [])
        drawn[file] = re.sub(rb"<title>.*?</title>", b"", (tmp_path / f"{file}.svg").read_bytes())
    assert drawn["plain"] == drawn["none"] != drawn["there"]
    done = fairlead("report", name, "-o", "out.md", "--band", "6m", *options)
    assert (done.status, done.errors) == (0, [])
    told = (tmp_path / "out.md").read_text("utf-8")
    assert "What-if, on the Smith chart from the antenna on: L network at 50.5 MHz, " in told


def test_a_picture_without_paper(fairlead, write, tmp_path):
    for extra in ([], ["--grey"]):
        done = fairlead("picture", "-o", "out.png", "--transparent", *extra, write("a.s1p"))
        assert (done.status, done.errors) == (0, [])
        image = QImage(str(tmp_path / "out.png"))
        assert image.hasAlphaChannel()
        assert image.pixelColor(1, 1).alpha() == 0
        middle = image.height() // 2
        ink = max(image.pixelColor(x, middle).alpha() for x in range(0, image.width(), 2))
        assert ink == 255
    for ending in ("svg", "pdf"):
        assert fairlead("picture", "-o", f"with.{ending}", write("a.s1p")).errors == []
        done = fairlead("picture", "-o", f"without.{ending}", "--transparent", write("a.s1p"))
        assert done.errors == []
    for ending in ("svg", "pdf"):
        with_paper = (tmp_path / f"with.{ending}").stat().st_size
        assert (tmp_path / f"without.{ending}").stat().st_size < with_paper


def test_what_has_no_room_is_said_with_the_height_that_shows_it(fairlead, write):
    files = [write(f"{number}.s1p") for number in range(30)]
    size = ["--width-mm", "85", "--height-mm", "80", "--dpi", "60"]
    done = fairlead("picture", "-o", "out.png", *size, *files)
    assert done.status == 0
    (line,) = done.errors
    said = re.fullmatch(
        r"out\.png: \d+ of 30 sweeps have no room here and are not drawn; a height of (\d+) mm "
        r"shows all\.",
        line,
    )
    done = fairlead("picture", "-o", "out.png", *size[:2], "--height-mm", said[1], *files)
    assert (done.status, done.errors) == (0, [])
