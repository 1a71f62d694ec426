"""A season with its rubric, a game, an observation and its evaluations, made through the services
wherever there is one.
"""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta

from accounts.models import Association, Membership
from evaluations.core.games import POSITIONS
from evaluations.models import CrewMember, Evaluation, Game, Observation, Rubric, Season
from evaluations.services.shipped_rubric import add_shipped_rubric

SEASON_START = date(2026, 9, 1)
SEASON_END = date(2027, 4, 30)
GAME_AT = datetime(2026, 11, 10, 19, tzinfo=UTC)


def season_of(association: Association) -> Season:
    return Season.objects.create(
        association=association, name="2026–27", starts_on=SEASON_START, ends_on=SEASON_END
    )


def published_rubric(season: Season, admin: Membership) -> Rubric:
    """The shipped rubric, published at the season's start."""
    start = datetime.combine(SEASON_START, datetime.min.time(), tzinfo=UTC)
    rubric = add_shipped_rubric(season=season, by=admin, now=start)
    Rubric.objects.filter(pk=rubric.pk).update(state="published", published_at=start)
    rubric.refresh_from_db()
    return rubric


def game_with(season: Season, *officials: Membership, plays_at: datetime = GAME_AT) -> Game:
    """Herons against Millstone, whistled by the given crew of two or three."""
    game = Game.objects.create(
        season=season,
        plays_at=plays_at,
        level_of_play="Varsity",
        home="Herons",
        visitors="Millstone",
        site="Harbor Gym",
        crew_size=len(officials),
    )
    for official, position in zip(officials, POSITIONS[len(officials)], strict=True):
        CrewMember.objects.create(game=game, official=official, position=position)
    return game


def open_observation(game: Game, observer: Membership, rubric: Rubric) -> Observation:
    """An opened, scored observation with an empty evaluation for each of the crew."""
    observation = Observation.objects.create(
        game=game,
        observer=observer,
        rubric=rubric,
        assigned_at=game.plays_at - timedelta(days=5),
        opened_at=game.plays_at,
        due_at=game.plays_at + timedelta(hours=48),
        talk=Observation.Talk.HELD,
    )
    for member in game.crew.all():
        Evaluation.objects.create(
            observation=observation, official=member.official, position=member.position
        )
    return observation
