"""The pages of observations: sending somebody, opening, the facts, closing, reassigning."""

from __future__ import annotations

from datetime import timedelta

import pytest
from django.test import Client
from django.urls import reverse
from pytest_django import DjangoAssertNumQueries

from accounts.models import Conflict, Role
from evaluations.core.games import Kind
from evaluations.models import Game, Observation, Rubric, Season
from evaluations.services.games import cancel_game
from evaluations.services.observations import assign_observer, close_observation
from tests.factories.accounts import NOW, Cast, member, signed_in
from tests.factories.evaluations import (
    GAME_AT,
    game_with,
    open_observation,
    published_rubric,
    season_of,
)

THAT_NIGHT = GAME_AT + timedelta(hours=3)
SAID = {
    "seen": "part",
    "part": "second half",
    "difficulty": "demanding",
    "talk": "held",
    "raised": "The long switch.",
    "note_to_admin": "The gym was dark.",
}


@pytest.fixture(autouse=True)
def clock(monkeypatch: pytest.MonkeyPatch) -> None:
    """It is the night after the game."""
    monkeypatch.setattr("django.utils.timezone.now", lambda: THAT_NIGHT)


@pytest.fixture
def season(cast: Cast) -> Season:
    return season_of(cast.association)


@pytest.fixture
def rubric(cast: Cast, season: Season) -> Rubric:
    return published_rubric(season, cast.admin)


@pytest.fixture
def game(cast: Cast, season: Season) -> Game:
    return game_with(season, cast.official, cast.other_official)


@pytest.fixture
def sent(cast: Cast, game: Game) -> Observation:
    return assign_observer(
        game=game, observer=cast.observer, kind=Kind.SCORED, by=cast.admin, now=NOW
    )


@pytest.fixture
def admin(cast: Cast) -> Client:
    return signed_in(cast.admin)


@pytest.fixture
def observer(cast: Cast) -> Client:
    return signed_in(cast.observer)


def address(cast: Cast, name: str, key: int) -> str:
    return reverse(f"evaluations:{name}", args=[cast.slug, key])


# --- Sending -------------------------------------------------------------------------------------
def test_an_admin_sends_an_observer_from_the_games_page(
    cast: Cast, admin: Client, game: Game
) -> None:
    answers = {"observer": cast.observer.pk, "kind": "coaching"}
    page = admin.post(address(cast, "observation_assign", game.pk), answers, follow=True)
    observation = Observation.objects.get()
    assert (observation.observer, observation.kind) == (cast.observer, "coaching")
    assert "Orla Finch is sent to this game." in page.text


def test_an_observer_who_cannot_be_sent_is_refused_with_the_reason_on_the_page(
    cast: Cast, admin: Client, game: Game
) -> None:
    Conflict.objects.create(observer=cast.observer, official=cast.official, declared_at=NOW)
    answers = {"observer": cast.observer.pk, "kind": "scored"}
    page = admin.post(address(cast, "observation_assign", game.pk), answers)
    assert page.context["form"].errors == {
        "observer": ["This observer can't be sent; the reason stands below."]
    }
    assert "is in declared conflict with Nico Vale" in page.text
    assert not Observation.objects.exists()


def test_nobody_is_sent_without_a_choice_nor_to_a_cancelled_game(
    cast: Cast, admin: Client, game: Game
) -> None:
    page = admin.post(address(cast, "observation_assign", game.pk), {"kind": "scored"})
    assert page.context["form"].errors == {"observer": ["Choose an observer."]}
    cancel_game(game=game, reason="Snow", by=cast.admin, now=NOW)
    answers = {"observer": cast.observer.pk, "kind": "scored"}
    page = admin.post(address(cast, "observation_assign", game.pk), answers)
    assert "The game is cancelled." in page.text
    assert not Observation.objects.exists()


# --- Opening -------------------------------------------------------------------------------------
def test_an_observer_opens_the_observation_and_is_led_to_the_facts(
    cast: Cast, observer: Client, sent: Observation, rubric: Rubric
) -> None:
    page = observer.get(address(cast, "observation", sent.pk))
    assert "Open the observation" in page.text and "edition 1" not in page.text
    page = observer.post(address(cast, "observation_open", sent.pk), follow=True)
    assert "2026–27, edition 1" in page.text
    assert "Say how the game and the talk went" in page.text
    assert page.text.count("0 of 12") == 2
    for form in sent.evaluations.all():
        assert reverse("evaluations:evaluation_form", args=[cast.slug, form.pk]) in page.text


def test_without_a_published_rubric_the_observer_is_told_who_acts_next(
    cast: Cast, observer: Client, sent: Observation
) -> None:
    page = observer.post(address(cast, "observation_open", sent.pk), follow=True)
    assert "An admin must publish one first." in page.text
    assert "Open the observation" in page.text


def test_before_the_day_the_page_says_from_when_it_opens(
    cast: Cast, observer: Client, sent: Observation, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("django.utils.timezone.now", lambda: NOW)
    page = observer.get(address(cast, "observation", sent.pk))
    assert "It can be opened from:" in page.text and "Mon Nov. 9, 2026, 1 p.m." in page.text
    assert address(cast, "observation_open", sent.pk) not in page.text


def test_the_talk_with_a_young_official_needs_another_adult_in_sight(
    cast: Cast, observer: Client, season: Season, sent: Observation
) -> None:
    page = observer.get(address(cast, "observation", sent.pk))
    assert "under 18" not in page.text
    game = game_with(season, cast.official, cast.young_official)
    young = assign_observer(
        game=game, observer=cast.observer, kind=Kind.SCORED, by=cast.admin, now=NOW
    )
    page = observer.get(address(cast, "observation", young.pk))
    assert "Have the talk with Kit Larkin in sight of another adult." in page.text
    assert "the guardian is told" in page.text


# --- Facts ---------------------------------------------------------------------------------------
def test_nothing_is_chosen_for_the_observer_and_all_is_kept(
    cast: Cast, observer: Client, sent: Observation, rubric: Rubric
) -> None:
    observer.post(address(cast, "observation_open", sent.pk))
    page = observer.get(address(cast, "observation_facts", sent.pk))
    assert " checked" not in page.text
    page = observer.post(address(cast, "observation_facts", sent.pk), SAID, follow=True)
    sent.refresh_from_db()
    assert {name: getattr(sent, name) for name in SAID} == SAID
    assert "part of it: second half" in page.text and "The gym was dark." in page.text
    page = observer.get(address(cast, "observation_facts", sent.pk))
    assert page.text.count(" checked") == 3


def test_facts_that_do_not_agree_are_named_at_the_field_and_kept(
    cast: Cast, observer: Client, game: Game, rubric: Rubric
) -> None:
    observation = open_observation(game, cast.observer, rubric)
    answers = {**SAID, "part": "", "talk": "declined"}
    page = observer.post(address(cast, "observation_facts", observation.pk), answers)
    assert page.context["form"].errors == {
        "part": ["Say which part of the game you saw."],
        "raised": ["Without a talk nothing was raised. Choose “held”, or empty this field."],
    }
    assert "The long switch." in page.text
    page = observer.post(address(cast, "observation_facts", observation.pk), {"talk": "held"})
    assert set(page.context["form"].errors) == {"seen", "difficulty"}


def test_a_text_may_have_a_thousand_characters_and_a_line_break_is_one(
    cast: Cast, observer: Client, game: Game, rubric: Rubric
) -> None:
    observation = open_observation(game, cast.observer, rubric)
    facts = address(cast, "observation_facts", observation.pk)
    page = observer.post(facts, {**SAID, "raised": "x" * 1001})
    assert "raised" in page.context["form"].errors
    observer.post(facts, {**SAID, "raised": "x" * 499 + "\r\n" + "y" * 500})
    observation.refresh_from_db()
    assert len(observation.raised) == 1000


def test_what_looks_like_a_full_name_is_cautioned_and_saved(
    cast: Cast, observer: Client, game: Game, rubric: Rubric
) -> None:
    observation = open_observation(game, cast.observer, rubric)
    answers = {**SAID, "raised": "With Nico Vale: the block on Jonas Weller."}
    page = observer.post(address(cast, "observation_facts", observation.pk), answers, follow=True)
    assert "Caution: this looks like a full name" in page.text
    assert "“Jonas Weller” stands in the text." in page.text
    observation.refresh_from_db()
    assert observation.raised == answers["raised"]


def test_what_was_typed_stays_on_the_page_when_the_facts_can_no_longer_change(
    cast: Cast, observer: Client, game: Game, rubric: Rubric
) -> None:
    observation = open_observation(game, cast.observer, rubric)
    observation.evaluations.update(state="submitted")
    facts = address(cast, "observation_facts", observation.pk)
    page = observer.post(facts, {**SAID, "raised": "The second foul."})
    assert "so that its facts stay" in page.text and "The second foul." in page.text
    assert "The facts can be changed while" in observer.get(facts).text


# --- What comes next -----------------------------------------------------------------------------
def test_once_the_talk_is_answered_the_next_form_is_offered(
    cast: Cast, observer: Client, game: Game, rubric: Rubric
) -> None:
    observation = open_observation(game, cast.observer, rubric)
    page = observer.get(address(cast, "observation", observation.pk))
    assert "Evaluate Nico Vale" in page.text
    assert reverse("evaluations:crew_form", args=[cast.slug, observation.pk]) in page.text
    observation.evaluations.filter(official=cast.official).update(state="submitted")
    page = observer.get(address(cast, "observation", observation.pk))
    assert "Evaluate Mara Odell" in page.text
    observation.evaluations.update(state="submitted")
    page = observer.get(address(cast, "observation", observation.pk))
    assert "Every form of this crew is submitted." in page.text


def test_an_admin_reads_the_facts_and_the_state_and_writes_nothing(
    cast: Cast, admin: Client, game: Game, rubric: Rubric
) -> None:
    observation = open_observation(game, cast.observer, rubric)
    page = admin.get(address(cast, "observation", observation.pk))
    assert "draft" in page.text and "Send somebody else instead" in page.text
    for name in ("evaluation_form", "crew_form", "observation_facts"):
        for key in (observation.pk, *observation.evaluations.values_list("pk", flat=True)):
            assert f'href="{address(cast, name, key)}"' not in page.text


def test_the_page_takes_a_bounded_number_of_queries(
    cast: Cast,
    observer: Client,
    game: Game,
    rubric: Rubric,
    django_assert_max_num_queries: DjangoAssertNumQueries,
) -> None:
    observation = open_observation(game, cast.observer, rubric)
    with django_assert_max_num_queries(14):
        observer.get(address(cast, "observation", observation.pk))


# --- Closing and reassigning ---------------------------------------------------------------------
def test_closing_says_first_what_will_happen_and_can_be_undone(
    cast: Cast, admin: Client, observer: Client, game: Game, rubric: Rubric
) -> None:
    observation = open_observation(game, cast.observer, rubric)
    page = admin.get(address(cast, "observation_close", observation.pk))
    assert "Orla Finch can no longer write in it" in page.text
    page = admin.post(
        address(cast, "observation_close", observation.pk), {"reason": "Ill"}, follow=True
    )
    assert "Open it again" in page.text
    page = observer.get(address(cast, "observation", observation.pk))
    assert "This observation is closed" in page.text and "Ill" in page.text
    assert "Open it again" not in page.text
    page = admin.post(address(cast, "observation_reopen", observation.pk), follow=True)
    assert "The observation is open again." in page.text


def test_what_is_submitted_is_neither_closed_nor_reassigned(
    cast: Cast, admin: Client, game: Game, rubric: Rubric
) -> None:
    observation = open_observation(game, cast.observer, rubric)
    observation.evaluations.update(state="submitted")
    page = admin.get(address(cast, "observation_close", observation.pk))
    assert "There is nothing to close" in page.text
    page = admin.post(address(cast, "observation_close", observation.pk), {"reason": "Ill"})
    assert "there is nothing to close" in page.text
    page = admin.get(address(cast, "observation_reassign", observation.pk))
    assert "The observer stays" in page.text
    answers = {"observer": cast.other_observer.pk, "kind": "scored"}
    page = admin.post(address(cast, "observation_reassign", observation.pk), answers)
    assert "A form of this observation was submitted" in page.text


def test_reassigning_says_what_is_lost_and_sends_somebody_else(
    cast: Cast, admin: Client, game: Game, rubric: Rubric
) -> None:
    observation = open_observation(game, cast.observer, rubric)
    page = admin.get(address(cast, "observation_reassign", observation.pk))
    assert "The drafts of Orla Finch, the log of dead balls, and what he or she said" in page.text
    answers = {"observer": cast.other_observer.pk, "kind": "scored"}
    page = admin.post(address(cast, "observation_reassign", observation.pk), answers, follow=True)
    assert "Otis Quill is sent to this game." in page.text
    observation.refresh_from_db()
    assert observation.observer == cast.other_observer
    assert not observation.evaluations.exists()


def test_a_closed_observation_of_a_cancelled_game_is_not_opened_again(
    cast: Cast, admin: Client, game: Game, sent: Observation
) -> None:
    close_observation(observation=sent, reason="Ill", by=cast.admin, now=NOW)
    cancel_game(game=game, reason="Snow", by=cast.admin, now=NOW)
    page = admin.post(address(cast, "observation_reopen", sent.pk), follow=True)
    assert "The game is cancelled." in page.text
    sent.refresh_from_db()
    assert sent.closed_at == NOW


# --- Who may -------------------------------------------------------------------------------------
FOR_ADMINS = ("observation_close", "observation_reassign")


def test_another_observers_observation_does_not_exist(cast: Cast, sent: Observation) -> None:
    stranger = signed_in(cast.other_observer)
    assert stranger.get(address(cast, "observation", sent.pk)).status_code == 404
    assert stranger.get(address(cast, "observation_facts", sent.pk)).status_code == 404
    assert stranger.post(address(cast, "observation_open", sent.pk)).status_code == 404
    sent.refresh_from_db()
    assert sent.opened_at is None


def test_officials_and_board_members_open_no_observation(cast: Cast, sent: Observation) -> None:
    for who in (cast.official, cast.board):
        for name in ("observation", "observation_facts", *FOR_ADMINS):
            assert signed_in(who).get(address(cast, name, sent.pk)).status_code == 403


def test_an_observer_neither_closes_nor_reassigns(
    cast: Cast, observer: Client, sent: Observation
) -> None:
    for name in FOR_ADMINS:
        answer = observer.post(address(cast, name, sent.pk), {"reason": "Ill"})
        assert answer.status_code == 403
    sent.refresh_from_db()
    assert sent.closed_at is None


def test_for_an_admin_who_whistled_the_observation_does_not_exist(
    cast: Cast, season: Season
) -> None:
    playing_admin = member(cast.association, "Lena Marsh", Role.ADMIN, Role.OFFICIAL)
    game = game_with(season, cast.official, playing_admin)
    observation = assign_observer(
        game=game, observer=cast.observer, kind=Kind.SCORED, by=cast.admin, now=NOW
    )
    client = signed_in(playing_admin)
    for name in ("observation", *FOR_ADMINS):
        assert client.get(address(cast, name, observation.pk)).status_code == 404
    page = client.get(address(cast, "game", game.pk))
    assert "Orla Finch" in page.text
    assert address(cast, "observation", observation.pk) not in page.text


def test_an_observation_of_another_association_does_not_exist(
    cast: Cast, sent: Observation
) -> None:
    elsewhere = signed_in(cast.other_admin)
    own = reverse("evaluations:observation", args=["harbor", sent.pk])
    assert elsewhere.get(own).status_code == 404
    for name in ("observation_close", "observation_reassign"):
        page = reverse(f"evaluations:{name}", args=["harbor", sent.pk])
        assert elsewhere.post(page, {"reason": "Ill"}).status_code == 404
    sent.refresh_from_db()
    assert sent.closed_at is None


def test_reading_opens_nothing(cast: Cast, observer: Client, sent: Observation) -> None:
    assert observer.get(address(cast, "observation_open", sent.pk)).status_code == 405
    assert observer.get(address(cast, "observation_reopen", sent.pk)).status_code == 403
    sent.refresh_from_db()
    assert sent.opened_at is None
