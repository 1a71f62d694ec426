"""What a sketch shows, as figures: who is seen, who is boxed in, where the route led.

It is geometry, never accuracy of calls: published studies of angle and distance disagree. What
can't be measured is None, "not judged".
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from evaluations.core.floor.route import RouteMeasure, measure_route
from evaluations.core.floor.sight import seen_by
from evaluations.core.floor.sketch import Point, Sketch
from evaluations.core.floor.spread import angles_apart, boxed_share, inside_hull
from evaluations.core.games import CrewPosition


@dataclass(frozen=True, slots=True)
class Measures:
    """`seen` has a row for each watcher and a column for each player.

    `coverage` is the share of players whom at least one watcher sees, `unseen` the places of the
    others in the sketch's list. `boxed` is the share of players between the watchers, `apart` the
    angle or angles between these as seen from the players' centre, in degrees; see `spread`.
    `inside` are the watchers inside the players' hull.
    """

    watchers: tuple[CrewPosition, ...]
    seen: tuple[tuple[bool, ...], ...]
    coverage: float | None
    unseen: tuple[int, ...]
    boxed: float | None
    apart: tuple[float, ...] | None
    inside: tuple[CrewPosition, ...]
    route: RouteMeasure | None


def measure(sketch: Sketch) -> Measures:
    """All measures of a sketch; without players or watchers there is no coverage."""
    watchers = sketch.watchers
    seen = tuple(seen_by(w, sketch.players, sketch.field_of_view) for w in watchers)
    unseen = tuple(n for n in range(len(sketch.players)) if not any(row[n] for row in seen))
    places = [w.at for w in watchers]
    players = [p.at for p in sketch.players]
    hull = _hull(players) if players else None
    judged = bool(players and watchers)
    return Measures(
        watchers=tuple(w.member for w in watchers),
        seen=seen,
        coverage=(len(players) - len(unseen)) / len(players) if judged else None,
        unseen=unseen if judged else (),
        boxed=boxed_share(places, players),
        apart=angles_apart(places, players),
        inside=inside_hull(watchers, hull),
        route=measure_route(sketch.route, players, hull),
    )


def _hull(players: Sequence[Point]) -> BaseGeometry:
    """The convex hull: a polygon, a line or a point. Built from one array, not point by point."""
    hull = shapely.convex_hull(shapely.multipoints(np.array(players)))
    assert isinstance(hull, BaseGeometry)
    return hull
