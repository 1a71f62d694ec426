"""Games: what a crew is, and what moving, cancelling and changing the crew do to observations."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta

import pytest

from accounts.models import AuditEntry, Conflict, Membership
from evaluations.core.games import CrewPosition, Kind
from evaluations.models import Evaluation, Game, Observation, Rating, Rubric, Season
from evaluations.services.errors import Refused
from evaluations.services.games import (
    Crew,
    cancel_game,
    change_crew,
    change_game,
    enter_game,
    move_game,
    restore_game,
)
from evaluations.services.observations import assign_observer
from tests.factories.accounts import NOW, Cast
from tests.factories.evaluations import (
    GAME_AT,
    game_with,
    open_observation,
    published_rubric,
    season_of,
)

REFEREE, UMPIRE = CrewPosition.REFEREE, CrewPosition.UMPIRE
UMPIRE_1, UMPIRE_2 = CrewPosition.UMPIRE_1, CrewPosition.UMPIRE_2
A_WEEK_LATER = GAME_AT + timedelta(days=7)


@pytest.fixture
def season(cast: Cast) -> Season:
    return season_of(cast.association)


@pytest.fixture
def rubric(cast: Cast, season: Season) -> Rubric:
    return published_rubric(season, cast.admin)


@pytest.fixture
def game(cast: Cast, season: Season) -> Game:
    return game_with(season, cast.official, cast.other_official)


def enter(cast: Cast, season: Season, crew: Crew, plays_at: datetime = GAME_AT) -> Game:
    return enter_game(
        season=season,
        plays_at=plays_at,
        level_of_play="Varsity",
        home="Herons",
        visitors="Millstone",
        site="Harbor Gym",
        crew=crew,
        by=cast.admin,
        now=NOW,
    )


def seats(game: Game) -> dict[str, str]:
    return {c.position: str(c.official) for c in game.crew.select_related("official__user")}


def send(cast: Cast, game: Game, observer: Membership | None = None) -> Observation:
    return assign_observer(
        game=game, observer=observer or cast.observer, kind=Kind.SCORED, by=cast.admin, now=NOW
    )


def write_something(evaluation: Evaluation) -> None:
    assert evaluation.observation.rubric
    criterion = evaluation.observation.rubric.areas.get(order=1).criteria.get(order=1)
    Rating.objects.create(evaluation=evaluation, criterion=criterion, level=3)


# --- Entering ------------------------------------------------------------------------------------
def test_two_officials_are_a_crew_of_two(cast: Cast, season: Season) -> None:
    game = enter(cast, season, {REFEREE: cast.official, UMPIRE: cast.other_official})
    assert game.crew_size == 2
    assert seats(game) == {"referee": "Nico Vale", "umpire": "Mara Odell"}
    assert AuditEntry.objects.get(action="game.entered").details["crew"] == {
        "referee": cast.official.pk,
        "umpire": cast.other_official.pk,
    }


def test_three_officials_are_a_crew_of_three(cast: Cast, season: Season) -> None:
    crew = {
        REFEREE: cast.official,
        UMPIRE_1: cast.other_official,
        UMPIRE_2: cast.young_official,
    }
    game = enter(cast, season, crew)
    assert game.crew_size == 3
    assert seats(game) == {
        "referee": "Nico Vale",
        "umpire_1": "Mara Odell",
        "umpire_2": "Kit Larkin",
    }


def test_what_is_no_crew_is_refused(cast: Cast, season: Season) -> None:
    nico, mara = cast.official, cast.other_official
    for crew in ({REFEREE: nico}, {UMPIRE: nico}, {REFEREE: nico, UMPIRE_2: mara}, {}):
        with pytest.raises(Refused, match="A crew is a referee and an umpire"):
            enter(cast, season, crew)
    with pytest.raises(Refused, match="in the crew twice"):
        enter(cast, season, {REFEREE: nico, UMPIRE: nico})
    assert not Game.objects.exists()


@pytest.mark.parametrize("who", ["observer", "former_official", "other_official_elsewhere"])
def test_only_active_officials_of_the_association_officiate(
    cast: Cast, season: Season, who: str
) -> None:
    with pytest.raises(Refused, match="no active official"):
        enter(cast, season, {REFEREE: cast.official, UMPIRE: getattr(cast, who)})


def test_a_game_lies_within_its_season_by_the_calendar_of_the_place(
    cast: Cast, season: Season
) -> None:
    crew = {REFEREE: cast.official, UMPIRE: cast.other_official}
    # The evening of April 30 in Chicago is May 1 in UTC.
    enter(cast, season, crew, plays_at=datetime(2027, 5, 1, 2, tzinfo=UTC))
    with pytest.raises(Refused, match="Choose a day within it"):
        enter(cast, season, crew, plays_at=datetime(2027, 5, 1, 12, tzinfo=UTC))


# --- Changing and moving -------------------------------------------------------------------------
def test_what_a_game_is_called_can_be_corrected(cast: Cast, game: Game) -> None:
    change_game(
        game=game,
        level_of_play="Junior varsity",
        home="Herons B",
        visitors="Millstone B",
        site="Old Gym",
        by=cast.admin,
        now=NOW,
    )
    game.refresh_from_db()
    assert (str(game), game.site, game.level_of_play) == (
        "Herons B – Millstone B",
        "Old Gym",
        "Junior varsity",
    )


def test_a_moved_game_keeps_the_time_before_and_moves_what_is_due(cast: Cast, game: Game) -> None:
    observation = send(cast, game)
    assert observation.due_at == GAME_AT + timedelta(hours=48)
    moved = move_game(game=game, plays_at=A_WEEK_LATER, by=cast.admin, now=NOW)
    observation.refresh_from_db()
    assert (moved.plays_at, moved.moved_from) == (A_WEEK_LATER, GAME_AT)
    assert observation.due_at == A_WEEK_LATER + timedelta(hours=48)


def test_what_is_submitted_is_not_due_anew(cast: Cast, game: Game, rubric: Rubric) -> None:
    observation = open_observation(game, cast.observer, rubric)
    observation.evaluations.filter(official=cast.official).update(state="submitted")
    move_game(game=game, plays_at=A_WEEK_LATER, by=cast.admin, now=NOW)
    observation.refresh_from_db()
    assert observation.due_at == GAME_AT + timedelta(hours=48)


def test_a_game_is_not_moved_to_where_it_is_nor_out_of_its_season(cast: Cast, game: Game) -> None:
    with pytest.raises(Refused, match="at this time already"):
        move_game(game=game, plays_at=GAME_AT, by=cast.admin, now=NOW)
    with pytest.raises(Refused, match="Choose a day within it"):
        move_game(game=game, plays_at=GAME_AT + timedelta(days=365), by=cast.admin, now=NOW)
    game.refresh_from_db()
    assert (game.plays_at, game.moved_from) == (GAME_AT, None)


# --- The crew ------------------------------------------------------------------------------------
def test_an_empty_form_goes_and_one_comes_with_the_crew(
    cast: Cast, game: Game, rubric: Rubric
) -> None:
    observation = open_observation(game, cast.observer, rubric)
    crew = {REFEREE: cast.other_official, UMPIRE: cast.young_official}
    change_crew(game=game, crew=crew, by=cast.admin, now=NOW)
    forms = {e.official: e.position for e in observation.evaluations.all()}
    assert forms == {cast.other_official: "referee", cast.young_official: "umpire"}
    assert seats(game) == {"referee": "Mara Odell", "umpire": "Kit Larkin"}


def test_a_crew_of_two_becomes_one_of_three(cast: Cast, game: Game, rubric: Rubric) -> None:
    observation = open_observation(game, cast.observer, rubric)
    kept = observation.evaluations.get(official=cast.official)
    write_something(kept)
    crew = {
        REFEREE: cast.official,
        UMPIRE_1: cast.other_official,
        UMPIRE_2: cast.young_official,
    }
    change_crew(game=game, crew=crew, by=cast.admin, now=NOW)
    game.refresh_from_db()
    kept.refresh_from_db()
    assert game.crew_size == 3
    assert observation.evaluations.count() == 3
    assert kept.ratings.count() == 1


@pytest.mark.parametrize(
    "words",
    [
        {"comment": "late on the switch"},
        {"evidence": "stood at the table"},
        {"not_seen": True},
        {"level": 1},
        {"dead_ball": 4},
        {"reason": "Six of them were close."},
    ],
)
def test_nobody_leaves_a_crew_once_something_is_written(
    cast: Cast, game: Game, rubric: Rubric, words: dict[str, str | int | bool]
) -> None:
    observation = open_observation(game, cast.observer, rubric)
    form = observation.evaluations.get(official=cast.official)
    criterion = rubric.areas.get(order=1).criteria.get(order=1)
    Rating.objects.create(evaluation=form, criterion=criterion, **words)
    crew = {REFEREE: cast.young_official, UMPIRE: cast.other_official}
    with pytest.raises(Refused, match="Something is written about Nico Vale"):
        change_crew(game=game, crew=crew, by=cast.admin, now=NOW)
    assert seats(game) == {"referee": "Nico Vale", "umpire": "Mara Odell"}
    assert observation.evaluations.count() == 2


def test_a_touched_and_emptied_answer_is_nothing_written(
    cast: Cast, game: Game, rubric: Rubric
) -> None:
    observation = open_observation(game, cast.observer, rubric)
    form = observation.evaluations.get(official=cast.official)
    criterion = rubric.areas.get(order=1).criteria.get(order=1)
    Rating.objects.create(evaluation=form, criterion=criterion)
    crew = {REFEREE: cast.young_official, UMPIRE: cast.other_official}
    change_crew(game=game, crew=crew, by=cast.admin, now=NOW)
    assert not observation.evaluations.filter(official=cast.official).exists()


def test_an_observer_of_the_game_does_not_join_its_crew(cast: Cast, game: Game) -> None:
    send(cast, game, cast.observer_and_official)
    crew = {REFEREE: cast.official, UMPIRE: cast.observer_and_official}
    with pytest.raises(Refused, match=r"Tess Rowan.* belongs to this crew"):
        change_crew(game=game, crew=crew, by=cast.admin, now=NOW)
    assert seats(game) == {"referee": "Nico Vale", "umpire": "Mara Odell"}


def test_nobody_joins_a_crew_whose_observer_is_in_conflict(cast: Cast, game: Game) -> None:
    send(cast, game)
    Conflict.objects.create(observer=cast.observer, official=cast.young_official, declared_at=NOW)
    crew = {REFEREE: cast.official, UMPIRE: cast.young_official}
    with pytest.raises(Refused, match="in declared conflict with Kit Larkin"):
        change_crew(game=game, crew=crew, by=cast.admin, now=NOW)


def test_who_has_left_the_association_may_stay_in_an_old_crew(cast: Cast, game: Game) -> None:
    cast.official.active = False
    cast.official.save()
    crew = {REFEREE: cast.official, UMPIRE: cast.young_official}
    change_crew(game=game, crew=crew, by=cast.admin, now=NOW)
    assert seats(game) == {"referee": "Nico Vale", "umpire": "Kit Larkin"}


# --- Cancelling ----------------------------------------------------------------------------------
def test_a_cancelled_game_closes_what_is_not_submitted(
    cast: Cast, game: Game, rubric: Rubric
) -> None:
    sent = open_observation(game, cast.observer, rubric)
    sent.evaluations.filter(official=cast.official).update(state="submitted")
    waiting = send(cast, game, cast.other_observer)
    cancel_game(game=game, reason="Snow", by=cast.admin, now=NOW)
    sent.refresh_from_db()
    waiting.refresh_from_db()
    assert sent.closed_at is None
    assert (waiting.closed_at, waiting.closed_reason) == (NOW, "Snow")


def test_a_restored_game_opens_what_was_closed_with_it_and_nothing_else(
    cast: Cast, game: Game
) -> None:
    waiting = send(cast, game)
    earlier = send(cast, game, cast.other_observer)
    before = NOW - timedelta(days=1)
    Observation.objects.filter(pk=earlier.pk).update(closed_at=before, closed_reason="Ill")
    cancel_game(game=game, reason="Snow", by=cast.admin, now=NOW)
    restored = restore_game(game=game, by=cast.admin, now=NOW + timedelta(hours=1))
    waiting.refresh_from_db()
    earlier.refresh_from_db()
    assert restored.cancelled_at is None
    assert (waiting.closed_at, waiting.closed_reason) == (None, "")
    assert (earlier.closed_at, earlier.closed_reason) == (before, "Ill")


def test_a_cancelled_game_is_left_alone(cast: Cast, game: Game) -> None:
    cancel_game(game=game, reason="Snow", by=cast.admin, now=NOW)
    with pytest.raises(Refused, match="The game is cancelled"):
        move_game(game=game, plays_at=A_WEEK_LATER, by=cast.admin, now=NOW)
    crew = {REFEREE: cast.official, UMPIRE: cast.young_official}
    with pytest.raises(Refused, match="The game is cancelled"):
        change_crew(game=game, crew=crew, by=cast.admin, now=NOW)
    with pytest.raises(Refused, match="The game is cancelled"):
        cancel_game(game=game, reason="Snow again", by=cast.admin, now=NOW)


def test_cancelling_names_a_reason_and_restoring_needs_a_cancelled_game(
    cast: Cast, game: Game
) -> None:
    with pytest.raises(Refused, match="Say why"):
        cancel_game(game=game, reason="  ", by=cast.admin, now=NOW)
    with pytest.raises(Refused, match="isn't cancelled"):
        restore_game(game=game, by=cast.admin, now=NOW)
