"""What is marked on film of a dead ball about who faced the players, from the facts logged."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from random import Random
from typing import Final

from evaluations.core.floor.eyes import Facing, Mark
from evaluations.core.games import POSITIONS, CrewPosition
from evaluations.core.mechanics.court import Resumes
from evaluations.core.mechanics.facts import DeadBall

FRAME: Final = 40
"""Milliseconds of a frame of the film, on which every mark lies."""

BETWEEN: Final = 130_000
"""Milliseconds of film from one dead ball to the next, about."""

# Milliseconds: from the least to the most.
TO_TABLE: Final = 1_200, 1_900
REPORT: Final = 7_400, 9_800
FREE_THROWS: Final = 9_000, 14_000
THROW_IN: Final = 4_000, 7_000
BEFORE_GAP: Final = 2_000, 3_000
GAP: Final = 2_400, 4_200
HIDDEN: Final = 320, 880


@dataclass(frozen=True)
class Marked:
    """Milliseconds of the film."""

    whistle_at: int
    report_ended_at: int
    live_at: int
    marks: tuple[Mark, ...]


def marked(ball: DeadBall, crew: int, chance: Random) -> Marked:
    """Everybody's marks from the whistle until the ball is live."""

    def within(limits: tuple[int, int]) -> int:
        return chance.randrange(*limits, FRAME)

    whistle = ball.number * BETWEEN + within((0, BETWEEN // 2))
    ended = whistle + within(REPORT)
    live = ended + within(FREE_THROWS if ball.resumes is Resumes.FREE_THROWS else THROW_IN)
    marks: list[Mark] = []
    for member in POSITIONS[crew]:
        if member is ball.caller:
            turned, back = whistle + within(TO_TABLE), ended + within(HIDDEN)
            marks += _turned_away(member, whistle, turned, back, 0, live)
        elif ball.eyes.kept is False:
            lost = whistle + within(BEFORE_GAP)
            back = lost + within(GAP)
            marks += _turned_away(member, whistle, lost, back, within(HIDDEN), live)
        else:
            marks += _hidden_once(member, whistle, ended, live, within(HIDDEN))
    return Marked(whistle, ended, live, tuple(marks))


def _turned_away(
    member: CrewPosition, whistle: int, away: int, back: int, hidden: int, live: int
) -> Iterator[Mark]:
    """Turned away once, and `hidden` from the film for a moment after that."""
    yield Mark(member, Facing.FACING, whistle, away)
    yield Mark(member, Facing.NOT_FACING, away, back)
    yield Mark(member, Facing.FACING, back + hidden, live)


def _hidden_once(
    member: CrewPosition, whistle: int, ended: int, live: int, hidden: int
) -> Iterator[Mark]:
    """With the players all the time; for a moment the film doesn't show it."""
    yield Mark(member, Facing.FACING, whistle, ended - hidden)
    yield Mark(member, Facing.FACING, ended, live)
