"""Who can be sent to a game, and what stands in the way of others."""

from __future__ import annotations

from datetime import date, timedelta

import pytest
from pytest_django import DjangoAssertNumQueries

from accounts.models import Conflict, Role
from evaluations.core.games import Kind
from evaluations.models import Game, Season
from evaluations.queries.assignments import assigned, candidates
from evaluations.services.games import move_game
from evaluations.services.observations import assign_observer, close_observation
from tests.factories.accounts import NOW, Cast, member
from tests.factories.evaluations import (
    GAME_AT,
    game_with,
    open_observation,
    published_rubric,
    season_of,
)


@pytest.fixture
def season(cast: Cast) -> Season:
    return season_of(cast.association)


@pytest.fixture
def game(cast: Cast, season: Season) -> Game:
    return game_with(season, cast.official, cast.observer_and_official)


def send(cast: Cast, game: Game) -> None:
    assign_observer(game=game, observer=cast.observer, kind=Kind.SCORED, by=cast.admin, now=NOW)


def test_every_observer_is_listed_with_what_is_in_the_way(cast: Cast, game: Game) -> None:
    send(cast, game)
    Conflict.objects.create(observer=cast.other_observer, official=cast.official, declared_at=NOW)
    member(cast.association, "Lars Penn", Role.OBSERVER, cleared_until=date(2026, 11, 9))
    member(cast.association, "Yara Holt", Role.OBSERVER)
    found = {str(c.observer): c.obstacle for c in candidates(cast.admin, game)}
    assert found == {
        "Lars Penn": "is not cleared for Nov. 10, 2026",
        "Orla Finch": "is assigned to this game already",
        "Otis Quill": "is in declared conflict with Nico Vale",
        "Tess Rowan": "belongs to this crew",
        "Yara Holt": "",
    }


def test_observers_are_listed_with_the_games_they_were_sent_to(
    cast: Cast, season: Season, game: Game
) -> None:
    for days in (1, 2):
        plays_at = GAME_AT + timedelta(days=days)
        send(cast, game_with(season, cast.official, cast.other_official, plays_at=plays_at))
    closed = game_with(
        season, cast.official, cast.other_official, plays_at=GAME_AT + timedelta(days=3)
    )
    send(cast, closed)
    close_observation(observation=closed.observations.get(), reason="Ill", by=cast.admin, now=NOW)
    sent = {str(c.observer): c.sent for c in candidates(cast.admin, game)}
    assert sent == {"Orla Finch": 2, "Otis Quill": 0, "Tess Rowan": 0}


def test_instead_of_an_unopened_observation_its_own_observer_may_be_sent(
    cast: Cast, season: Season, game: Game
) -> None:
    rubric = published_rubric(season, cast.admin)
    send(cast, game)
    unopened = game.observations.get()

    def obstacle() -> str:
        found = candidates(cast.admin, game, instead_of=unopened)
        return next(c.obstacle for c in found if c.observer == cast.observer)

    assert obstacle() == ""
    unopened.opened_at, unopened.rubric = GAME_AT, rubric
    unopened.save()
    assert obstacle() == "is assigned to this game already"


def test_the_list_of_observers_takes_the_same_few_queries_whatever_its_length(
    cast: Cast, game: Game, django_assert_max_num_queries: DjangoAssertNumQueries
) -> None:
    for number in range(12):
        member(cast.association, f"Observer {number:02}", Role.OBSERVER)
    with django_assert_max_num_queries(4):
        assert len(candidates(cast.admin, game)) == 15


def test_an_assigned_observer_who_became_unfit_is_marked(cast: Cast, game: Game) -> None:
    cast.observer.cleared_until = date(2026, 11, 10)
    cast.observer.save()
    send(cast, game)
    move_game(game=game, plays_at=GAME_AT + timedelta(days=1), by=cast.admin, now=NOW)
    game.refresh_from_db()
    assert [row.obstacle for row in assigned(game)] == ["is not cleared for Nov. 11, 2026"]


def test_an_assigned_observation_counts_its_forms(cast: Cast, season: Season, game: Game) -> None:
    observation = open_observation(game, cast.observer, published_rubric(season, cast.admin))
    (row,) = assigned(game)
    assert (row.sent, row.forms, row.stays) == (0, 2, False)
    first, second = observation.evaluations.all()
    observation.evaluations.filter(pk=first.pk).update(state="submitted")
    observation.evaluations.filter(pk=second.pk).update(state="returned", returned_note="Where?")
    (row,) = assigned(game)
    assert (row.sent, row.forms, row.stays) == (1, 2, True)
