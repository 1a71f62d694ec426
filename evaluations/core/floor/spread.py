"""How the officials stand around the players: boxed share, angle apart, inside the hull."""

from __future__ import annotations

import itertools
from collections.abc import Sequence
from math import atan2, degrees, hypot

import shapely
from shapely.geometry.base import BaseGeometry

from evaluations.core.floor.sketch import SAME_SPOT, OfficialAt, Point, centre
from evaluations.core.games import CrewPosition

FLAT = 1e-9
"""Square metres: a triangle below this is a line."""


def boxed_share(watchers: Sequence[Point], players: Sequence[Point]) -> float | None:
    """The share of players between two watchers, by projection on the line that joins them, or
    inside the triangle of three; on its edge isn't between.

    None without players, with fewer than two watchers, with two on one spot or three in a line.
    """
    if not players or len(watchers) < 2:
        return None
    between = _between(watchers, players) if len(watchers) == 2 else _in_triangle(watchers, players)
    return None if between is None else between / len(players)


def _between(watchers: Sequence[Point], players: Sequence[Point]) -> int | None:
    a, b = watchers
    line = Point(b.x - a.x, b.y - a.y)
    if hypot(*line) < SAME_SPOT:
        return None
    square = line.x * line.x + line.y * line.y
    along = ((p.x - a.x) * line.x + (p.y - a.y) * line.y for p in players)
    return sum(0 < t < square for t in along)


def _in_triangle(watchers: Sequence[Point], players: Sequence[Point]) -> int | None:
    a, b, c = watchers
    area = _turn(a, b, c)
    if abs(area) / 2 < FLAT:
        return None
    sign = 1 if area > 0 else -1
    sides = ((a, b), (b, c), (c, a))
    return sum(all(sign * _turn(s, e, p) > 0 for s, e in sides) for p in players)


def _turn(a: Point, b: Point, c: Point) -> float:
    """Twice the area of a triangle, positive when it turns from x to y."""
    return (b.x - a.x) * (c.y - a.y) - (b.y - a.y) * (c.x - a.x)


def angles_apart(watchers: Sequence[Point], players: Sequence[Point]) -> tuple[float, ...] | None:
    """The angles in degrees between neighbouring watchers, seen from the players' centre.

    Two watchers have one, at most 180; three have three, which add up to 360, largest first. None
    without players, with fewer than two watchers, or with one of them on the centre.
    """
    if not players or len(watchers) < 2:
        return None
    middle = centre(players)
    rays = [Point(w.x - middle.x, w.y - middle.y) for w in watchers]
    if any(hypot(*ray) < SAME_SPOT for ray in rays):
        return None
    if len(rays) == 2:
        first, second = rays
        cross = first.x * second.y - first.y * second.x
        dot = first.x * second.x + first.y * second.y
        return (degrees(atan2(abs(cross), dot)),)
    turns = sorted(degrees(atan2(ray.y, ray.x)) for ray in rays)
    gaps = [after - before for before, after in itertools.pairwise(turns)]
    return tuple(sorted([*gaps, 360 - (turns[-1] - turns[0])], reverse=True))


def inside_hull(
    watchers: Sequence[OfficialAt], hull: BaseGeometry | None
) -> tuple[CrewPosition, ...]:
    """The watchers strictly inside the players' convex hull; a hull without area has no inside."""
    if not watchers or not isinstance(hull, shapely.Polygon):
        return ()
    inside = shapely.contains_properly(hull, shapely.points([w.at for w in watchers]))
    return tuple(w.member for w, within in zip(watchers, inside, strict=True) if within)
