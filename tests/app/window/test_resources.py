"""Icons, samples and pieces of curves: found, and drawn in the colours asked for."""

from __future__ import annotations

import itertools
import re

import numpy as np
import pytest
from colour_difference import DEFICIENCIES, difference, lab
from PySide6.QtGui import QColor, QImage

import fairlead.app.look.resources
from fairlead.app.look.palette import DARK, DASHES, LIGHT, MARKERS, OUTDOOR
from fairlead.app.look.resources import data_folder, icon, icon_image, sample_files
from fairlead.app.look.swatch import swatch_image
from fairlead.app.look.theme import palette, style_sheet
from fairlead.core.document.entry import Style

pytestmark = pytest.mark.usefixtures("qapp")


def pixels(image):
    """Red, green, blue and opacity, shape (height, width, 4)."""
    plain = image.convertToFormat(QImage.Format.Format_RGBA8888)
    return np.array(plain.constBits(), dtype=np.uint8).reshape(plain.height(), plain.width(), 4)


def test_the_samples_are_the_eleven_sweeps_and_no_script():
    names = [path.name for path in sample_files()]
    assert len(names) == 11
    assert all(name.endswith((".s1p", ".s2p", ".ts")) for name in names)


def test_an_installed_package_brings_its_own(tmp_path, monkeypatch):
    (tmp_path / "data" / "samples").mkdir(parents=True)
    (tmp_path / "data" / "samples" / "a.s1p").write_text("", encoding="utf-8")
    (tmp_path / "data" / "samples" / "make_samples.py").write_text("", encoding="utf-8")
    monkeypatch.setattr(fairlead.app.look.resources, "_HERE", tmp_path)
    assert data_folder("samples") == tmp_path / "data" / "samples"
    assert data_folder("icons") == tmp_path.parent / "icons"
    assert [path.name for path in sample_files()] == ["a.s1p"]


def test_without_samples_there_are_none(tmp_path, monkeypatch):
    monkeypatch.setattr(fairlead.app.look.resources, "_HERE", tmp_path / "app")
    assert sample_files() == []


@pytest.mark.parametrize("colour", [LIGHT.text, DARK.text, "#ff0000"])
def test_an_icon_has_only_the_colour_asked_for(colour):
    found = pixels(icon_image("open", colour, 64))
    opaque = found[found[..., 3] == 255]
    assert opaque.size
    wanted = QColor(colour)
    off = np.abs(opaque[:, :3].astype(int) - (wanted.red(), wanted.green(), wanted.blue()))
    assert off.max() <= 1  # rounding of premultiplied tones


def test_an_unknown_icon_is_empty():
    assert icon("no such icon", "#000000").isNull()


def test_no_two_sweeps_look_alike_even_in_grey():
    """Colours of one theme may look alike in grey; then dash or marker differ."""
    grey = [
        swatch_image(Style(i % 5, i % 4, i % 6), LIGHT, 34, 16).convertToFormat(
            QImage.Format.Format_Alpha8
        )
        for i in range(12)
    ]
    for one, other in itertools.combinations(grey, 2):
        assert one != other


def test_a_swatch_is_as_large_as_the_screen_needs():
    image = swatch_image(Style(0, 0, 0), LIGHT, 34, 16, 2.0)
    assert (image.width(), image.height()) == (68, 32)
    assert image.devicePixelRatio() == 2.0


@pytest.mark.parametrize("marker", range(len(MARKERS)))
@pytest.mark.parametrize("theme", [LIGHT, DARK])
def test_every_marker_is_drawn_over_its_line(marker, theme):
    with_gap = DASHES.index(max(DASHES, key=len))
    drawn = pixels(swatch_image(Style(1, with_gap, marker), theme, 34, 16))[..., 3] > 100
    assert drawn[3:13, 13:21].sum() > drawn[3:13, 2:10].sum()


@pytest.mark.parametrize("theme", [LIGHT, DARK, OUTDOOR])
def test_writing_stands_out_from_its_ground(theme):
    """At least 4.5:1 for text (W3C, WCAG 2.1, criterion 1.4.3), secondary writing included."""

    def luminance(colour):
        parts = [QColor(colour).redF(), QColor(colour).greenF(), QColor(colour).blueF()]
        linear = [p / 12.92 if p <= 0.04045 else ((p + 0.055) / 1.055) ** 2.4 for p in parts]
        return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]

    def contrast(one, other):
        high, low = sorted((luminance(one), luminance(other)), reverse=True)
        return (high + 0.05) / (low + 0.05)

    made = palette(theme)
    assert contrast(made.windowText().color(), made.window().color()) > 4.5
    assert contrast(made.text().color(), made.base().color()) > 4.5
    assert contrast(theme.muted, theme.window) > 4.5
    assert contrast(theme.muted, theme.base) > 4.5
    for ground in (theme.warning, theme.error, theme.grid_minor):
        assert contrast(theme.text, ground) > 4.5
    selected = re.findall(
        r"selection-background-color: (#[0-9a-f]{6}); selection-color", style_sheet(theme)
    )
    assert len(selected) == 1
    assert contrast(theme.text, selected[0]) > 4.5
    # Pieces of curves stand on it too (criterion 1.4.11 asks 3:1 of what must be told apart).
    assert all(contrast(curve, selected[0]) > 2.5 for curve in theme.curves)


@pytest.mark.parametrize("theme", [LIGHT, DARK, OUTDOOR])
@pytest.mark.parametrize("eyes", DEFICIENCIES)
def test_what_is_drawn_together_differs_for_all_eyes(theme, eyes):
    for one, other in [*itertools.combinations(theme.curves, 2), (theme.limit, theme.band)]:
        assert difference(lab(one, eyes), lab(other, eyes)) > 10


def test_the_difference_of_colours_is_that_of_the_standard():
    """Pairs 1, 17 and 25 of Sharma, Wu and Dalal (2005), from memory."""
    assert difference((50, 2.6772, -79.7751), (50, 0, -82.7485)) == pytest.approx(2.0425, abs=5e-5)
    assert difference((50, 2.5, 0), (73, 25, -18)) == pytest.approx(27.1492, abs=5e-5)
    lately = difference((60.2574, -34.0099, 36.2677), (60.4626, -34.1751, 39.4387))
    assert lately == pytest.approx(1.2644, abs=5e-5)
