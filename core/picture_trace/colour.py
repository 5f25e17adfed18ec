"""Colours as eyes tell them apart: from sRGB to OKLab.

sRGB's curve: IEC 61966-2-1. OKLab and its two matrices: B. Ottosson, A perceptual color space for
image processing, 2020 (from memory; tests hold white, black and the published example values
against it).
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from fairlead.core.arrays import FloatArray

_TO_CONES = np.array(
    [
        [0.4122214708, 0.5363325363, 0.0514459929],
        [0.2119034982, 0.6806995451, 0.1073969566],
        [0.0883024619, 0.2817188376, 0.6299787005],
    ]
)
_TO_LAB = np.array(
    [
        [0.2104542553, 0.7936177850, -0.0040720468],
        [1.9779984951, -2.4285922050, 0.4505937099],
        [0.0259040371, 0.7827717662, -0.8086757660],
    ]
)


def oklab(rgb: FloatArray) -> FloatArray:
    """Lightness, green to red, and blue to yellow of sRGB colours.

    Parameters
    ----------
    rgb : FloatArray, shape (..., 3)
        From 0 to 255.

    Returns
    -------
    FloatArray, shape (..., 3)
        White is (1, 0, 0).
    """
    share = np.clip(rgb / 255, 0, 1)
    light = np.where(share <= 0.04045, share / 12.92, ((share + 0.055) / 1.055) ** 2.4)
    result: FloatArray = np.cbrt(light @ _TO_CONES.T) @ _TO_LAB.T
    return result
