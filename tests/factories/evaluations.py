"""A season with its rubric, a game, an observation and its evaluations, made through the services
wherever there is one.
"""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta

from accounts.models import Association, Membership, Role
from accounts.queries.people import admins
from evaluations.core.games import POSITIONS, Difficulty, Kind, Seen, Talk
from evaluations.models import Game, Observation, Rubric, Season
from evaluations.services.codes import start_from_shipped
from evaluations.services.games import enter_game
from evaluations.services.observations import assign_observer, change_facts
from evaluations.services.observations import open_observation as open_assigned
from evaluations.services.rubrics import approve, propose
from evaluations.services.seasons import enter_season
from evaluations.services.shipped_rubric import add_shipped_rubric
from tests.factories.accounts import MembershipFactory, terms

SEASON_START = date(2026, 9, 1)
SEASON_END = date(2027, 4, 30)
GAME_AT = datetime(2026, 11, 10, 19, tzinfo=UTC)
BEFORE_SEASON = datetime(2026, 8, 20, 12, tzinfo=UTC)


def season_of(association: Association) -> Season:
    return enter_season(
        association=association,
        name="2026–27",
        starts_on=SEASON_START,
        ends_on=SEASON_END,
        by=admin_of(association),
        now=BEFORE_SEASON,
    )


def published_rubric(season: Season, admin: Membership) -> Rubric:
    """The shipped rubric with a shipped mechanics code for crews of two and one for crews of three,
    proposed by `admin` and published by a second at the season's start.
    """
    start = datetime.combine(SEASON_START, datetime.min.time(), tzinfo=UTC)
    for key in ("two_person_every_foul", "three_person"):
        if not admin.association.codes.filter(base=key).exists():
            start_from_shipped(association=admin.association, key=key, by=admin, now=start)
    draft = add_shipped_rubric(season=season, by=admin, now=start)
    proposed = propose(rubric=draft, version=draft.version, by=admin, now=start)
    second = admin_of(admin.association, besides=admin)
    return approve(rubric=proposed, version=proposed.version, by=second, now=start)


def game_with(season: Season, *officials: Membership, plays_at: datetime = GAME_AT) -> Game:
    """Herons against Millstone, whistled by the given crew of two or three."""
    return enter_game(
        season=season,
        plays_at=plays_at,
        level_of_play="Varsity",
        home="Herons",
        visitors="Millstone",
        site="Harbor Gym",
        crew=dict(zip(POSITIONS[len(officials)], officials, strict=True)),
        by=admin_of(season.association),
        now=BEFORE_SEASON,
    )


def open_observation(game: Game, observer: Membership, rubric: Rubric) -> Observation:
    """An opened, scored observation with an empty evaluation for each of the crew; they talked
    after the game. `rubric` is the one in force.
    """
    assigned = assign_observer(
        game=game,
        observer=observer,
        kind=Kind.SCORED,
        by=admin_of(game.season.association),
        now=game.plays_at - timedelta(days=5),
    )
    opened = open_assigned(observation=assigned, by=observer, now=game.plays_at)
    assert opened.rubric == rubric
    return change_facts(
        observation=opened,
        seen=Seen.WHOLE,
        part="",
        difficulty=Difficulty.ORDINARY,
        talk=Talk.HELD,
        raised="",
        note_to_admin="",
        by=observer,
        now=game.plays_at + timedelta(hours=2),
    )


def admin_of(association: Association, besides: Membership | None = None) -> Membership:
    """One of the association's admins; a new one if there is none yet."""
    found = admins(association).select_related("user", "association")
    if besides is not None:
        found = found.exclude(pk=besides.pk)
    return found.first() or MembershipFactory.create(
        association=association, terms=terms(Role.ADMIN)
    )
