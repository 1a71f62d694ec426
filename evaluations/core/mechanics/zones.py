"""The live log's taps as facts: a zone of the floor, and what the ends say.

The floor has eight zones: four columns from the left end to the right end, as seen from the table,
on the table side and opposite. Officials of a crew of two are always relative to each other, one
nearer to each end, and a switch is an exchange of ends; so the ends carry over from whistle to
whistle, and with them a zone gives the basket under attack, the caller and the caller's position.
Sides never carry over.
"""

from __future__ import annotations

from collections.abc import Mapping
from enum import StrEnum
from typing import NamedTuple

from evaluations.core.games import CrewPosition
from evaluations.core.mechanics.court import Court, End, Position, Resumes, Side, Whistle, end_of


class Seat(StrEnum):
    """Where the observer sits; the court is drawn that way round."""

    TABLE = "table"
    OPPOSITE = "opposite"
    LEFT_END = "left_end"
    RIGHT_END = "right_end"


class Zone(StrEnum):
    """A zone of the floor: side and column, column 1 at the left end as seen from the table."""

    T1 = "t1"
    T2 = "t2"
    T3 = "t3"
    T4 = "t4"
    O1 = "o1"
    O2 = "o2"
    O3 = "o3"
    O4 = "o4"

    @property
    def side(self) -> Side:
        return Side.TABLE if self.value[0] == "t" else Side.OPPOSITE

    @property
    def end(self) -> End:
        """The end in whose half the zone is."""
        return End.LEFT if self.value[1] in "12" else End.RIGHT

    @property
    def at_end_line(self) -> bool:
        return self.value[1] in "14"


class Follows(StrEnum):
    """The live log's third tap: what follows the whistle, in one word."""

    FREE_THROWS = "free_throws"
    END_LINE = "end_line"
    SIDE_LINE = "side_line"
    PLAYER_CONTROL = "player_control"
    TECHNICAL = "technical"
    NO_FOUL = "no_foul"


class Called(NamedTuple):
    """What a tap says of the whistle. None: it leaves that open."""

    whistle: Whistle
    resumes: Resumes | None
    flip: bool | None


CALLED: dict[Follows, Called] = {
    Follows.FREE_THROWS: Called(Whistle.SHOOTING, Resumes.FREE_THROWS, False),
    Follows.END_LINE: Called(Whistle.COMMON, Resumes.END_LINE, False),
    Follows.SIDE_LINE: Called(Whistle.COMMON, Resumes.SIDE_LINE, False),
    Follows.PLAYER_CONTROL: Called(Whistle.PLAYER_CONTROL, None, True),
    Follows.TECHNICAL: Called(Whistle.TECHNICAL, None, None),
    Follows.NO_FOUL: Called(Whistle.VIOLATION, None, None),
}
"""The direction of play stays unless the observer says that it turned; after a technical foul and
after a whistle without a foul it is open until said."""


Ends = Mapping[CrewPosition, End]
"""Who of a crew of two is nearer to which end."""


class Stand(NamedTuple):
    """Where a caller stood, and what that says of the attack."""

    basket: End
    position: Position
    side: Side
    court: Court


def stand(zone: Zone, back_court: bool) -> Stand:
    """Where a caller stood who is lead or trail, from the zone and the back-court toggle.

    In the front court the lead is at the end line and the trail nearer to the middle, of the half
    that holds the basket under attack. In the back court the zone's half is the other one: at its
    end line stands the trail behind the ball, nearer to the middle the lead ahead of it.

    >>> stand(Zone.T1, back_court=False)[:2]
    (<End.LEFT: 'left'>, <Position.LEAD: 'lead'>)
    >>> stand(Zone.T1, back_court=True)[:2]
    (<End.RIGHT: 'right'>, <Position.TRAIL: 'trail'>)
    """
    if back_court:
        position = Position.TRAIL if zone.at_end_line else Position.LEAD
        return Stand(zone.end.other, position, zone.side, Court.BACK)
    position = Position.LEAD if zone.at_end_line else Position.TRAIL
    return Stand(zone.end, position, zone.side, Court.FRONT)


def caller_at(where: Stand, ends: Ends) -> CrewPosition | None:
    """Who of a crew of two stood there, by the ends carried over; None while they are not known."""
    end = end_of(where.position, where.basket)
    return next((member for member, nearer in ends.items() if nearer is end), None)


def exchanged(ends: Ends) -> Ends:
    """The ends after a switch, or after "the other one"."""
    return {member: end.other for member, end in ends.items()}


Floor = tuple[tuple[Zone, ...], ...]
"""Rows of zones from far to near, each from left to right, as somebody sees them."""

_FROM_THE_TABLE: Floor = (
    (Zone.O1, Zone.O2, Zone.O3, Zone.O4),
    (Zone.T1, Zone.T2, Zone.T3, Zone.T4),
)
_QUARTER_TURNS = {Seat.TABLE: 0, Seat.RIGHT_END: 1, Seat.OPPOSITE: 2, Seat.LEFT_END: 3}


def seen_from(seat: Seat) -> Floor:
    """The floor as it lies before an observer in this seat.

    >>> [zone.value for zone in seen_from(Seat.OPPOSITE)[0]]
    ['t4', 't3', 't2', 't1']
    """
    floor = _FROM_THE_TABLE
    for _turn in range(_QUARTER_TURNS[seat]):
        floor = tuple(zip(*reversed(floor), strict=True))
    return floor
