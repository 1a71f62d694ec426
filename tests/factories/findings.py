"""A season of observed games with logs, for what is added up over an association."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import timedelta
from typing import Any

from accounts.models import Membership, Role
from evaluations.core.mechanics.facts import DeadBall
from evaluations.core.release import State
from evaluations.models import Observation, Rubric
from tests.factories.accounts import Cast, member
from tests.factories.evaluations import (
    GAME_AT,
    game_with,
    open_observation,
    published_rubric,
    season_of,
)
from tests.factories.logs import lead_calls, log_with

NAMES = ("Remy Ash", "Lou Calder", "Ines Farrow", "Theo Marsh", "Wren Okoro", "Max Petrie")


def new_rubric(cast: Cast) -> Rubric:
    """The rubric of a new season."""
    return published_rubric(season_of(cast.association), cast.admin)


def six_officials(cast: Cast) -> list[Membership]:
    return [member(cast.association, name, Role.OFFICIAL) for name in NAMES]


def logged(
    cast: Cast,
    rubric: Rubric,
    crew: Iterable[Membership],
    balls: Iterable[DeadBall],
    *,
    days: int = 0,
    finished: bool = True,
    **terms: Any,
) -> Observation:
    """A game so many days before the usual one, observed and logged.

    `finished`: its forms stand as handed in, without being filled in.
    """
    game = game_with(rubric.season, *crew, plays_at=GAME_AT - timedelta(days=days))
    observation = open_observation(game, cast.observer, rubric)
    log_with(observation, balls, **terms)
    if finished:
        observation.evaluations.update(state=State.SUBMITTED)
    return observation


def switches(done: int, missed: int) -> list[DeadBall]:
    """Dead balls at which a switch was due."""
    return [lead_calls(True)] * done + [lead_calls(False)] * missed


def season_of_switches(cast: Cast, rubric: Rubric, *, done: int = 3, missed: int = 2) -> None:
    """Six games of six officials, as many switches done and missed in each."""
    crew = six_officials(cast)
    for day in range(6):
        pair = (crew[day], crew[(day + 1) % 6])
        logged(cast, rubric, pair, switches(done, missed), days=day)
