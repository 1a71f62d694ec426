"""Observations: who may be sent, what opening fixes, facts, closing and reassigning."""

from __future__ import annotations

from datetime import date, datetime, timedelta
from typing import Any

import pytest

from accounts.models import AuditEntry, Conflict, Membership, Role
from evaluations.core.games import Difficulty, Kind, Seen, Talk
from evaluations.models import Game, Observation, Rating, Rubric, Season
from evaluations.services.errors import Refused
from evaluations.services.games import cancel_game
from evaluations.services.observations import (
    assign_observer,
    change_facts,
    close_observation,
    open_observation,
    reassign_observer,
    reopen_observation,
)
from tests.factories.accounts import NOW, Cast, member
from tests.factories.evaluations import (
    GAME_AT,
    game_with,
    published_rubric,
    season_of,
)
from tests.factories.evaluations import open_observation as opened_observation

THAT_NIGHT = GAME_AT + timedelta(hours=3)


@pytest.fixture
def season(cast: Cast) -> Season:
    return season_of(cast.association)


@pytest.fixture
def rubric(cast: Cast, season: Season) -> Rubric:
    return published_rubric(season, cast.admin)


@pytest.fixture
def game(cast: Cast, season: Season) -> Game:
    return game_with(season, cast.official, cast.other_official)


def send(
    cast: Cast, game: Game, observer: Membership, kind: Kind = Kind.SCORED, now: datetime = NOW
) -> Observation:
    return assign_observer(game=game, observer=observer, kind=kind, by=cast.admin, now=now)


def say(observation: Observation, by: Membership, **facts: Any) -> Observation:
    said: dict[str, Any] = {
        "seen": Seen.WHOLE,
        "part": "",
        "difficulty": Difficulty.ORDINARY,
        "talk": None,
        "raised": "",
        "note_to_admin": "",
        **facts,
    }
    return change_facts(observation=observation, by=by, now=THAT_NIGHT, **said)


# --- Assigning -----------------------------------------------------------------------------------
def test_an_observer_is_sent_and_the_form_is_due_two_days_after_the_game(
    cast: Cast, game: Game
) -> None:
    observation = send(cast, game, cast.observer, Kind.COACHING)
    assert (observation.observer, observation.kind) == (cast.observer, Kind.COACHING)
    assert (observation.assigned_at, observation.due_at) == (NOW, GAME_AT + timedelta(hours=48))
    assert AuditEntry.objects.get(action="observation.assigned").details == {
        "observer": cast.observer.pk,
        "kind": "coaching",
    }


def test_a_form_from_film_is_due_two_days_after_the_assignment(cast: Cast, game: Game) -> None:
    later = GAME_AT + timedelta(days=5)
    assert send(cast, game, cast.observer, now=later).due_at == later + timedelta(hours=48)


def test_nobody_observes_the_own_crew(cast: Cast, season: Season) -> None:
    game = game_with(season, cast.official, cast.observer_and_official)
    with pytest.raises(Refused, match="Tess Rowan belongs to this crew"):
        send(cast, game, cast.observer_and_official)


def test_nobody_observes_a_crew_in_conflict(cast: Cast, game: Game) -> None:
    Conflict.objects.create(observer=cast.observer, official=cast.official, declared_at=NOW)
    with pytest.raises(Refused, match="in declared conflict with Nico Vale"):
        send(cast, game, cast.observer)


def test_a_conflict_holds_both_ways(cast: Cast, season: Season) -> None:
    """Tess declared one with Robin, who observes as well and now would rate Tess."""
    robin = member(cast.association, "Robin Ames", Role.OBSERVER, Role.OFFICIAL)
    Conflict.objects.create(observer=cast.observer_and_official, official=robin, declared_at=NOW)
    game = game_with(season, cast.official, cast.observer_and_official)
    with pytest.raises(Refused, match="in declared conflict with Tess Rowan"):
        send(cast, game, robin)


def test_a_lapsed_clearance_counts_on_the_games_day(cast: Cast, game: Game) -> None:
    cast.observer.cleared_until = date(2026, 11, 9)
    cast.observer.save()
    with pytest.raises(Refused, match="is not cleared for"):
        send(cast, game, cast.observer)
    cast.observer.cleared_until = date(2026, 11, 10)
    cast.observer.save()
    assert send(cast, game, cast.observer).pk


@pytest.mark.parametrize("who", ["official", "admin", "other_admin"])
def test_only_observers_of_the_association_are_sent(cast: Cast, season: Season, who: str) -> None:
    game = game_with(season, cast.other_official, cast.young_official)
    with pytest.raises(Refused, match="no active observer"):
        send(cast, game, getattr(cast, who))


def test_an_observer_whose_membership_ended_is_not_sent(cast: Cast, game: Game) -> None:
    cast.observer.active = False
    cast.observer.save()
    with pytest.raises(Refused, match="no active observer"):
        send(cast, game, cast.observer)


def test_an_observer_is_sent_to_a_game_once_and_two_may_be_sent(cast: Cast, game: Game) -> None:
    send(cast, game, cast.observer)
    send(cast, game, cast.other_observer)
    with pytest.raises(Refused, match="assigned to this game already"):
        send(cast, game, cast.observer)
    assert game.observations.count() == 2


def test_nobody_is_sent_to_a_cancelled_game(cast: Cast, game: Game) -> None:
    cancel_game(game=game, reason="Snow", by=cast.admin, now=NOW)
    with pytest.raises(Refused, match="The game is cancelled"):
        send(cast, game, cast.observer)


# --- Opening -------------------------------------------------------------------------------------
def test_opening_fixes_the_rubric_and_begins_a_form_for_each_of_the_crew(
    cast: Cast, game: Game, rubric: Rubric
) -> None:
    sent = send(cast, game, cast.observer)
    observation = open_observation(observation=sent, by=cast.observer, now=THAT_NIGHT)
    assert (observation.rubric, observation.opened_at) == (rubric, THAT_NIGHT)
    forms = {(e.official, e.position, e.kind, e.state) for e in observation.evaluations.all()}
    assert forms == {
        (cast.official, "referee", "scored", "draft"),
        (cast.other_official, "umpire", "scored", "draft"),
    }


def test_opening_twice_changes_nothing(cast: Cast, game: Game, rubric: Rubric) -> None:
    sent = send(cast, game, cast.observer)
    open_observation(observation=sent, by=cast.observer, now=THAT_NIGHT)
    again = open_observation(
        observation=sent, by=cast.observer, now=THAT_NIGHT + timedelta(hours=1)
    )
    assert again.opened_at == THAT_NIGHT
    assert again.evaluations.count() == 2
    assert AuditEntry.objects.filter(action="observation.opened").count() == 1


def test_an_observation_opens_a_day_before_the_game(cast: Cast, game: Game, rubric: Rubric) -> None:
    sent = send(cast, game, cast.observer)
    day_before = GAME_AT - timedelta(days=1)
    with pytest.raises(Refused, match="a day before the game"):
        open_observation(observation=sent, by=cast.observer, now=day_before - timedelta(minutes=1))
    assert open_observation(observation=sent, by=cast.observer, now=day_before).opened_at


def test_without_a_published_rubric_nothing_opens(cast: Cast, game: Game) -> None:
    sent = send(cast, game, cast.observer)
    with pytest.raises(Refused, match="An admin must publish one first"):
        open_observation(observation=sent, by=cast.observer, now=THAT_NIGHT)
    sent.refresh_from_db()
    assert (sent.opened_at, sent.evaluations.count()) == (None, 0)


def test_a_game_played_before_the_rubric_was_published_is_coaching(
    cast: Cast, game: Game, rubric: Rubric
) -> None:
    Rubric.objects.update(published_at=GAME_AT + timedelta(hours=1))
    sent = send(cast, game, cast.observer)
    observation = open_observation(observation=sent, by=cast.observer, now=THAT_NIGHT)
    assert observation.kind == Kind.COACHING
    assert set(observation.evaluations.values_list("kind", flat=True)) == {"coaching"}


def test_the_edition_that_held_on_the_games_day_counts(
    cast: Cast, game: Game, rubric: Rubric, season: Season
) -> None:
    Rubric.objects.create(
        season=season,
        edition=2,
        state="published",
        proposed_by=cast.admin,
        approved_by=cast.second_admin,
        published_at=GAME_AT + timedelta(days=1),
    )
    sent = send(cast, game, cast.observer)
    observation = open_observation(
        observation=sent, by=cast.observer, now=GAME_AT + timedelta(days=2)
    )
    assert (observation.rubric, observation.kind) == (rubric, Kind.SCORED)


def test_a_new_officials_first_two_forms_are_coaching(
    cast: Cast, season: Season, rubric: Rubric
) -> None:
    newcomer = member(cast.association, "Ines Calder", Role.OFFICIAL, new_official=True)
    kinds = []
    for days in range(3):
        plays_at = GAME_AT + timedelta(days=days)
        game = game_with(season, cast.official, newcomer, plays_at=plays_at)
        observation = opened_observation(game, cast.observer, rubric)
        kinds.append({e.official: e.kind for e in observation.evaluations.all()})
    assert [k[newcomer] for k in kinds] == ["coaching", "coaching", "scored"]
    assert [k[cast.official] for k in kinds] == ["scored", "scored", "scored"]


def test_an_official_under_18_is_observed_like_any_other(
    cast: Cast, season: Season, rubric: Rubric
) -> None:
    """Only the letter has no total."""
    game = game_with(season, cast.official, cast.young_official)
    observation = opened_observation(game, cast.observer, rubric)
    assert observation.evaluations.get(official=cast.young_official).kind == "scored"


def test_a_conflict_declared_later_keeps_the_observation_shut(
    cast: Cast, game: Game, rubric: Rubric
) -> None:
    sent = send(cast, game, cast.observer)
    Conflict.objects.create(observer=cast.observer, official=cast.official, declared_at=NOW)
    with pytest.raises(Refused, match="in declared conflict with Nico Vale"):
        open_observation(observation=sent, by=cast.observer, now=THAT_NIGHT)


def test_only_who_was_sent_opens_it(cast: Cast, game: Game, rubric: Rubric) -> None:
    sent = send(cast, game, cast.observer)
    for somebody in (cast.other_observer, cast.admin):
        with pytest.raises(Refused, match="Only the observer who was sent"):
            open_observation(observation=sent, by=somebody, now=THAT_NIGHT)


# --- Facts ---------------------------------------------------------------------------------------
def test_an_observer_says_what_was_seen_and_raised(cast: Cast, game: Game, rubric: Rubric) -> None:
    observation = opened_observation(game, cast.observer, rubric)
    said = say(
        observation,
        cast.observer,
        seen=Seen.PART,
        part=" second half ",
        difficulty=Difficulty.DEMANDING,
        talk=Talk.HELD,
        raised="The long switch.",
        note_to_admin="The gym was dark.",
    )
    assert (said.seen, said.part, said.difficulty) == ("part", "second half", "demanding")
    assert (said.talk, said.raised, said.note_to_admin) == (
        "held",
        "The long switch.",
        "The gym was dark.",
    )


def test_a_part_is_named_and_forgotten_with_the_whole_game(
    cast: Cast, game: Game, rubric: Rubric
) -> None:
    observation = opened_observation(game, cast.observer, rubric)
    with pytest.raises(Refused, match="which part"):
        say(observation, cast.observer, seen=Seen.PART, part=" ")
    assert say(observation, cast.observer, seen=Seen.WHOLE, part="second half").part == ""


@pytest.mark.parametrize("talk", [Talk.DECLINED, Talk.IMPOSSIBLE])
def test_without_a_talk_nothing_was_raised(
    cast: Cast, game: Game, rubric: Rubric, talk: Talk
) -> None:
    observation = opened_observation(game, cast.observer, rubric)
    with pytest.raises(Refused, match="Without a talk nothing was raised"):
        say(observation, cast.observer, talk=talk, raised="The long switch.")


def test_facts_need_an_open_observation_of_ones_own(cast: Cast, game: Game, rubric: Rubric) -> None:
    sent = send(cast, game, cast.observer)
    with pytest.raises(Refused, match="Open the observation first"):
        say(sent, cast.observer)
    with pytest.raises(Refused, match="Only the observer who was sent"):
        say(sent, cast.admin)


def test_facts_stay_once_every_form_is_submitted_and_open_with_a_return(
    cast: Cast, game: Game, rubric: Rubric
) -> None:
    observation = opened_observation(game, cast.observer, rubric)
    observation.evaluations.update(state="submitted")
    with pytest.raises(Refused, match="so that its facts stay"):
        say(observation, cast.observer)
    observation.evaluations.filter(official=cast.official).update(
        state="returned", returned_note="Which half was it?"
    )
    assert say(observation, cast.observer, difficulty=Difficulty.ROUTINE).difficulty == "routine"


# --- Closing and reassigning ---------------------------------------------------------------------
def test_a_closed_observation_names_the_reason_and_opens_again_as_it_was(
    cast: Cast, game: Game, rubric: Rubric
) -> None:
    observation = opened_observation(game, cast.observer, rubric)
    closed = close_observation(observation=observation, reason="Ill", by=cast.admin, now=THAT_NIGHT)
    assert (closed.closed_at, closed.closed_reason) == (THAT_NIGHT, "Ill")
    with pytest.raises(Refused, match="closed: Ill"):
        say(observation, cast.observer)
    again = reopen_observation(observation=observation, by=cast.admin, now=THAT_NIGHT)
    assert (again.closed_at, again.closed_reason, again.evaluations.count()) == (None, "", 2)


def test_closing_needs_a_reason_and_something_open(cast: Cast, game: Game, rubric: Rubric) -> None:
    observation = opened_observation(game, cast.observer, rubric)
    with pytest.raises(Refused, match="Say why"):
        close_observation(observation=observation, reason=" ", by=cast.admin, now=THAT_NIGHT)
    observation.evaluations.update(state="submitted")
    with pytest.raises(Refused, match="nothing to close"):
        close_observation(observation=observation, reason="Ill", by=cast.admin, now=THAT_NIGHT)


def test_an_observation_of_a_cancelled_game_is_not_opened_again(cast: Cast, game: Game) -> None:
    sent = send(cast, game, cast.observer)
    cancel_game(game=game, reason="Snow", by=cast.admin, now=NOW)
    with pytest.raises(Refused, match="The game is cancelled"):
        reopen_observation(observation=sent, by=cast.admin, now=NOW)


def test_another_observer_begins_with_nothing_of_the_first_ones(
    cast: Cast, game: Game, rubric: Rubric
) -> None:
    observation = opened_observation(game, cast.observer, rubric)
    say(observation, cast.observer, talk=Talk.HELD, raised="The switch", note_to_admin="Dark gym")
    form = observation.evaluations.get(official=cast.official)
    criterion = rubric.areas.get(order=1).criteria.get(order=1)
    Rating.objects.create(evaluation=form, criterion=criterion, level=2)
    later = GAME_AT + timedelta(days=3)
    given = reassign_observer(
        observation=observation,
        observer=cast.other_observer,
        kind=Kind.SCORED,
        by=cast.admin,
        now=later,
    )
    given.refresh_from_db()
    assert given.observer == cast.other_observer
    assert (given.opened_at, given.rubric, given.evaluations.count()) == (None, None, 0)
    assert (given.talk, given.raised, given.note_to_admin) == ("", "", "")
    assert given.due_at == later + timedelta(hours=48)
    assert not Rating.objects.exists()
    reopened = open_observation(observation=given, by=cast.other_observer, now=later)
    assert reopened.evaluations.count() == 2


def test_what_is_submitted_keeps_its_observer(cast: Cast, game: Game, rubric: Rubric) -> None:
    observation = opened_observation(game, cast.observer, rubric)
    observation.evaluations.filter(official=cast.official).update(state="submitted")
    with pytest.raises(Refused, match="was submitted"):
        reassign_observer(
            observation=observation,
            observer=cast.other_observer,
            kind=Kind.SCORED,
            by=cast.admin,
            now=THAT_NIGHT,
        )
    assert observation.evaluations.count() == 2


def test_the_kind_may_change_for_the_same_observer_until_it_is_opened(
    cast: Cast, game: Game, rubric: Rubric
) -> None:
    sent = send(cast, game, cast.observer, Kind.COACHING)

    def make_scored() -> Observation:
        return reassign_observer(
            observation=sent,
            observer=cast.observer,
            kind=Kind.SCORED,
            by=cast.admin,
            now=THAT_NIGHT,
        )

    assert make_scored().kind == Kind.SCORED
    open_observation(observation=sent, by=cast.observer, now=THAT_NIGHT)
    with pytest.raises(Refused, match="opened the observation already"):
        make_scored()


def test_the_second_observer_of_a_game_does_not_take_over_the_first_ones_place(
    cast: Cast, game: Game
) -> None:
    first = send(cast, game, cast.observer)
    send(cast, game, cast.other_observer)
    with pytest.raises(Refused, match="assigned to this game already"):
        reassign_observer(
            observation=first,
            observer=cast.other_observer,
            kind=Kind.SCORED,
            by=cast.admin,
            now=NOW,
        )


def test_an_admin_does_not_decide_about_observations_of_the_own_crew(
    cast: Cast, season: Season
) -> None:
    playing_admin = member(cast.association, "Lena Marsh", Role.ADMIN, Role.OFFICIAL)
    sent = send(cast, game_with(season, cast.official, playing_admin), cast.observer)
    with pytest.raises(Refused, match="another admin must do this"):
        close_observation(observation=sent, reason="Ill", by=playing_admin, now=NOW)
    with pytest.raises(Refused, match="another admin must do this"):
        reassign_observer(
            observation=sent,
            observer=cast.other_observer,
            kind=Kind.SCORED,
            by=playing_admin,
            now=NOW,
        )
