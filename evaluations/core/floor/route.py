"""The caller's way to the reporting area: around the players, or through them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from evaluations.core.floor.sketch import Point

ROOM = 1.0
"""Metres around the players' hull that a route keeps clear of."""

TOUCH = 1e-9
"""Metres: a route that only touches the hull's room, or runs along its edge, goes around."""

REACH = ROOM - TOUCH

Array = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class RouteMeasure:
    """`length` of the route and how much of it is `inside` the hull grown by `ROOM`, in metres."""

    length: float
    inside: float

    @property
    def around(self) -> bool:
        return self.inside <= TOUCH


def measure_route(
    route: Sequence[Point], players: Sequence[Point], hull: BaseGeometry | None
) -> RouteMeasure | None:
    """The route against the players' hull; None with fewer than two points or without players.

    The grown hull is the union of the hull, a strip along each of its edges and a disc at each of
    its corners, all taken exactly: a polygon in place of the discs would make the length depend on
    how the sketch is turned. A straight piece meets a convex shape in one stretch.
    """
    if len(route) < 2 or not players or hull is None:
        return None
    points = np.array(route)
    start, way = points[:-1], np.diff(points, axis=0)
    corners = _corners(hull)
    stretches = [_discs(start, way, corners)]
    if len(corners) > 1:
        stretches += [_strips(start, way, corners), _core(start, way, corners)]
    low = np.min(np.concatenate([s[0] for s in stretches], axis=1), axis=1)
    high = np.max(np.concatenate([s[1] for s in stretches], axis=1), axis=1)
    lengths = np.hypot(way[:, 0], way[:, 1])
    inside = np.where(high > low, high - low, 0.0) * lengths
    return RouteMeasure(float(lengths.sum()), float(inside.sum()))


def _corners(hull: BaseGeometry) -> Array:
    """The corners of a convex hull in turn; a segment's two ends, or one point."""
    found: Array = shapely.get_coordinates(hull)
    return found[:-1] if isinstance(hull, shapely.Polygon) else found


# Each of the following gives, for every piece of the route (rows) and every part of the grown hull
# (columns), the stretch [low, high] of the piece within that part, from 0 to 1; an empty one is
# (inf, -inf).


def _discs(start: Array, way: Array, corners: Array) -> tuple[Array, Array]:
    off = start[:, None] - corners[None]
    a = (way**2).sum(axis=1)[:, None]
    b = (off * way[:, None]).sum(axis=2)
    c = (off**2).sum(axis=2) - REACH**2
    still = a == 0
    root = np.sqrt(np.maximum(b * b - a * c, 0.0))
    scale = np.where(still, 1.0, a)
    low = np.where(still, 0.0, np.maximum((-b - root) / scale, 0.0))
    high = np.where(still, 0.0, np.minimum((-b + root) / scale, 1.0))
    return _unless((b * b - a * c < 0) | (low > high), low, high)


def _strips(start: Array, way: Array, corners: Array) -> tuple[Array, Array]:
    along, across = _edges(corners)
    tail, head = corners, np.roll(corners, -1, axis=0)
    normals = np.stack([-along, along, -across, across], axis=1)
    limits = np.stack(
        [
            -(along * tail).sum(axis=1),
            (along * head).sum(axis=1),
            REACH - (across * tail).sum(axis=1),
            REACH + (across * tail).sum(axis=1),
        ],
        axis=1,
    )
    return _clip(start, way, normals, limits)


def _core(start: Array, way: Array, corners: Array) -> tuple[Array, Array]:
    """The hull itself; of a segment nothing."""
    if len(corners) < 3:
        nothing = np.full((len(start), 1), np.inf)
        return nothing, -nothing
    _along, across = _edges(corners)
    centre = corners.mean(axis=0)
    limits = (across * corners).sum(axis=1)
    outward = np.where((across @ centre > limits)[:, None], -across, across)
    return _clip(start, way, outward[None], (outward * corners).sum(axis=1)[None])


def _edges(corners: Array) -> tuple[Array, Array]:
    """Unit vectors along each edge and across it."""
    edges = np.roll(corners, -1, axis=0) - corners
    along = edges / np.hypot(edges[:, 0], edges[:, 1])[:, None]
    return along, np.stack([along[:, 1], -along[:, 0]], axis=1)


def _clip(start: Array, way: Array, normals: Array, limits: Array) -> tuple[Array, Array]:
    """Each piece within each part, which is where normals · x <= limits holds for all of its."""
    rate = np.einsum("phk,sk->sph", normals, way)
    room = limits[None] - np.einsum("phk,sk->sph", normals, start)
    moving = rate != 0
    at = np.divide(room, rate, out=np.zeros_like(room), where=moving)
    low = np.where(rate < 0, at, 0.0).max(axis=2, initial=0.0)
    high = np.where(rate > 0, at, 1.0).min(axis=2, initial=1.0)
    outside = (~moving & (room < 0)).any(axis=2)
    return _unless(outside | (low > high), low, high)


def _unless(empty: NDArray[np.bool_], low: Array, high: Array) -> tuple[Array, Array]:
    return np.where(empty, np.inf, low), np.where(empty, -np.inf, high)
