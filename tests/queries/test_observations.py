"""Who sees which observation, and what comes next in it."""

from __future__ import annotations

from datetime import timedelta

import pytest
from pytest_django import DjangoAssertNumQueries

from accounts.models import Role
from evaluations.core.games import Kind
from evaluations.models import Game, Observation, Rating, Rubric, Season
from evaluations.queries.observations import (
    Step,
    names_in,
    observation_sheet,
    observations_for,
    own_observations,
)
from evaluations.services.games import cancel_game
from evaluations.services.observations import assign_observer, close_observation
from evaluations.services.observations import open_observation as open_assigned
from tests.factories.accounts import NOW, Cast, member
from tests.factories.evaluations import (
    GAME_AT,
    game_with,
    open_observation,
    published_rubric,
    season_of,
)

THAT_NIGHT = GAME_AT + timedelta(hours=3)


@pytest.fixture
def season(cast: Cast) -> Season:
    return season_of(cast.association)


@pytest.fixture
def rubric(cast: Cast, season: Season) -> Rubric:
    return published_rubric(season, cast.admin)


@pytest.fixture
def game(cast: Cast, season: Season) -> Game:
    return game_with(season, cast.official, cast.young_official)


@pytest.fixture
def sent(cast: Cast, game: Game) -> Observation:
    return assign_observer(
        game=game, observer=cast.observer, kind=Kind.SCORED, by=cast.admin, now=NOW
    )


def test_an_observer_sees_the_own_observations_and_an_admin_all(
    cast: Cast, sent: Observation
) -> None:
    assert list(observations_for(cast.observer)) == [sent]
    assert list(observations_for(cast.admin)) == [sent]
    for who in (cast.other_observer, cast.official, cast.young_official, cast.board):
        assert not observations_for(who).exists()
    assert not observations_for(cast.other_admin).exists()


def test_an_admin_who_whistled_does_not_read_the_observation_of_that_crew(
    cast: Cast, season: Season
) -> None:
    playing_admin = member(cast.association, "Lena Marsh", Role.ADMIN, Role.OFFICIAL)
    game = game_with(season, cast.official, playing_admin)
    observation = assign_observer(
        game=game, observer=cast.observer, kind=Kind.SCORED, by=cast.admin, now=NOW
    )
    assert not observations_for(playing_admin).exists()
    assert list(observations_for(cast.second_admin)) == [observation]
    assert not own_observations(playing_admin).exists()


def test_what_comes_next_follows_the_observation(
    cast: Cast, sent: Observation, rubric: Rubric
) -> None:
    def step(hours: int) -> Step:
        sent.refresh_from_db()
        return observation_sheet(sent, cast.observer, GAME_AT + timedelta(hours=hours)).step

    assert (step(-25), step(-24)) == (Step.WAIT, Step.OPEN)
    open_assigned(observation=sent, by=cast.observer, now=GAME_AT - timedelta(hours=1))
    assert (step(-1), step(2)) == (Step.FORMS, Step.FACTS)
    Observation.objects.update(talk="held")
    assert step(2) == Step.FORMS
    sent.evaluations.update(state="submitted")
    assert step(2) == Step.SENT
    sent.evaluations.filter(official=cast.official).update(
        state="returned", returned_note="Which half?"
    )
    assert step(2) == Step.FORMS


def test_a_closed_observation_and_one_of_a_cancelled_game_have_nothing_next(
    cast: Cast, game: Game, sent: Observation
) -> None:
    closed = close_observation(observation=sent, reason="Ill", by=cast.admin, now=NOW)
    assert observation_sheet(closed, cast.admin, NOW).step == Step.CLOSED
    cancel_game(game=game, reason="Snow", by=cast.admin, now=NOW)
    sent.refresh_from_db()
    reread = observations_for(cast.admin).get()
    assert observation_sheet(reread, cast.admin, NOW).step == Step.CANCELLED


def test_a_sheet_says_how_far_each_form_is(cast: Cast, game: Game, rubric: Rubric) -> None:
    observation = open_observation(game, cast.observer, rubric)
    form = observation.evaluations.get(official=cast.official)
    first, second, third, *_rest = rubric.areas.get(order=1).criteria.all()
    Rating.objects.create(evaluation=form, criterion=first, level=3)
    Rating.objects.create(evaluation=form, criterion=second, not_seen=True)
    Rating.objects.create(evaluation=form, criterion=third, comment="late")
    sheet = observation_sheet(observation, cast.observer, THAT_NIGHT)
    assert sheet.criteria == 12
    assert [(str(w.member.official), w.answered, w.not_seen) for w in sheet.crew] == [
        ("Nico Vale", 2, 1),
        ("Kit Larkin", 0, 0),
    ]
    assert sheet.next_form == form
    assert (sheet.mine, sheet.can_close, sheet.can_reassign) == (True, True, True)


def test_a_submitted_form_ends_reassigning_and_the_last_one_closing(
    cast: Cast, game: Game, rubric: Rubric
) -> None:
    observation = open_observation(game, cast.observer, rubric)
    observation.evaluations.filter(official=cast.official).update(state="submitted")
    sheet = observation_sheet(observation, cast.admin, THAT_NIGHT)
    assert (sheet.mine, sheet.can_close, sheet.can_reassign) == (False, True, False)
    observation.evaluations.update(state="submitted")
    sheet = observation_sheet(observation, cast.admin, THAT_NIGHT)
    assert (sheet.can_close, sheet.can_reassign) == (False, False)


def test_officials_under_18_are_named_for_the_caution(
    cast: Cast, season: Season, sent: Observation
) -> None:
    assert observation_sheet(sent, cast.observer, NOW).young == ("Kit Larkin",)


def test_a_form_is_overdue_until_it_is_in(cast: Cast, game: Game, rubric: Rubric) -> None:
    observation = open_observation(game, cast.observer, rubric)
    due = observation.due_at
    assert not observation_sheet(observation, cast.observer, due).overdue
    assert observation_sheet(observation, cast.observer, due + timedelta(minutes=1)).overdue
    observation.evaluations.update(state="submitted")
    assert not observation_sheet(observation, cast.observer, due + timedelta(days=9)).overdue


def test_names_of_the_game_are_known_and_others_are_found(cast: Cast, sent: Observation) -> None:
    text = "Spoke with Nico Vale and Kit Larkin at the Harbor Gym about Jonas Weller."
    assert names_in(sent, text, "") == ("Jonas Weller",)
    assert names_in(sent, "Asked Orla Finch.", "The Herons led.") == ()


def test_a_sheet_takes_a_bounded_number_of_queries(
    cast: Cast,
    game: Game,
    rubric: Rubric,
    django_assert_max_num_queries: DjangoAssertNumQueries,
) -> None:
    open_observation(game, cast.observer, rubric)
    observation = observations_for(cast.observer).get()
    observation.raised = "The long switch."
    with django_assert_max_num_queries(6):
        observation_sheet(observation, cast.observer, THAT_NIGHT)
