"""How fast floor sketches are measured, one by one and 10,000 in a row, and drawn while one drags.

    python -m benchmarks.sketch

The named alternative measures the same sketches with shapely alone, object by object: a line of
sight and a disc for every pair, a buffer for the route. Both must find the same. Times are
processor time on one core; the run fails when a sketch takes 2 ms or more, or when the site's own
measures aren't at least 1.2 times as fast.

In the browser a drag takes the time from the pointer's move until the frame with the new picture
and the new figures is painted, by its own clock; the run fails when the median of 100 drags is
above 16 ms.
"""

from __future__ import annotations

from math import atan2, degrees
from random import Random
from statistics import median, quantiles
from time import process_time

import shapely

from benchmarks.sketch_pad import times
from evaluations.core.floor.measures import measure
from evaluations.core.floor.sight import BODY_RADIUS
from evaluations.core.floor.sketch import (
    OfficialAt,
    PlayerAt,
    Point,
    Sketch,
    Team,
    direction,
)
from evaluations.core.games import POSITIONS

SKETCHES = 10_000
COMPARED = 500
MOST_MS = 2.0
LEAST_RATIO = 1.2
DRAGS = 100
MOST_DRAG_MS = 16.0

Found = tuple[float, float, tuple[str, ...], float]
"""Coverage, boxed share, who is inside, metres of the route inside."""


def sketch(chance: Random) -> Sketch:
    """Two officials, ten players and a route of six points, anywhere on the floor."""

    def spot() -> Point:
        return Point(chance.uniform(0, 28), chance.uniform(0, 15))

    return Sketch(
        crew=2,
        officials=tuple(OfficialAt(m, spot(), chance.uniform(0, 360)) for m in POSITIONS[2]),
        players=tuple(PlayerAt(spot(), Team.LIGHT if n % 2 else Team.DARK) for n in range(10)),
        route=tuple(spot() for _point in range(6)),
    )


def own(given: Sketch) -> Found:
    found = measure(given)
    assert found.coverage is not None
    assert found.boxed is not None
    assert found.route is not None
    return found.coverage, found.boxed, tuple(found.inside), found.route.inside


def with_shapely(given: Sketch) -> Found:
    """The same measures by geometric objects alone."""
    players = [shapely.Point(p.at) for p in given.players]
    seen = {
        n
        for official in given.officials
        for n in range(len(players))
        if _sees(official, players, n, given.field_of_view)
    }
    first, second = (shapely.Point(o.at) for o in given.officials)
    line = shapely.LineString([first, second])
    along = [line.project(player) for player in players]
    hull = shapely.MultiPoint(players).convex_hull
    inside = tuple(o.member for o in given.officials if hull.contains(shapely.Point(o.at)))
    room = hull.buffer(1.0, quad_segs=64)
    pieces = zip(given.route, given.route[1:], strict=False)
    through = sum(shapely.LineString(piece).intersection(room).length for piece in pieces)
    boxed = sum(0 < t < line.length for t in along) / len(players)
    return len(seen) / len(players), boxed, inside, through


def _sees(official: OfficialAt, players: list[shapely.Point], n: int, field: float) -> bool:
    eye, facing = shapely.Point(official.at), direction(official.facing)
    dx, dy = players[n].x - eye.x, players[n].y - eye.y
    turn = atan2(abs(dy * facing.x - dx * facing.y), dx * facing.x + dy * facing.y)
    if degrees(turn) > field / 2:
        return False
    line = shapely.LineString([eye, players[n]])
    far = eye.distance(players[n])
    return not any(
        BODY_RADIUS <= eye.distance(other) < far and line.distance(other) < BODY_RADIUS
        for m, other in enumerate(players)
        if m != n
    )


def main() -> None:
    chance = Random(2809)  # noqa: S311 - places on a floor, no secrets
    sketches = [sketch(chance) for _sketch in range(SKETCHES)]
    start = process_time()
    found = [own(one) for one in sketches]
    each = (process_time() - start) / SKETCHES * 1000
    start = process_time()
    other = [with_shapely(one) for one in sketches[:COMPARED]]
    other_each = (process_time() - start) / COMPARED * 1000
    for (*mine, route), (*theirs, through) in zip(found, other, strict=False):
        if mine != theirs or abs(route - through) > 0.05:
            raise SystemExit("the two do not find the same")
    ratio = other_each / each
    print(f"{SKETCHES} sketches: {each:.2f} ms each, {each * SKETCHES / 1000:.1f} s in all")
    print(f"with shapely alone: {other_each:.2f} ms each, {ratio:.1f} times as long")
    if each >= MOST_MS:
        raise SystemExit(f"a sketch takes {each:.2f} ms, not below {MOST_MS}")
    if ratio < LEAST_RATIO:
        raise SystemExit(f"only {ratio:.1f} times as fast, not {LEAST_RATIO}")
    in_browser()


def in_browser() -> None:
    found = times(DRAGS)
    middle, slow = median(found), quantiles(found, n=20)[-1]
    print(f"{DRAGS} drags: {middle:.1f} ms to the picture, {slow:.1f} ms for the slowest twentieth")
    if middle > MOST_DRAG_MS:
        raise SystemExit(f"a drag takes {middle:.1f} ms, more than {MOST_DRAG_MS:g}")


if __name__ == "__main__":
    main()
