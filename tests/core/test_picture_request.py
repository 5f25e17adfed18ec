"""What may be asked of the picture."""

from __future__ import annotations

import math

import pytest

from fairlead.core.document.picture_request import (
    DPI_RANGE,
    LARGEST_MM,
    MOST_PIXELS,
    SMALLEST_MM,
    PictureRequest,
)
from fairlead.core.errors import FairleadError


def test_the_usual_picture_has_its_pixels():
    """180 x 100 mm at 300 dpi: 25.4 mm to the inch."""
    assert PictureRequest().size_px == (2126, 1181)
    assert PictureRequest(dpi=150).size_px == (1063, 591)


@pytest.mark.parametrize(
    ("asked", "reason"),
    [
        ({"width_mm": SMALLEST_MM[0] - 1}, "with a width of"),
        ({"height_mm": SMALLEST_MM[1] - 1}, "with a height of"),
        ({"width_mm": LARGEST_MM + 1}, "with a width of"),
        ({"height_mm": math.nan}, "with a height of"),
        ({"dpi": DPI_RANGE[0] - 1}, "dpi is not a resolution"),
        ({"dpi": DPI_RANGE[1] + 1}, "dpi is not a resolution"),
    ],
)
def test_what_cannot_be_laid_out_is_refused_with_the_range(asked, reason):
    with pytest.raises(FairleadError, match=reason) as caught:
        PictureRequest(**asked)
    assert "choose" in caught.value.advice


def test_a_bitmap_too_large_for_memory_is_refused_and_the_usual_is_not():
    PictureRequest().check_bitmap()
    large = PictureRequest(width_mm=LARGEST_MM, height_mm=LARGEST_MM, dpi=600)
    width_px, height_px = large.size_px
    assert width_px * height_px > MOST_PIXELS
    with pytest.raises(FairleadError, match="too large") as caught:
        large.check_bitmap()
    assert "SVG" in caught.value.advice
