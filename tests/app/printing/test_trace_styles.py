"""Twenty sweeps on one page, printed in black: no two may look alike."""

from __future__ import annotations

import itertools

import pytest
from printed_benches import bench_with

from fairlead.app.printing.trace_style import trace_style
from fairlead.core.document.entry import Style


def test_twenty_sweeps_differ_without_any_colour():
    styles = [trace_style(entry.style, grey=True) for entry in bench_with(20).entries]
    assert len(set(styles)) == 20
    for style in styles:
        red, green, blue = style.colour[1:3], style.colour[3:5], style.colour[5:7]
        assert red == green == blue


def test_in_a_copy_of_the_colour_print_dash_and_marker_differ_for_twelve():
    styles = [trace_style(entry.style, grey=False) for entry in bench_with(12).entries]
    assert len({(style.dash_mm, style.marker) for style in styles}) == 12


@pytest.mark.parametrize("grey", [True, False])
def test_greys_are_dark_enough_for_paper(grey):
    # W3C, WCAG 2.1, criterion 1.4.11: 3:1 against the background; formula of relative luminance
    # as published there.
    for entry in bench_with(10).entries:
        colour = trace_style(entry.style, grey=grey).colour
        parts = [int(colour[i : i + 2], 16) / 255 for i in (1, 3, 5)]
        linear = [p / 12.92 if p <= 0.03928 else ((p + 0.055) / 1.055) ** 2.4 for p in parts]
        luminance = sum(w * p for w, p in zip((0.2126, 0.7152, 0.0722), linear, strict=True))
        assert 1.05 / (luminance + 0.05) >= 3


def test_indices_go_round_their_lists():
    assert trace_style(Style(5, 4, 6), grey=False) == trace_style(Style(0, 0, 0), grey=False)
    pairs = itertools.product(range(12), repeat=2)
    assert all(trace_style(Style(a, b, a), grey=True) for a, b in pairs)
