"""The files: their size on paper, their words, their pixels, and how they fail."""

from __future__ import annotations

import re
import xml.etree.ElementTree as ET
import zlib

import numpy as np
import pytest
from printed_benches import GRID_HZ, bench_of, bench_with, reading
from PySide6.QtCore import QByteArray, QRectF
from PySide6.QtGui import QColor, QFont, QImage, QPainter
from PySide6.QtSvg import QSvgRenderer

from fairlead.app.printing import export
from fairlead.app.printing.export import render_image, write_picture
from fairlead.app.printing.fonts import FontMeasure, chosen_families, make_font
from fairlead.app.printing.layout import lay_out
from fairlead.app.printing.paint import _ShapePainter
from fairlead.app.printing.shapes import Box, Clipped, Fill
from fairlead.app.version import VERSION
from fairlead.core.document.bench import Bench
from fairlead.core.document.picture_request import PictureRequest
from fairlead.core.errors import FairleadError
from fairlead.core.reading import Reading
from fairlead.core.sweep import Sweep

pytestmark = pytest.mark.usefixtures("qapp")

SVG = "{http://www.w3.org/2000/svg}"


def figure_of(bench, **request):
    return lay_out(bench, PictureRequest(**request), FontMeasure(chosen_families()))


def pixels(image):
    image = image.convertToFormat(QImage.Format.Format_RGB888)
    flat = np.frombuffer(image.constBits(), dtype=np.uint8)
    rows = flat.reshape(image.height(), image.bytesPerLine())
    return rows[:, : 3 * image.width()].reshape(image.height(), image.width(), 3).astype(int)


def pixel_at(image, x_mm, y_mm):
    scale = image.dotsPerMeterX() / 1000
    return image.pixelColor(round(x_mm * scale - 0.5), round(y_mm * scale - 0.5)).name()


# --- PNG ----------------------------------------------------------------------------------------


def test_a_png_has_its_true_size_its_resolution_and_its_words(tmp_path):
    path = tmp_path / "out.png"
    request = PictureRequest(width_mm=120, height_mm=90, dpi=300, title="Ω and <b>")
    write_picture(bench_with(2), request, str(path))
    image = QImage(str(path))
    assert (image.width(), image.height()) == (round(120 / 25.4 * 300), round(90 / 25.4 * 300))
    assert image.dotsPerMeterX() == image.dotsPerMeterY() == round(300 / 0.0254)
    assert image.text("Title") == "Ω and <b>"
    assert image.text("Description").startswith("Ω and <b>. SWR plot and Smith chart of 2")
    assert image.text("Software") == f"Fairlead {VERSION}"


def test_the_ending_may_be_in_capitals(tmp_path):
    write_picture(bench_with(1), PictureRequest(dpi=72), str(tmp_path / "OUT.PNG"))
    assert (tmp_path / "OUT.PNG").read_bytes().startswith(b"\x89PNG")


def test_pixels_of_known_points_have_the_colours_of_what_is_there():
    # A match of SWR 1.5 at every frequency, so that the curve's height is known without a search.
    flat = Sweep(GRID_HZ, np.full(GRID_HZ.size, 0.2 + 0j))
    bench = bench_of(Reading(flat, "flat", "flat.s1p"))
    image, figure = render_image(bench, PictureRequest()), figure_of(bench)
    swr = figure.plot
    for frequency_hz in (swr.frequency.low_hz + 1e5, 50.3e6, 51.9e6):
        x = swr.frequency.x(frequency_hz)
        assert pixel_at(image, x, swr.axis.y(1.5)) == "#0072b2"
        assert pixel_at(image, x, swr.axis.y(1.62)) != "#0072b2"
    x = swr.frequency.x(51.3e6)
    assert pixel_at(image, x, swr.axis.y(bench.limit_swr)) == "#b93d3d"
    assert pixel_at(image, x, swr.axis.y(1.75)) == "#f6f1dc"
    outside = (swr.frequency.x(52e6) + swr.frame.right) / 2
    assert pixel_at(image, outside, swr.axis.y(1.75)) == "#ffffff"
    assert pixel_at(image, *figure.smith.place(0.2 + 0j)) == "#0072b2"
    assert pixel_at(image, *figure.smith.place(1j)) == "#000000"
    assert pixel_at(image, 0.5, 0.5) == "#ffffff"


def test_grey_pictures_have_no_colour_and_are_stored_as_greys(tmp_path):
    path = tmp_path / "grey.png"
    write_picture(bench_with(5), PictureRequest(grey=True, dpi=100), str(path))
    assert QImage(str(path)).isGrayscale()
    kind = path.read_bytes()[25]
    assert kind == 0  # colour type "greyscale" of the PNG specification, in the IHDR chunk
    dark = (pixels(QImage(str(path)))[:, :, 0] < 60).mean()
    assert 0.01 < dark < 0.2


def test_text_has_no_coloured_fringes():
    bare = bench_with(1).with_whole_span()
    image = render_image(bare, PictureRequest(grey=False, dpi=200))
    title = figure_of(bare).heading[0].box.grown(0.3)
    scale = image.dotsPerMeterX() / 1000
    box = [round(v * scale) for v in (title.top, title.bottom, title.left, title.right)]
    part = pixels(image)[box[0] : box[1], box[2] : box[3]]
    assert part.min() < 80
    assert (part.max(axis=2) == part.min(axis=2)).all()


@pytest.mark.parametrize("grey", [True, False])
def test_the_clipboard_gets_what_the_file_gets(tmp_path, grey):
    request = PictureRequest(grey=grey, dpi=120)
    write_picture(bench_with(3), request, str(tmp_path / "out.png"))
    image = render_image(bench_with(3), request)
    assert (pixels(image) == pixels(QImage(str(tmp_path / "out.png")))).all()
    assert image.text("Title") == "3 sweeps compared in the 6 m band"
    assert image.dotsPerMeterX() == round(120 / 0.0254)


def test_fonts_ask_for_plain_grey_smoothing_on_screens_that_would_colour_it():
    font = make_font(7.0, families=chosen_families())
    assert font.styleStrategy() == QFont.StyleStrategy.NoSubpixelAntialias
    assert font.hintingPreference() == QFont.HintingPreference.PreferNoHinting


def test_nothing_of_a_clipped_shape_shows_outside_its_box():
    image = QImage(400, 400, QImage.Format.Format_RGB32)
    image.fill(QColor("#ffffff"))
    painter = QPainter(image)
    inner = Clipped(Box(1, 1, 2, 2), (Fill(Box(0, 0, 4, 4), "#ff0000"),))
    _ShapePainter(painter, (), outline_text=False).paint(inner)
    painter.end()
    assert image.pixelColor(150, 150).name() == "#ff0000"
    assert image.pixelColor(250, 150).name() == "#ffffff"
    assert image.pixelColor(50, 50).name() == "#ffffff"


# --- SVG ----------------------------------------------------------------------------------------


def svg_of(tmp_path, bench, **request):
    path = tmp_path / "out.svg"
    write_picture(bench, PictureRequest(**request), str(path))
    return path.read_bytes()


def parsed(svg):
    return ET.fromstring(svg)  # noqa: S314 - written by us a moment ago


def test_an_svg_has_its_size_in_millimetres_a_title_and_a_description(tmp_path):
    root = parsed(svg_of(tmp_path, bench_with(2), width_mm=160, title="Ω < & <b>"))
    assert root.tag == f"{SVG}svg"
    assert (root.get("width"), root.get("height")) == ("160mm", "100mm")
    assert root.get("viewBox") == "0 0 16000 10000"
    assert root.findtext(f"{SVG}title") == "Ω < & <b>"
    assert "best match" in root.findtext(f"{SVG}desc")


def test_an_svg_holds_no_bitmap_and_needs_no_font(tmp_path):
    root = parsed(svg_of(tmp_path, bench_with(3)))
    tags = {element.tag for element in root.iter()}
    assert f"{SVG}image" not in tags
    assert f"{SVG}text" not in tags
    letters = {element.get("id") for element in root.iter() if element.get("id")}
    used = [
        element.get("{http://www.w3.org/1999/xlink}href")[1:] for element in root.iter(f"{SVG}use")
    ]
    assert len(used) > 200
    assert set(used) <= letters


def test_an_svg_looks_like_the_png(tmp_path):
    bench = bench_with(4)
    png = render_image(bench, PictureRequest(dpi=150))
    renderer = QSvgRenderer(QByteArray(svg_of(tmp_path, bench)))
    assert renderer.isValid()
    image = QImage(png.size(), QImage.Format.Format_RGB32)
    image.fill(0xFFFFFFFF)
    painter = QPainter(image)
    renderer.render(painter, QRectF(0, 0, image.width(), image.height()))
    painter.end()
    # Two rasterisers differ along edges; whole shapes must not.
    difference = np.abs(pixels(png) - pixels(image)).max(axis=2)
    assert (difference > 128).mean() < 0.01
    assert np.abs(pixels(png).mean() - pixels(image).mean()) < 1.5


@pytest.mark.unmeasured
def test_an_svg_of_many_points_stays_small(tmp_path):
    dense = np.linspace(46e6, 58e6, 10_001)
    bench = bench_of(*(reading(i, frequency_hz=dense) for i in range(20)))
    assert len(svg_of(tmp_path, bench)) < 400_000


def test_odd_names_keep_an_svg_well_formed(tmp_path):
    bench = bench_of(reading(0, "a\x00\x08<b>]]>&amp;\ud800 \uffff"), reading(1, 'quote"d'))
    assert parsed(svg_of(tmp_path, bench, title="t\x0bt")) is not None


# --- PDF ----------------------------------------------------------------------------------------


def test_a_pdf_has_one_page_of_true_size_a_title_and_letters_of_its_own(tmp_path):
    path = tmp_path / "out.pdf"
    write_picture(bench_with(2), PictureRequest(width_mm=170, height_mm=110), str(path))
    data = path.read_bytes()
    assert data.startswith(b"%PDF-")
    assert len(re.findall(rb"/Type\s*/Page\b", data)) == 1
    (box,) = re.findall(rb"/MediaBox\s*\[([^\]]*)\]", data)
    points = [float(part) for part in box.split()]
    assert points == pytest.approx([0, 0, 170 / 25.4 * 72, 110 / 25.4 * 72], abs=1)
    assert "2 sweeps compared".encode("utf-16-be") in data
    assert f"Fairlead {VERSION}".encode("utf-16-be") in data
    assert b"/FontFile" in data
    assert b"/Subtype /Image" not in data


def test_a_landscape_and_a_portrait_pdf_keep_their_sides(tmp_path):
    for width_mm, height_mm in ((200, 80), (90, 200)):
        path = tmp_path / f"{width_mm}.pdf"
        write_picture(
            bench_with(1), PictureRequest(width_mm=width_mm, height_mm=height_mm), str(path)
        )
        (box,) = re.findall(rb"/MediaBox\s*\[([^\]]*)\]", path.read_bytes())
        _, _, width, height = (float(part) for part in box.split())
        assert (width > height) == (width_mm > height_mm)


def test_a_pdf_draws_lines_not_pictures_of_lines(tmp_path):
    path = tmp_path / "out.pdf"
    write_picture(bench_with(2), PictureRequest(), str(path))
    streams = re.findall(rb"stream\r?\n(.*?)endstream", path.read_bytes(), re.DOTALL)
    content = b""
    for stream in streams:
        try:
            content += zlib.decompress(stream)
        except zlib.error:
            content += stream
    assert len(re.findall(rb"\bl\b", content)) > 100


# --- what can go wrong ----------------------------------------------------------------------------


@pytest.mark.parametrize("name", ["out.jpg", "out", ".png.txt", "out.svgz"])
def test_an_unknown_ending_is_refused_with_advice(tmp_path, name):
    with pytest.raises(FairleadError, match=r"use a name ending in .png, .svg or .pdf"):
        write_picture(bench_with(1), PictureRequest(), str(tmp_path / name))
    assert not list(tmp_path.iterdir())


@pytest.mark.parametrize("ending", ["png", "svg", "pdf"])
def test_a_file_that_cannot_be_written_is_an_error_and_leaves_nothing(tmp_path, ending):
    path = tmp_path / "missing" / f"out.{ending}"
    with pytest.raises(FairleadError, match=r"could not be saved: the folder no longer exists"):
        write_picture(bench_with(1), PictureRequest(dpi=72), str(path))
    assert not list(tmp_path.iterdir())


def test_an_old_picture_stays_when_the_new_one_fails(tmp_path, monkeypatch):
    path = tmp_path / "out.png"
    path.write_bytes(b"the old one")

    def fail(*_):
        raise FairleadError("the bitmap could not be encoded")

    monkeypatch.setitem(export._MAKERS, ".png", fail)
    with pytest.raises(FairleadError):
        write_picture(bench_with(1), PictureRequest(), str(path))
    assert path.read_bytes() == b"the old one"
    with pytest.raises(FairleadError):
        write_picture(Bench(), PictureRequest(), str(path))
    assert path.read_bytes() == b"the old one"


def test_a_folder_is_not_overwritten(tmp_path):
    (tmp_path / "out.png").mkdir()
    with pytest.raises(FairleadError, match="could not be saved: there is a folder of this name"):
        write_picture(bench_with(1), PictureRequest(dpi=72), str(tmp_path / "out.png"))


def test_a_bitmap_too_large_for_the_memory_is_refused_but_vectors_are_not(tmp_path):
    request = PictureRequest(width_mm=1200, height_mm=1200, dpi=1200)
    with pytest.raises(FairleadError, match="write SVG or PDF"):
        write_picture(bench_with(1), request, str(tmp_path / "out.png"))
    write_picture(bench_with(1), request, str(tmp_path / "out.svg"))


def test_without_any_font_the_error_says_what_to_install(monkeypatch):
    class NoFont:
        @staticmethod
        def fromFont(_font):
            return NoFont()

        def isValid(self):
            return False

    monkeypatch.setattr("fairlead.app.printing.fonts.QRawFont", NoFont)
    with pytest.raises(FairleadError, match=r"no font is installed.*fonts-dejavu-core"):
        render_image(bench_with(1), PictureRequest())


def test_measures_do_not_depend_on_the_resolution():
    measure = FontMeasure(chosen_families())
    wide = measure.width_mm("50.125 MHz", 12.0)
    assert measure.width_mm("50.125 MHz", 6.0) == pytest.approx(wide / 2, rel=0.01)
    assert measure.width_mm("50.125 MHz", 12.0, is_bold=True) > wide
