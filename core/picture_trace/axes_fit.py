"""The axes of a picture fitted to the clicked points.

The simplest view that explains the points is taken, because every further parameter lets errors of
the clicks through: upright (each axis by itself), turned (one angle more), angled (a homography).
Four corners, where they are given, decide the view, and each axis is fitted in the straightened
picture. Residuals are distances in the picture, in pixels.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Literal

import numpy as np

from fairlead.core.errors import FairleadError
from fairlead.core.picture_trace.axes import HAND_SIGMA_PX, FrequencyAxis, check_axes
from fairlead.core.picture_trace.monotone import Monotone
from fairlead.core.picture_trace.straighten import (
    carried,
    check_corners,
    inverse,
    rectangle_of,
)

if TYPE_CHECKING:
    from fairlead.core.arrays import FloatArray
    from fairlead.core.picture_trace.axes import AxisPoint, Scale, ValueAxis
    from fairlead.core.picture_trace.straighten import Corners

Model = Literal["upright", "turned", "angled", "corners"]

_GOOD_PX = 0.5
# A simpler view may leave this much more than the best one.
_SIMPLER = 1.3
_MOST_RESIDUAL = 0.03
"""Root mean square of the residual, as a share of the axes' length: above it, points are wrong."""
_LEAST_EXTENT_PX = 10.0
_LEAST_SINE = 0.5
# Below this spread in pixels the points do not tell the angle.
_TELLS_ANGLE_PX = 20.0
_ROUNDS = 4
_UNSET = 1e-12


@dataclass(frozen=True, slots=True, eq=False)
class AxesFit:
    """From pixels to frequency and value, and back.

    Attributes
    ----------
    matrix : FloatArray, shape (3, 3)
        From pixels to (u, v): u is the frequency in Hz or its logarithm, v the value, its
        logarithm, or pixels along a free axis.
    model : {"upright", "turned", "angled", "corners"}
    residuals_px : FloatArray, shape (n,)
        Distance of each point, those of the frequency axis first, from where its value lies.
    residual_px : float
        Root mean square of them, with the parameters of the fit taken off; 0 if nothing is left to
        test the fit with.
    free : Monotone or None
        Value over v of a free axis.
    """

    matrix: FloatArray
    model: Model
    residuals_px: FloatArray
    residual_px: float
    frequency_scale: Scale
    value_scale: Scale
    free: Monotone | None = None

    def frequency_hz(self, points: FloatArray) -> FloatArray:
        """Frequency at pixels, shape (n, 2) to (n,)."""
        u = carried(self.matrix, points)[:, 0]
        return np.exp(u) if self.frequency_scale == "log" else u

    def value(self, points: FloatArray) -> FloatArray:
        """Value at pixels, shape (n, 2) to (n,)."""
        return self.value_of(carried(self.matrix, points)[:, 1])

    def value_of(self, v: FloatArray) -> FloatArray:
        """Value at the second coordinate of ``matrix``, any shape."""
        if self.free is not None:
            return self.free.forth(v)
        result: FloatArray = np.exp(np.clip(v, -700, 700)) if self.value_scale == "log" else v
        return result

    def pixels(self, frequency_hz: FloatArray, value: FloatArray) -> FloatArray:
        """Pixels, shape (n, 2), of frequencies and values, both of shape (n,)."""
        u = np.log(frequency_hz) if self.frequency_scale == "log" else frequency_hz
        if self.free is not None:
            v = self.free.back(value)
        else:
            v = np.log(value) if self.value_scale == "log" else value
        return carried(inverse(self.matrix), np.stack([u, v], axis=1))


def fit_axes(
    frequency: FrequencyAxis, values: ValueAxis, corners: Corners | None = None
) -> AxesFit:
    """Fit both axes.

    Raises
    ------
    FairleadError
        In one line: too few points, points of different values at one place or on one line across
        the axis, values that do not rise or fall along a free axis, points that no view explains.
    """
    check_axes(frequency, values)
    if corners is not None:
        check_corners(corners)
    fit = _fitted(frequency, values, corners)
    extent = min(_extent(frequency.points), _extent(values.points))
    if fit.residual_px > max(3.0, _MOST_RESIDUAL * extent):
        raise FairleadError(
            f"the clicked points contradict each other by {fit.residual_px:.0f} pixels",
            "check the typed numbers; for a photo taken at an angle, give its four corners"
            if corners is None
            else "check the typed numbers and the corners",
        )
    return fit


def moved_fits(
    frequency: FrequencyAxis, values: ValueAxis, corners: Corners | None, fit: AxesFit
) -> list[AxesFit]:
    """What the fit would be with one coordinate of one click moved by its standard uncertainty.

    If the residual is larger than the uncertainties stated for the clicks, it counts instead.

    Returns
    -------
    list of AxesFit
        Independent changes: their effects add up by the root of the sum of squares.
    """
    points = (*frequency.points, *values.points)
    stated = math.sqrt(sum(point.sigma_px**2 for point in points) / len(points))
    more = max(1.0, fit.residual_px / stated)
    found = []
    for axis in (frequency, values):
        for index, point in enumerate(axis.points):
            for across, down in ((1, 0), (0, 1)):
                gone = more * point.sigma_px
                own = replace(point, x=point.x + across * gone, y=point.y + down * gone)
                moved = (*axis.points[:index], own, *axis.points[index + 1 :])
                if isinstance(axis, FrequencyAxis):
                    found.append(_refitted(replace(axis, points=moved), values, corners, fit))
                else:
                    found.append(_refitted(frequency, replace(axis, points=moved), corners, fit))
    for index, (x, y) in enumerate(corners or ()):
        for place in ((x + HAND_SIGMA_PX, y), (x, y + HAND_SIGMA_PX)):
            four = list(corners or ())
            four[index] = place
            found.append(_refitted(frequency, values, (four[0], four[1], four[2], four[3]), fit))
    return [one for one in found if one is not None]


def _refitted(
    frequency: FrequencyAxis, values: ValueAxis, corners: Corners | None, fit: AxesFit
) -> AxesFit | None:
    """A fit of the same model; None if it fails (points all but at one place)."""
    try:
        return _fitted(frequency, values, corners, fit.model)
    except FairleadError:
        return None


def _fitted(
    frequency: FrequencyAxis,
    values: ValueAxis,
    corners: Corners | None,
    only: Model | None = None,
) -> AxesFit:
    across, down = _places(frequency.points), _places(values.points)
    u, v, free_places = _scaled(frequency), _scaled(values), values.scale == "free"
    found: list[tuple[Model, FloatArray | None, int]]
    if corners is not None:
        square = rectangle_of(corners)[0]
        found = [("corners", _per_axis(square, across, u, down, v, is_free=free_places), 4)]
    else:
        found = [("upright", _per_axis(np.eye(3), across, u, down, v, is_free=free_places), 4)]
        turn = _turn(across, u, down, None if free_places else v)
        if turn is not None:
            found.append(("turned", _per_axis(turn, across, u, down, v, is_free=free_places), 5))
        if not free_places and min(u.size, v.size) >= 4 and u.size + v.size > 8:
            angled = _angled(across, u, down, v)
            if angled is not None:
                found.append(("angled", angled, 8))
    fits = [
        _fit(model, matrix, count, frequency, values)
        for model, matrix, count in found
        if matrix is not None and only in (None, model)
    ]
    if not fits:
        raise FairleadError(
            "the points of one axis lie on a line across it",
            "click frequencies apart from left to right and values apart up and down",
        )
    best = min(fit.residual_px for fit in fits)
    return next(fit for fit in fits if fit.residual_px <= max(_GOOD_PX, _SIMPLER * best))


def _fit(
    model: Model, matrix: FloatArray, count: int, frequency: FrequencyAxis, values: ValueAxis
) -> AxesFit:
    across, down = _places(frequency.points), _places(values.points)
    gone = [_distances(matrix, 0, across, _scaled(frequency))]
    free = None
    if values.scale == "free":
        free = Monotone.through(carried(matrix, down)[:, 1], _values(values.points))
        gone.append(np.zeros(len(values.points)))
        # The free axis takes all of its points.
        count += len(values.points) - 2
    else:
        gone.append(_distances(matrix, 1, down, _scaled(values)))
    residuals = np.concatenate(gone)
    left = residuals.size - count
    rms = float(np.sqrt((residuals**2).sum() / left)) if left > 0 else 0.0
    return AxesFit(matrix, model, residuals, rms, frequency.scale, values.scale, free)


def _per_axis(
    square: FloatArray,
    across: FloatArray,
    u: FloatArray,
    down: FloatArray,
    v: FloatArray,
    *,
    is_free: bool,
) -> FloatArray | None:
    """Each axis by itself in a square view; the places are fitted, because they have the errors."""
    along_x = _line(u, carried(square, across)[:, 0])
    along_y = (1.0, 0.0) if is_free else _line(v, carried(square, down)[:, 1])
    if along_x is None or along_y is None:
        return None
    scale = np.array(
        [
            [1 / along_x[0], 0, -along_x[1] / along_x[0]],
            [0, 1 / along_y[0], -along_y[1] / along_y[0]],
            [0, 0, 1],
        ]
    )
    result: FloatArray = scale @ square
    return result


def _line(values: FloatArray, places_px: FloatArray) -> tuple[float, float] | None:
    """Slope and offset of places over values; None where the places do not differ."""
    middle = float(values.mean())
    spread = values - middle
    slope = float(spread @ places_px / (spread @ spread))
    if abs(slope) * float(np.ptp(values)) < _LEAST_EXTENT_PX:
        return None
    return slope, float(places_px.mean()) - slope * middle


def _turn(
    across: FloatArray, u: FloatArray, down: FloatArray, v: FloatArray | None
) -> FloatArray | None:
    """The rotation in which each coordinate is best a line over its values; None if none shows.

    What a line leaves of x cos + y sin (of y cos - x sin) is a quadratic form in (cos, sin); its
    lesser eigenvector is the angle.
    """
    form = np.zeros((2, 2))
    for values, places, is_down in ((u, across, False), (v, down, True)):
        if values is None:
            continue
        design = np.stack([np.ones(values.size), values - values.mean()], axis=1)
        left = places - design @ np.linalg.lstsq(design, places, rcond=None)[0]
        if is_down:
            left = np.stack([left[:, 1], -left[:, 0]], axis=1)
        form += left.T @ left
    sizes, vectors = np.linalg.eigh(form)
    cosine, sine = vectors[:, 0] * (np.sign(vectors[0, 0]) or 1.0)
    if sizes[1] < _TELLS_ANGLE_PX**2 or abs(sine) > _LEAST_SINE:
        return None
    return np.array([[cosine, sine, 0], [-sine, cosine, 0], [0, 0, 1]])


def _angled(
    across: FloatArray, u: FloatArray, down: FloatArray, v: FloatArray
) -> FloatArray | None:
    """The homography through points that know one coordinate each; None where they do not say.

    Each point gives one of the two equations of the direct linear transform. They are weighted so
    that what is made small is the distance in the picture.
    """
    everywhere = np.concatenate([across, down])
    centre, size = everywhere.mean(axis=0), float(everywhere.std())
    norm = np.array([[1 / size, 0, -centre[0] / size], [0, 1 / size, -centre[1] / size], [0, 0, 1]])
    known = []
    for values, places in ((u, across), (v, down)):
        middle, spread = float(values.mean()), float(values.std())
        known.append(((values - middle) / spread, carried(norm, places), middle, spread))
    weights = [np.ones(u.size), np.ones(v.size)]
    inner = np.eye(3)
    for _ in range(_ROUNDS):
        rows = []
        for axis, (values, places, _, _) in enumerate(known):
            lifted = np.concatenate([places, np.ones((len(places), 1))], axis=1)
            own = np.zeros((len(places), 9))
            own[:, 3 * axis : 3 * axis + 3] = lifted
            own[:, 6:] = -values[:, None] * lifted
            rows.append(own * weights[axis][:, None])
        _, sizes, vectors = np.linalg.svd(np.concatenate(rows))
        if sizes[7] < 1e-6 * sizes[0]:
            return None
        inner = vectors[-1].reshape(3, 3)
        weights = [
            1 / np.maximum(_steepness(inner, axis, values), _UNSET)
            for axis, (values, places, _, _) in enumerate(known)
        ]
    back = np.diag([known[0][3], known[1][3], 1.0])
    back[0, 2], back[1, 2] = known[0][2], known[1][2]
    matrix: FloatArray = back @ inner @ norm
    depth = everywhere @ matrix[2, :2] + matrix[2, 2]
    return matrix if depth.min() * depth.max() > 0 else None


def _steepness(matrix: FloatArray, axis: int, values: FloatArray) -> FloatArray:
    """Gradient over x and y of an equation of the direct linear transform, shape (n,)."""
    slope = matrix[axis, :2] - values[:, None] * matrix[2, :2]
    result: FloatArray = np.hypot(*slope.T)
    return result


def _distances(matrix: FloatArray, axis: int, places: FloatArray, values: FloatArray) -> FloatArray:
    """How far places are from the line of their value, in pixels with sign, shape (n,)."""
    lifted = np.concatenate([places, np.ones((len(places), 1))], axis=1)
    gone = lifted @ matrix[axis] - values * (lifted @ matrix[2])
    result: FloatArray = gone / np.maximum(_steepness(matrix, axis, values), _UNSET)
    return result


def _places(points: tuple[AxisPoint, ...]) -> FloatArray:
    return np.array([(point.x, point.y) for point in points])


def _values(points: tuple[AxisPoint, ...]) -> FloatArray:
    return np.array([point.value for point in points])


def _scaled(axis: FrequencyAxis | ValueAxis) -> FloatArray:
    values = _values(axis.points)
    return np.log(values) if axis.scale == "log" else values


def _extent(points: tuple[AxisPoint, ...]) -> float:
    return float(np.hypot(*np.ptp(_places(points), axis=0)))
