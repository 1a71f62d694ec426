"""Shapes to start a sketch from: where people usually are when play goes on in a certain way.

Common practice, no source. They spare placing thirteen people one by one, and are moved from there.
"""

from __future__ import annotations

from collections.abc import Iterable
from enum import StrEnum
from math import atan2, degrees

from evaluations.core.floor.frames import FRAMES, CourtFrame, Frame
from evaluations.core.floor.sketch import OfficialAt, PlayerAt, Point, Sketch, Team, centre
from evaluations.core.games import POSITIONS
from evaluations.core.mechanics.court import End

LIGHT, DARK = Team.LIGHT, Team.DARK
Placed = tuple[float, float, Team]

# Metres. Deep is from the end line, aside from the line between the baskets, away from the table.
_LEAD, _TRAIL, _CENTRE = (-1.2, 4.6), (8.5, 1.0), (5.8, 1.0)


class Shape(StrEnum):
    FREE_THROW = "free_throw"
    END_LINE = "end_line"
    SIDE_LINE = "side_line"
    SPREAD = "spread"


def preset(shape: Shape, crew: int, frame: Frame = Frame.FIBA, end: End = End.RIGHT) -> Sketch:
    """A crew and ten players at the basket of one end; the light team has the ball.

    The first of the crew is the lead, the second the trail, a third the centre. All face the
    middle of the players, to the degree; places are to the centimetre. The two ends mirror each
    other.
    """
    court = FRAMES[frame]
    middle = court.width / 2

    def at(deep: float, across: float) -> Point:
        x = deep if end is End.LEFT else court.length - deep
        return Point(round(x, 2), round(across, 2))

    placed = tuple(
        PlayerAt(at(deep, middle + aside), team) for deep, aside, team in _players(shape, court)
    )
    spots = [at(*spot) for spot in _officials(shape, crew, court)]
    return Sketch(
        crew=crew,
        officials=tuple(
            OfficialAt(member, spot, _facing(spot, placed))
            for member, spot in zip(POSITIONS[crew], spots, strict=True)
        ),
        players=placed,
        frame=frame,
    )


def _facing(spot: Point, players: Iterable[PlayerAt]) -> float:
    middle = centre([player.at for player in players])
    return round(degrees(atan2(middle.y - spot.y, middle.x - spot.x))) % 360.0


def _officials(shape: Shape, crew: int, court: CourtFrame) -> list[tuple[float, float]]:
    """Deep and across, from the table's side line: the lead across from the trail, or on its side
    where a centre is across from both."""
    across = court.width / 2
    lead_deep, lead_aside = _LEAD
    lead = (lead_deep, across + lead_aside if crew == 2 else across - lead_aside)
    trail_deep = _TRAIL[0] + (2.0 if shape is Shape.SIDE_LINE else 0.0)
    trail = (trail_deep, _TRAIL[1])
    return [lead, trail, (_CENTRE[0], court.width - _CENTRE[1])][:crew]


def _players(shape: Shape, court: CourtFrame) -> tuple[Placed, ...]:
    """Deep, aside and team of each; the light five first."""
    lane, long = court.lane_width / 2 + 0.5, court.lane_length
    behind_arc = court.basket_inset + court.arc_radius + 0.8
    wing = court.width / 2 - 0.9
    match shape:
        case Shape.FREE_THROW:
            first, second, third = (long * part for part in (0.37, 0.59, 0.74))
            light = [(long + 0.3, 0.0), (second, lane), (second, -lane)]
            light += [(behind_arc, 3.0), (behind_arc, -3.0)]
            dark = [(first, lane), (first, -lane), (third, lane)]
            dark += [(behind_arc - 0.4, 1.6), (behind_arc - 0.4, -1.6)]
        case Shape.END_LINE:
            # Four in a row along the lane, each with an opponent beside on the basket's side.
            row = [long * part for part in (0.3, 0.52, 0.74, 0.96)]
            light = [(-0.5, lane + 1.0), *((deep, lane) for deep in row)]
            dark = [(0.7, lane + 0.4), *((deep, lane - 1.0) for deep in row)]
        case Shape.SIDE_LINE:
            light = [(7.8, court.width / 2 + 0.4), (behind_arc + 0.6, 1.0), (long, 3.4)]
            light += [(long - 0.5, -3.4), (1.2, -lane - 1.5)]
            dark = [(7.6, court.width / 2 - 1.1), *_guarded(light[1:], court)]
        case Shape.SPREAD:
            light = [(behind_arc, 0.0), (long + 1.0, wing - 1.0), (long + 1.0, 1.0 - wing)]
            light += [(1.4, wing), (1.4, -wing)]
            dark = _guarded(light, court)
    return (*((x, y, LIGHT) for x, y in light), *((x, y, DARK) for x, y in dark))


def _guarded(places: Iterable[tuple[float, float]], court: CourtFrame) -> list[tuple[float, float]]:
    """An opponent of each, a fifth of the way to the basket."""
    return [(deep + (court.basket_inset - deep) * 0.2, aside * 0.8) for deep, aside in places]
