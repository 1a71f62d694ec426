"""Where everybody is at a dead ball, drawn from the facts that were logged about it.

The players come from the shapes that a sketch starts from. An official who moved opposite has them
in between and goes on until most are in view; one who stayed is beside them; one who lost them has
turned away.
"""

from __future__ import annotations

import itertools
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from math import atan2, cos, degrees, dist, radians, sin
from random import Random
from typing import Final

import shapely
from shapely.geometry.base import BaseGeometry

from evaluations.core.floor.frames import FRAMES, CourtFrame, Frame
from evaluations.core.floor.presets import Shape, preset
from evaluations.core.floor.sight import seen_by
from evaluations.core.floor.sketch import (
    FIELD_OF_VIEW,
    Instant,
    OfficialAt,
    PlayerAt,
    Point,
    Sketch,
    centre,
)
from evaluations.core.games import POSITIONS, CrewPosition
from evaluations.core.mechanics.court import Court, End, Place, Position, Resumes, Side
from evaluations.core.mechanics.facts import DeadBall, Route, Source, Stood, Watching

SHAPES: Final = {
    Resumes.FREE_THROWS: Shape.FREE_THROW,
    Resumes.END_LINE: Shape.END_LINE,
    Resumes.SIDE_LINE: Shape.SIDE_LINE,
}
ON_THE_WAY: Final = 0.5
"""How far players have gone from their places in play to those of the restart when a foul is
reported."""

OFF: Final = 0.35
"""Metres that a player is off the shape's place, where there is room."""

BODIES: Final = 1.0
"""Metres that players keep from each other at least, so that no mark hides another."""

CLEAR: Final = 1.8
"""Metres that officials keep from the players."""

WAY_CLEAR: Final = 1.4
"""Metres that a way around the players keeps from them."""

BEYOND: Final = 1.5
"""Metres that officials step over the lines at most."""

# Degrees from the caller around the players: two officials stand across from each other, three
# share the floor.
ACROSS: Final = {2: (142, 174), 3: (112, 142)}
BESIDE: Final = (55, 95)
AWAY: Final = (68, 105)
"""Degrees that somebody who lost the players is turned off them."""

TRIES: Final = 8


@dataclass(frozen=True)
class Floor:
    """The players of one dead ball at the left end, where everything is drawn first."""

    court: CourtFrame
    players: tuple[PlayerAt, ...]

    @property
    def centre(self) -> Point:
        return centre([player.at for player in self.players])

    @property
    def group(self) -> BaseGeometry:
        """The players' convex hull."""
        return shapely.MultiPoint([player.at for player in self.players]).convex_hull

    def bearing(self, spot: Point) -> float:
        """The direction of a spot from the players' centre, in degrees."""
        return degrees(atan2(spot.y - self.centre.y, spot.x - self.centre.x))

    def facing(self, spot: Point) -> float:
        """The direction of the players' centre from a spot, in degrees."""
        return self.bearing(spot) + 180

    def at(self, bearing: float, room: float) -> Point:
        """The nearest spot in this direction from the centre with that much room to the players,
        in metres; on the edge of the floor with as much as there is.
        """
        group = self.group
        x, y = cos(radians(bearing)), sin(radians(bearing))
        spot, away = self.centre, 0.0
        while group.distance(shapely.Point(spot)) < room:
            away += 0.1
            further = Point(self.centre.x + away * x, self.centre.y + away * y)
            if not self.has(further):
                break
            spot = further
        return spot

    def has(self, spot: Point) -> bool:
        """Whether an official can stand there."""
        return (
            -BEYOND <= spot.x <= self.court.length + BEYOND
            and -BEYOND <= spot.y <= self.court.width + BEYOND
        )


def drawn(
    ball: DeadBall, crew: int, frame: Frame, instant: Instant, source: Source, chance: Random
) -> Sketch:
    """A sketch of a dead ball whose call, restart and places are known."""
    assert ball.resumes is not None and ball.basket is not None
    floor = Floor(FRAMES[frame], _players(SHAPES[ball.resumes], crew, frame, instant, chance))
    if instant is Instant.REPORT:
        officials, route = _reporting(ball, crew, floor, chance)
    else:
        officials, route = tuple(_back_in_place(ball, crew, floor, chance)), ()
    sketch = Sketch(
        crew=crew,
        officials=officials,
        # From memory not everybody is placed again.
        players=floor.players if source is not Source.MEMORY else floor.players[1:-1],
        frame=frame,
        reporter=ball.caller if instant is Instant.REPORT else None,
        route=route,
        instant=instant,
        source=source,
    )
    end = ball.basket if ball.court is Court.FRONT else ball.basket.other
    return _rounded(sketch if end is End.LEFT else _mirrored(sketch))


# --- The players --------------------------------------------------------------------------------
def _players(
    shape: Shape, crew: int, frame: Frame, instant: Instant, chance: Random
) -> tuple[PlayerAt, ...]:
    """In the restart's shape when the ball becomes live, on the way to it during the report."""
    part = ON_THE_WAY if instant is Instant.REPORT else 1.0
    places = preset(Shape.SPREAD, crew, frame, End.LEFT).players
    goals = preset(shape, crew, frame, End.LEFT).players
    found: list[PlayerAt] = []
    for before, after in zip(places, goals, strict=True):
        x = before.at.x + (after.at.x - before.at.x) * part
        y = before.at.y + (after.at.y - before.at.y) * part
        found.append(PlayerAt(_free(Point(x, y), found, chance), after.team))
    return tuple(found)


def _free(goal: Point, taken: Sequence[PlayerAt], chance: Random) -> Point:
    """About there, and further off the longer nobody makes room."""
    off = OFF
    while True:
        spot = Point(goal.x + chance.uniform(-off, off), goal.y + chance.uniform(-off, off))
        if all(dist(spot, other.at) >= BODIES for other in taken):
            return spot
        off *= 1.1


# --- The officials ------------------------------------------------------------------------------
def _reporting(
    ball: DeadBall, crew: int, floor: Floor, chance: Random
) -> tuple[tuple[OfficialAt, ...], tuple[Point, ...]]:
    """Everybody while the foul is reported, and the caller's way to the table."""
    assert ball.caller is not None
    table = Point(floor.court.length / 2 - chance.uniform(0.6, 1.8), chance.uniform(0.7, 1.5))
    reporter = OfficialAt(ball.caller, table, 270.0 + chance.uniform(-10, 10))
    turn = chance.choice((-1, 1))
    others = {}
    for member in POSITIONS[crew]:
        if member is not ball.caller:
            others[member] = _partner(ball, crew, member, floor, table, turn, chance)
            turn = -turn
    officials = tuple(others.get(member, reporter) for member in POSITIONS[crew])
    return officials, tuple(_way(ball, floor, table, chance))


def _partner(
    ball: DeadBall,
    crew: int,
    member: CrewPosition,
    floor: Floor,
    table: Point,
    turn: int,
    chance: Random,
) -> OfficialAt:
    """Somebody who doesn't report: opposite or beside, with the players or turned away."""
    moved = ball.watching.get(member, Watching()).moved_opposite is not False
    apart = ACROSS[crew] if moved else BESIDE
    spots = [
        floor.at(floor.bearing(table) + turn * chance.uniform(*apart), CLEAR)
        for _try in range(TRIES)
    ]
    if ball.eyes.kept is False:
        away = chance.choice((-1, 1)) * chance.uniform(*AWAY)
        return OfficialAt(member, spots[0], floor.facing(spots[0]) + away)
    steady = [OfficialAt(member, spot, floor.facing(spot)) for spot in spots]
    best = max(steady, key=lambda one: sum(seen_by(one, floor.players, FIELD_OF_VIEW)))
    return replace(best, facing=best.facing + chance.uniform(-5, 5))


def _back_in_place(ball: DeadBall, crew: int, floor: Floor, chance: Random) -> Iterator[OfficialAt]:
    """Everybody who was seen when the ball became live, with the players."""
    for member in POSITIONS[crew]:
        stood = ball.after.get(member, Stood())
        if stood.position is not None:
            spot = _spot(Place(stood.position, stood.side), floor.court, chance)
            yield OfficialAt(member, spot, floor.facing(spot) + chance.uniform(-8, 8))


def _spot(place: Place, court: CourtFrame, chance: Random) -> Point:
    """Where a position usually stands, on its side of the left end."""
    deep, aside = {
        Position.LEAD: (-1.0, court.width / 2 - 4.4),
        Position.TRAIL: (8.6, 0.9),
        Position.CENTRE: (5.8, 0.9),
    }[place.position]
    across = aside if place.side is Side.TABLE else court.width - aside
    return Point(deep + chance.uniform(-0.4, 0.4), across + chance.uniform(-0.6, 0.6))


# --- The caller's way ---------------------------------------------------------------------------
def _way(ball: DeadBall, floor: Floor, table: Point, chance: Random) -> Iterator[Point]:
    """From the place of the call to the table; none where it wasn't seen."""
    stood = ball.before.get(ball.caller, Stood()) if ball.caller else Stood()
    if ball.report.route is None or stood.position is None:
        return
    spot = _spot(Place(stood.position, stood.side), floor.court, chance)
    start = floor.at(floor.bearing(spot), WAY_CLEAR)
    start = max(start, spot, key=lambda one: dist(one, floor.centre))
    if ball.report.route is Route.AROUND:
        yield from _around(floor, start, table)
        return
    yield start
    across = chance.uniform(-0.8, 0.8)
    yield Point(floor.centre.x + across, floor.centre.y - across)
    yield table


def _around(floor: Floor, start: Point, table: Point) -> Sequence[Point]:
    """The shorter way between two spots that keeps clear of the players."""
    grown = floor.group.buffer(WAY_CLEAR, quad_segs=3)
    outline = grown.union(shapely.MultiPoint([start, table])).convex_hull
    ring = [Point(x, y) for x, y in shapely.get_coordinates(outline)[:-1].tolist()]
    first = ring.index(min(ring, key=lambda one: dist(one, start)))
    ring = ring[first:] + ring[:first]
    last = ring.index(min(ring, key=lambda one: dist(one, table)))
    there, back = ring[: last + 1], [ring[0], *reversed(ring[last:])]
    way = min((there, back), key=lambda one: (not all(map(floor.has, one)), _length(one)))
    return [start, *way[1:-1], table]


def _length(way: Sequence[Point]) -> float:
    return sum(dist(a, b) for a, b in itertools.pairwise(way))


# --- The whole sketch ---------------------------------------------------------------------------
def _mirrored(sketch: Sketch) -> Sketch:
    """The same at the right end."""
    length = FRAMES[sketch.frame].length

    def there(spot: Point) -> Point:
        return Point(length - spot.x, spot.y)

    return replace(
        sketch,
        officials=tuple(
            OfficialAt(o.member, there(o.at), 180 - o.facing) for o in sketch.officials
        ),
        players=tuple(PlayerAt(there(p.at), p.team) for p in sketch.players),
        route=tuple(there(spot) for spot in sketch.route),
    )


def _rounded(sketch: Sketch) -> Sketch:
    """As a pad keeps it: whole centimetres and degrees."""

    def near(spot: Point) -> Point:
        return Point(round(spot.x, 2), round(spot.y, 2))

    return replace(
        sketch,
        officials=tuple(
            OfficialAt(o.member, near(o.at), float(round(o.facing) % 360)) for o in sketch.officials
        ),
        players=tuple(PlayerAt(near(p.at), p.team) for p in sketch.players),
        route=tuple(near(spot) for spot in sketch.route),
    )
