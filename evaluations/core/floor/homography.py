"""From a click on a paused film to a place on the floor: a plane homography.

The direct linear transformation on normalised points, as in Hartley & Zisserman, Multiple View
Geometry in Computer Vision (2nd edition, 2004), algorithm 4.2. It holds for the floor only: feet,
not heads.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import combinations
from math import sqrt

import numpy as np
from numpy.typing import NDArray

CLICK_ERROR = 2.0
"""Pixels: the standard deviation of a click, in each direction."""

CHI_SQUARE_95 = 5.991464547107979
"""The 0.95 quantile of chi-square with two degrees of freedom: an ellipse that holds 95 %."""

IN_LINE = 0.02
"""Three points are in line when the triangle's height is below this share of its longest side."""

STEP = 0.01
"""Pixels: the step of the numerical derivative."""

Array = NDArray[np.float64]
Pair = tuple[float, float]


class HomographyError(ValueError):
    """Clicks from which no place on the floor follows; `str()` says what to do."""


@dataclass(frozen=True)
class Homography:
    """`matrix` (3 x 3) maps pixels (x, y, 1) to metres on the floor. `pixels` and `floor` are the
    pairs it came from. `residual` is the root mean square of their distances on the floor in
    metres, from five pairs on; with four there is none to see (None)."""

    matrix: Array
    pixels: tuple[Pair, ...]
    floor: tuple[Pair, ...]
    residual: float | None


def fit(pixels: Sequence[Pair], floor: Sequence[Pair]) -> Homography:
    """The homography of four or more pairs of a click and the court point that it shows.

    Raises:
        HomographyError: fewer than four, three of four in a line, clicks in another order round
            the court than their points (crossed), or points that no camera can show so.
    """
    if len(pixels) != len(floor) or len(pixels) < 4:
        raise HomographyError("Click four court points or more, each with its place on the court.")
    for points in (pixels, floor):
        _refuse_in_line(points)
    source, target = np.array(pixels, float), np.array(floor, float)
    matrix = _solve(source, target)
    _refuse_crossed(matrix, source)
    mapped = _apply(matrix, source)
    off = np.hypot(*(mapped - target).T)
    residual = float(np.sqrt((off**2).mean())) if len(pixels) > 4 else None
    return Homography(matrix, tuple(pixels), tuple(floor), residual)


def to_floor(homography: Homography, pixel: Pair) -> Pair:
    """The place on the floor, in metres, that a pixel shows.

    Raises:
        HomographyError: the pixel lies on or beyond the floor's horizon.
    """
    x, y, w = homography.matrix @ np.array([*pixel, 1.0])
    if w * _side(homography) <= 0:
        raise HomographyError("This click is above the floor's horizon. Click a spot on the floor.")
    return float(x / w), float(y / w)


def floor_error(homography: Homography, pixel: Pair, click_error: float = CLICK_ERROR) -> float:
    """How far off, in metres, a place on the floor may be because clicks are: at 95 %.

    Every click, those of the court points and the one on the place, has an independent normal
    error of standard deviation `click_error` pixels in each direction; they are carried over
    linearly. The figure is the longer half-axis of the ellipse that holds 95 %.
    """
    source, target = np.array(homography.pixels, float), np.array(homography.floor, float)

    def place(clicks: Array) -> Array:
        mapped: Array = _apply(_solve(clicks[:-1], target), clicks[-1:])[0]
        return mapped

    clicks = np.vstack([source, np.array([pixel], float)])
    columns = []
    for index in np.ndindex(clicks.shape):
        step = np.zeros_like(clicks)
        step[index] = STEP
        columns.append((place(clicks + step) - place(clicks - step)) / (2 * STEP))
    jacobian = np.array(columns).T
    spread = click_error**2 * jacobian @ jacobian.T
    return sqrt(CHI_SQUARE_95 * float(np.linalg.eigvalsh(spread)[-1]))


def _solve(source: Array, target: Array) -> Array:
    """The matrix that maps source to target, of norm 1."""
    from_source, to_target = _normaliser(source), _normaliser(target)
    a, b = _apply(from_source, source), _apply(to_target, target)
    rows = []
    for (x, y), (u, v) in zip(a, b, strict=True):
        rows.append([-x, -y, -1, 0, 0, 0, u * x, u * y, u])
        rows.append([0, 0, 0, -x, -y, -1, v * x, v * y, v])
    normalised = np.linalg.svd(np.array(rows))[2][-1].reshape(3, 3)
    matrix: Array = np.linalg.inv(to_target) @ normalised @ from_source
    matrix /= np.linalg.norm(matrix)
    return matrix


def _normaliser(points: Array) -> Array:
    """Centre at the origin, mean distance the square root of two."""
    centre = points.mean(axis=0)
    scale = sqrt(2) / np.hypot(*(points - centre).T).mean()
    return np.array([[scale, 0, -scale * centre[0]], [0, scale, -scale * centre[1]], [0, 0, 1]])


def _apply(matrix: Array, points: Array) -> Array:
    mapped = np.column_stack([points, np.ones(len(points))]) @ matrix.T
    result: Array = mapped[:, :2] / mapped[:, 2:]
    return result


def _side(homography: Homography) -> float:
    """On which side of the horizon the court points are."""
    return float(np.sign(homography.matrix[2] @ np.array([*homography.pixels[0], 1.0])))


def _refuse_in_line(points: Sequence[Pair]) -> None:
    """At least four of the points must have no three in a line."""
    for four in combinations(points, 4):
        if not any(_in_line(three) for three in combinations(four, 3)):
            return
    raise HomographyError(
        "Three of the points are in a line or on one spot. Choose four that span the court, such "
        "as the corners of a lane."
    )


def _in_line(three: Sequence[Pair]) -> bool:
    a, b, c = (np.array(p, float) for p in three)
    sides = [np.hypot(*(q - p)) for p, q in ((a, b), (b, c), (c, a))]
    longest = max(sides)
    if longest == 0:
        return True
    twice_area = abs((b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0]))
    return bool(twice_area / longest < IN_LINE * longest)


def _refuse_crossed(matrix: Array, source: Array) -> None:
    """All points lie on one side of the horizon, because a camera sees what is before it; and on a
    picture, where y runs down, a floor seen from above is turned over, never mirrored."""
    depth = np.column_stack([source, np.ones(len(source))]) @ matrix[2]
    one_side = depth.min() * depth.max() > 0
    if not one_side or np.linalg.det(matrix) * depth[0] >= 0:
        raise HomographyError(
            "The clicks are in another order than their court points. Check which is which."
        )
