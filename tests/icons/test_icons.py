"""Our icons: one family, recolourable by text, and readable at 16 pixels."""

from __future__ import annotations

import itertools
import re
import xml.etree.ElementTree as ET
from pathlib import Path

import numpy as np
import pytest
from PySide6.QtCore import QByteArray, QRectF
from PySide6.QtGui import QImage, QPainter
from PySide6.QtSvg import QSvgRenderer

ICONS = Path(__file__).parents[2] / "icons"
PLACEHOLDER = "#808080"
SVG = "{http://www.w3.org/2000/svg}"
ONE_COLOUR = [
    "new-bench",
    "open",
    "open-folder",
    "watch-folder",
    "type-readings",
    "trace-picture",
    "save",
    "export-picture",
    "feed-line",
    "copy-picture",
    "copy-table",
    "copy-changes",
    "undo",
    "redo",
    "remove",
    "rename",
    "move-up",
    "move-down",
    "reference",
    "remark",
    "remark-filled",
    "visible",
    "hidden",
    "band",
    "limit",
    "markers",
    "smith",
    "swr",
    "zoom-fit",
    "zoom-in",
    "zoom-out",
    "theme-light",
    "theme-dark",
    "samples",
    "warning",
    "error",
    "info",
    "close",
    "cancel",
    "help",
    "quit",
]
ALL = ["fairlead", *ONE_COLOUR]
pytestmark = pytest.mark.usefixtures("qapp")


def svg_text(name):
    return (ICONS / f"{name}.svg").read_text(encoding="utf-8")


def root_of(name):
    return ET.fromstring(svg_text(name))  # noqa: S314  # our own files


def alpha_and_colours(text, size):
    """Render into a square image; return opacity, shape (size, size), and the opaque colours."""
    renderer = QSvgRenderer(QByteArray(text.encode()))
    assert renderer.isValid()
    image = QImage(size, size, QImage.Format.Format_RGBA8888)
    image.fill(0)
    painter = QPainter(image)
    renderer.render(painter, QRectF(0, 0, size, size))
    painter.end()
    pixels = np.array(image.constBits(), dtype=np.uint8).reshape(size, size, 4)
    opaque = pixels[pixels[..., 3] > 250]
    return pixels[..., 3], {tuple(int(part) for part in pixel[:3]) for pixel in opaque}


def test_the_set_is_complete_and_holds_nothing_else():
    assert {path.name for path in ICONS.iterdir()} == {f"{name}.svg" for name in ALL}


@pytest.mark.parametrize("name", ALL)
def test_each_is_a_plain_svg_with_a_title(name):
    root = root_of(name)
    assert root.tag == f"{SVG}svg"
    assert root.get("viewBox") == "0 0 24 24"
    title = root.find(f"{SVG}title")
    assert title is not None
    assert title.text
    drawn = {element.tag.removeprefix(SVG) for element in root.iter()} - {"svg", "title"}
    # Shapes only: no script, style, text, image, use or foreign object, and so no outside file.
    assert drawn <= {"path", "circle", "ellipse", "rect", "g"}
    for element in root.iter():
        for key, value in element.attrib.items():
            assert "href" not in key.lower()
            assert not key.lower().startswith("on")
            assert "url(" not in value
    assert "currentColor" not in svg_text(name)  # Qt draws it black


@pytest.mark.parametrize("name", ONE_COLOUR)
def test_one_colour_icons_share_placeholder_and_stroke(name):
    colours = {
        element.get(key)
        for element in root_of(name).iter()
        for key in ("stroke", "fill", "color", "stop-color", "style")
    }
    assert colours <= {None, "none", PLACEHOLDER}
    assert set(re.findall(r"#[0-9a-fA-F]{3,8}\b", svg_text(name))) == {PLACEHOLDER}
    root = root_of(name)
    assert root.get("stroke-width") == "1.75"
    assert root.get("stroke-linecap") == "round"


@pytest.mark.parametrize("name", ONE_COLOUR)
def test_replacing_the_placeholder_recolours_the_whole_icon(name):
    _, colours = alpha_and_colours(svg_text(name).replace(PLACEHOLDER, "#ff0000"), 96)
    assert colours == {(255, 0, 0)}


@pytest.mark.parametrize("name", ALL)
def test_each_draws_something_to_see_at_16_pixels(name):
    alpha, _ = alpha_and_colours(svg_text(name), 16)
    rows, columns = np.nonzero(alpha > 100)
    assert max(np.ptp(rows), np.ptp(columns)) >= 9
    assert rows.size >= 20
    if name != "fairlead":
        assert rows.size <= 150  # lines, not a blot


@pytest.mark.parametrize("name", ONE_COLOUR)
def test_nothing_is_cut_off_at_the_rim(name):
    alpha, _ = alpha_and_colours(svg_text(name), 96)
    rim = np.concatenate([alpha[0], alpha[-1], alpha[:, 0], alpha[:, -1]])
    assert not rim.any()


def test_no_two_icons_look_alike_at_16_pixels():
    shapes = {name: alpha_and_colours(svg_text(name), 16)[0].astype(float) for name in ALL}
    for one, other in itertools.combinations(ALL, 2):
        difference = np.abs(shapes[one] - shapes[other]).mean() / 255
        assert difference > 0.01, (one, other)


def test_fairlead_has_its_own_colours():
    _, colours = alpha_and_colours(svg_text("fairlead"), 96)
    assert len(colours) >= 3
    assert PLACEHOLDER not in svg_text("fairlead")
