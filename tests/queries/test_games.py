"""Who sees which games, and how the list is narrowed down."""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta

import pytest
from pytest_django import DjangoAssertNumQueries

from accounts.models import Membership
from evaluations.core.games import Kind
from evaluations.models import Game, Observation, Season
from evaluations.queries.games import find_games, game_day, games_for, season_list
from evaluations.services.games import cancel_game, change_game
from evaluations.services.observations import assign_observer, close_observation
from tests.factories.accounts import NOW, Cast
from tests.factories.evaluations import GAME_AT, game_with, season_of


@pytest.fixture
def season(cast: Cast) -> Season:
    return season_of(cast.association)


@pytest.fixture
def game(cast: Cast, season: Season) -> Game:
    return game_with(season, cast.official, cast.other_official)


@pytest.fixture
def next_game(cast: Cast, season: Season) -> Game:
    plays_at = GAME_AT + timedelta(days=7)
    return game_with(season, cast.other_official, cast.young_official, plays_at=plays_at)


def send(cast: Cast, game: Game, observer: Membership) -> None:
    assign_observer(game=game, observer=observer, kind=Kind.SCORED, by=cast.admin, now=NOW)


def watchers(game: Game) -> list[Observation]:
    """What `find_games` loads along."""
    loaded: list[Observation] = vars(game)["watchers"]
    return loaded


def test_everybody_sees_the_games_that_concern_him_or_her(
    cast: Cast, game: Game, next_game: Game
) -> None:
    send(cast, game, cast.observer)
    seen = {
        who: set(games_for(getattr(cast, who)))
        for who in ("admin", "board", "observer", "other_observer", "official", "other_official")
    }
    assert seen == {
        "admin": {game, next_game},
        "board": {game, next_game},
        "observer": {game},
        "other_observer": set(),
        "official": {game},
        "other_official": {game, next_game},
    }
    assert not games_for(cast.other_admin).exists()


def test_games_are_found_by_day_where_they_are_played(cast: Cast, season: Season) -> None:
    # Half past seven in the evening of the 10th in Chicago is the 11th in UTC.
    evening = datetime(2026, 11, 11, 1, 30, tzinfo=UTC)
    game = game_with(season, cast.official, cast.other_official, plays_at=evening)
    assert game_day(game) == date(2026, 11, 10)
    found = {
        day: find_games(cast.admin, season=None, since=date(2026, 11, day)).exists()
        for day in (10, 11)
    }
    assert found == {10: True, 11: False}


@pytest.mark.parametrize("text", ["heron", "MILL", "harbor", "varsity", "kit lar"])
def test_games_are_found_by_team_site_level_and_official(
    cast: Cast, game: Game, next_game: Game, text: str
) -> None:
    change_game(
        game=game,
        level_of_play="Freshman",
        home="Otters",
        visitors="Pines",
        site="Old Barn",
        by=cast.admin,
        now=NOW,
    )
    assert list(find_games(cast.admin, season=None, text=text)) == [next_game]


def test_games_are_found_by_season(cast: Cast, game: Game) -> None:
    other = Season.objects.create(
        association=cast.association,
        name="2025–26",
        starts_on=date(2025, 9, 1),
        ends_on=date(2026, 4, 30),
    )
    assert list(find_games(cast.admin, season=game.season)) == [game]
    assert not find_games(cast.admin, season=other).exists()


def test_a_game_is_unobserved_until_somebody_is_sent_who_is_not_called_back(
    cast: Cast, game: Game, next_game: Game
) -> None:
    send(cast, game, cast.observer)
    assert list(find_games(cast.admin, season=None, unobserved=True)) == [next_game]
    observation = game.observations.get()
    close_observation(observation=observation, reason="Ill", by=cast.admin, now=NOW)
    cancel_game(game=next_game, reason="Snow", by=cast.admin, now=NOW)
    assert list(find_games(cast.admin, season=None, unobserved=True)) == [game]


def test_a_page_of_games_takes_the_same_few_queries_whatever_its_length(
    cast: Cast, season: Season, django_assert_max_num_queries: DjangoAssertNumQueries
) -> None:
    for days in range(6):
        plays_at = GAME_AT + timedelta(days=days)
        game = game_with(season, cast.official, cast.other_official, plays_at=plays_at)
        send(cast, game, cast.observer)
    with django_assert_max_num_queries(3):
        rows = [
            ([str(c.official) for c in game.crew.all()], [str(o.observer) for o in watchers(game)])
            for game in find_games(cast.admin, season=season)
        ]
    assert rows == 6 * [(["Nico Vale", "Mara Odell"], ["Orla Finch"])]


def test_a_season_counts_the_games_that_are_on(cast: Cast, game: Game, next_game: Game) -> None:
    cancel_game(game=next_game, reason="Snow", by=cast.admin, now=NOW)
    assert [(s.name, vars(s)["games_on"]) for s in season_list(cast.admin)] == [("2026–27", 1)]
    assert not season_list(cast.other_admin).exists()
