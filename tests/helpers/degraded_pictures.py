"""What happens to a plot on its way to a person: JPEG, blur, noise, glare, an angle, a raster."""

from __future__ import annotations

import numpy as np
from drawn_sweeps import as_file

from fairlead.app.files.picture_files import decode_picture
from fairlead.core.picture_trace.straighten import carried, homography, sampled

KINDS = (
    "clean",
    "jpeg",
    "blur",
    "noise",
    "glare",
    "low contrast",
    "perspective",
    "rotation",
    "raster",
    "photo",
)


def degraded(pixels, kind, rng):
    """The picture, and the matrix that takes places of the plot to places in it."""
    picture, matrix = pixels.astype(np.float64), np.eye(3)
    height, width = picture.shape[:2]
    y, x = np.mgrid[:height, :width]
    if kind in ("perspective", "photo"):
        # Seen from 25 degrees to the side: the far edge is shorter, the whole narrower.
        picture, matrix = warped(picture, corners(width, height, rng))
    if kind == "rotation":
        angle = np.radians(5)
        turn = np.array([[np.cos(angle), -np.sin(angle)], [np.sin(angle), np.cos(angle)]])
        ends = np.array([[0, 0], [width, 0], [width, height], [0, height]], float)
        picture, matrix = warped(picture, (ends - ends.mean(0)) @ turn.T + ends.mean(0))
    height, width = picture.shape[:2]
    y, x = np.mgrid[:height, :width]
    if kind in ("glare", "photo"):
        at = (rng.uniform(0.2, 0.8) * width, rng.uniform(0.1, 0.4) * height)
        veil = np.exp(-(((x - at[0]) / (0.3 * width)) ** 2 + ((y - at[1]) / (0.3 * height)) ** 2))
        picture = picture * 0.7 + (110 * veil + 20 * x / width)[..., None]
    if kind in ("low contrast", "photo"):
        picture = 110 + 0.4 * (picture - 110)
    if kind in ("raster", "photo"):
        size = 14 if kind == "raster" else 4
        wave = np.sin(2 * np.pi * (0.21 * x + 0.03 * y)) + np.sin(2 * np.pi * (0.19 * y))
        picture = picture + size / 2 * wave[..., None]
    if kind in ("blur", "photo"):
        picture = blurred(picture, 1.5 if kind == "blur" else 1.0)
    if kind in ("noise", "photo"):
        picture = picture + rng.normal(0, 15 if kind == "noise" else 5, picture.shape)
    picture = np.clip(picture, 0, 255).astype(np.uint8)
    if kind in ("jpeg", "photo"):
        picture = decode_picture(as_file(picture, "JPEG", 40), "a.jpg").pixels
    return picture, matrix


def burnt(pixels, x, y, size):
    """White, as a lamp's reflection on a screen is."""
    height, width = pixels.shape[:2]
    down, across = np.mgrid[:height, :width]
    veil = np.exp(-((((across - x) / size) ** 2 + ((down - y) / size) ** 2) ** 2))
    return np.clip(pixels + 400 * veil[..., None], 0, 255).astype(np.uint8)


def corners(width, height, rng):
    """Where the corners of a plot seen from 25 degrees are."""
    near, far = 1.0, 0.82
    narrow = np.cos(np.radians(25)) * width
    flip = rng.random() < 0.5
    left, right = (far, near) if flip else (near, far)
    y = height / 2
    places = [
        (0, y - left * y),
        (narrow, y - right * y),
        (narrow, y + right * y),
        (0, y + left * y),
    ]
    tilt = rng.uniform(-0.03, 0.03)
    return np.array([(px - tilt * py + 20, py + tilt * px + 20) for px, py in places])


def warped(picture, ends):
    """The picture with its corners at these places."""
    height, width = picture.shape[:2]
    source = np.array([[0, 0], [width, 0], [width, height], [0, height]], float)
    shift = np.maximum(0, 10 - ends.min(0))
    ends = ends + shift
    matrix = homography(source, ends)
    out_width, out_height = (int(v) for v in np.ceil(ends.max(0) + 10))
    x, y = np.meshgrid(np.arange(out_width) + 0.5, np.arange(out_height) + 0.5)
    back = carried(np.linalg.inv(matrix), np.stack([x.ravel(), y.ravel()], axis=1))
    values = sampled(picture, back)
    is_out = ((back < 0) | (back > (width, height))).any(axis=1)
    values[is_out] = 70
    return values.reshape(out_height, out_width, 3), matrix


def blurred(picture, sigma):
    """A Gaussian blur."""
    reach = int(3 * sigma) + 1
    weight = np.exp(-(np.arange(-reach, reach + 1) ** 2) / (2 * sigma**2))
    weight /= weight.sum()
    for axis in (0, 1):
        picture = sum(
            w * np.roll(picture, shift, axis=axis)
            for w, shift in zip(weight, range(-reach, reach + 1), strict=True)
        )
    return picture
