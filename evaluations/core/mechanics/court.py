"""Ends, positions and sides, and what kinds of whistle there are.

Two officials: one is nearer to one end line, the partner nearer to the other, always relative to
each other. With the basket under attack this gives positions: lead is the one on that side, trail
the other. A switch is an exchange of ends.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum


class End(StrEnum):
    """An end of the floor, as seen from the table."""

    LEFT = "left"
    RIGHT = "right"

    @property
    def other(self) -> End:
        return End.RIGHT if self is End.LEFT else End.LEFT


class Side(StrEnum):
    """A side of the floor along its whole length. A code may also leave the side free: None."""

    TABLE = "table"
    OPPOSITE = "opposite"


class Position(StrEnum):
    """Where an official works, relative to the basket under attack."""

    LEAD = "lead"
    TRAIL = "trail"
    CENTRE = "centre"


class Court(StrEnum):
    """The half in which the whistle found play, as the team has it that attacked before it."""

    FRONT = "front"
    BACK = "back"


class Resumes(StrEnum):
    """How the ball becomes live again."""

    FREE_THROWS = "free_throws"
    END_LINE = "end_line"
    SIDE_LINE = "side_line"
    DIVISION_LINE = "division_line"


class Whistle(StrEnum):
    """What was called. A common foul brings no free throws; a shooting one includes the bonus."""

    COMMON = "common"
    SHOOTING = "shooting"
    PLAYER_CONTROL = "player_control"
    INTENTIONAL = "intentional"
    TECHNICAL = "technical"
    DISQUALIFYING = "disqualifying"
    DOUBLE = "double"
    VIOLATION = "violation"
    HELD_BALL = "held_ball"

    @property
    def is_foul(self) -> bool:
        """Only a foul is reported to the table."""
        return self not in (Whistle.VIOLATION, Whistle.HELD_BALL)


@dataclass(frozen=True, slots=True)
class Place:
    """A position and a side. `side` None: free when a code says it, not seen in a log."""

    position: Position
    side: Side | None = None


POSITIONS_OF: dict[int, tuple[Position, ...]] = {
    2: (Position.LEAD, Position.TRAIL),
    3: (Position.LEAD, Position.TRAIL, Position.CENTRE),
}
"""The positions that a crew of two or three fills."""


def end_of(position: Position, basket: End) -> End | None:
    """The end that a position is nearer to when `basket` is under attack; a centre is at none.

    >>> end_of(Position.TRAIL, End.LEFT).value
    'right'
    """
    if position is Position.CENTRE:
        return None
    return basket if position is Position.LEAD else basket.other


def position_at(end: End | None, basket: End) -> Position:
    """The position of the official at an end when `basket` is under attack; at none, centre."""
    if end is None:
        return Position.CENTRE
    return Position.LEAD if end is basket else Position.TRAIL


_ACROSS = {
    Position.LEAD: Position.TRAIL,
    Position.TRAIL: Position.LEAD,
    Position.CENTRE: Position.CENTRE,
}


def standing_still(position: Position, flip: bool) -> Position:
    """What an official becomes who stays at his or her end. `flip`: the direction of play turns.

    >>> standing_still(Position.LEAD, flip=True).value
    'trail'
    """
    return _ACROSS[position] if flip else position


_RESUMPTIONS: dict[Whistle, frozenset[Resumes]] = {
    Whistle.COMMON: frozenset({Resumes.END_LINE, Resumes.SIDE_LINE}),
    Whistle.SHOOTING: frozenset({Resumes.FREE_THROWS}),
    Whistle.PLAYER_CONTROL: frozenset({Resumes.END_LINE, Resumes.SIDE_LINE}),
    Whistle.INTENTIONAL: frozenset({Resumes.FREE_THROWS}),
    Whistle.TECHNICAL: frozenset(Resumes),
    Whistle.DISQUALIFYING: frozenset(Resumes),
    Whistle.DOUBLE: frozenset({Resumes.FREE_THROWS, Resumes.END_LINE, Resumes.SIDE_LINE}),
    Whistle.VIOLATION: frozenset({Resumes.END_LINE, Resumes.SIDE_LINE}),
    Whistle.HELD_BALL: frozenset({Resumes.END_LINE, Resumes.SIDE_LINE}),
}


def possible(whistle: Whistle, resumes: Resumes, flip: bool) -> bool:
    """Whether a game can go on like this after such a whistle.

    A player control foul always turns the direction; after any other it may turn or stay. A
    double foul leads to free throws where it came between free throws.
    """
    return resumes in _RESUMPTIONS[whistle] and (flip or whistle is not Whistle.PLAYER_CONTROL)
