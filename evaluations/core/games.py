"""What is known about a game and its observation before anybody is rated."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime, timedelta
from enum import StrEnum


class CrewPosition(StrEnum):
    """Who one is in the crew, for the whole game (not where one stands at a dead ball)."""

    REFEREE = "referee"
    UMPIRE = "umpire"
    UMPIRE_1 = "umpire_1"
    UMPIRE_2 = "umpire_2"


POSITIONS: dict[int, tuple[CrewPosition, ...]] = {
    2: (CrewPosition.REFEREE, CrewPosition.UMPIRE),
    3: (CrewPosition.REFEREE, CrewPosition.UMPIRE_1, CrewPosition.UMPIRE_2),
}
"""The positions of a crew of two and of a crew of three."""


LATE_AFTER = timedelta(days=7)
"""From then on a form can only become coaching, be reassigned, or be closed with a reason."""


def too_late(since: datetime, submitted_at: datetime | None, now: datetime) -> bool:
    """Whether a form can no longer be submitted with a total; `since` is when the game was, or
    when the observer was sent to it if that was later.

    Only a form that was never submitted can be late: one that came back to be changed, or is
    amended after its letter went out, was on time.
    """
    return submitted_at is None and now > since + LATE_AFTER


class Kind(StrEnum):
    """A coaching observation has no total and counts in no standing."""

    SCORED = "scored"
    COACHING = "coaching"


class Seen(StrEnum):
    WHOLE = "whole"
    PART = "part"


class Difficulty(StrEnum):
    """Context for the reader of a letter; never a factor in the score."""

    ROUTINE = "routine"
    ORDINARY = "ordinary"
    DEMANDING = "demanding"


class Talk(StrEnum):
    """Whether crew and observer talked after the game."""

    HELD = "held"
    DECLINED = "declined"
    IMPOSSIBLE = "impossible"


@dataclass(frozen=True, slots=True)
class GameFacts:
    """What a letter's heading says about the game. Teams, site and level are free text."""

    played_on: date
    level_of_play: str
    home: str
    visitors: str
    site: str
    crew_size: int


@dataclass(frozen=True, slots=True)
class ObservationFacts:
    """How the game was observed. `part` says which part when `seen` is PART."""

    kind: Kind
    seen: Seen
    part: str
    difficulty: Difficulty
    talk: Talk
    observer: str
