"""A crew's miss moved to another of the crew, with a reason, and the move taken back."""

from __future__ import annotations

from datetime import timedelta

import pytest
from django.test import Client
from django.urls import reverse

from evaluations.models import MissMoved, Observation
from evaluations.services.observations import close_observation
from tests.factories.accounts import Cast, signed_in
from tests.factories.evaluations import GAME_AT, game_with, open_observation
from tests.factories.logs import REFEREE, UMPIRE
from tests.factories.releases import crew_of, hand_in
from tests.web.crew.pages import EYES, SWITCH, of_miss, read, side_by_side, words

REASON = "The caller waved the partner off."


def test_the_observer_moves_a_miss_and_the_page_says_to_whom_and_why(
    observation: Observation, observer: Client
) -> None:
    assert of_miss(observation) in read(observer, side_by_side(observation))
    form = read(observer, of_miss(observation))
    assert "Nico Vale (referee)" in form and 'value="umpire"' not in form
    assert "checked" not in form
    answers = {"to": REFEREE, "reason": REASON}
    page = observer.post(of_miss(observation), answers, follow=True)
    assert "The miss is moved, and counted anew." in page.text
    said = words(page.text)
    assert f"moved to Nico Vale (referee): {REASON}" in said
    assert "Without the move it belongs to Mara Odell (umpire)." in said
    assert "belongs to Nico Vale" not in said


def test_a_miss_that_is_nobodys_is_given_to_one(observation: Observation, observer: Client) -> None:
    form = read(observer, of_miss(observation, 3, EYES))
    assert 'value="referee"' in form and 'value="umpire"' in form
    answers = {"to": UMPIRE, "reason": "She had the players."}
    page = observer.post(of_miss(observation, 3, EYES), answers, follow=True)
    said = words(page.text)
    assert "moved to Mara Odell (umpire): She had the players." in said
    assert "Without the move it is nobody's in particular." in said


def test_a_move_is_taken_back(observation: Observation, observer: Client) -> None:
    observer.post(of_miss(observation), {"to": REFEREE, "reason": REASON})
    form = read(observer, of_miss(observation))
    assert "Take the move back" in form and 'name="to"' not in form
    page = observer.post(of_miss(observation, back=True), follow=True)
    assert "The move is taken back, and counted anew." in page.text
    assert "belongs to Mara Odell (umpire)" in words(page.text)
    assert not MissMoved.objects.exists()


@pytest.mark.parametrize(
    ("answers", "field", "error"),
    [
        ({"reason": REASON}, "to", "Choose whose duty it was."),
        ({"to": "referee"}, "reason", "Say why the miss is moved."),
        ({"to": "referee", "reason": " "}, "reason", "Say why the miss is moved."),
        ({"to": "umpire", "reason": REASON}, "to", "Select a valid choice."),
        ({"to": "referee", "reason": "x" * 301}, "reason", "at most 300 characters"),
    ],
)
def test_what_is_missing_is_said_at_the_field_and_what_was_typed_is_kept(
    observation: Observation, observer: Client, answers: dict[str, str], field: str, error: str
) -> None:
    page = observer.post(of_miss(observation), answers)
    assert error in page.context["form"].errors[field][0]
    assert answers.get("reason", "") in page.text
    assert not MissMoved.objects.exists()


def test_the_log_says_of_a_moved_miss_to_whom_and_why(
    observation: Observation, observer: Client
) -> None:
    observer.post(of_miss(observation), {"to": REFEREE, "reason": REASON})
    slug = observation.game.season.association.slug
    said = words(read(observer, reverse("evaluations:log", args=[slug, observation.pk])))
    assert f"switch forced before the ball is live: moved to referee: {REASON}" in said


def test_in_a_closed_observation_nothing_is_moved(
    cast: Cast, observation: Observation, observer: Client
) -> None:
    close_observation(observation=observation, reason="Rained off.", by=cast.admin, now=GAME_AT)
    page = read(observer, side_by_side(observation))
    assert of_miss(observation) not in page
    observer.post(of_miss(observation), {"to": REFEREE, "reason": REASON})
    assert not MissMoved.objects.exists()


def test_words_that_look_like_a_full_name_are_pointed_out(
    observation: Observation, observer: Client
) -> None:
    reason = "He was held up by Jonas Weller at the bench."
    page = observer.post(of_miss(observation), {"to": REFEREE, "reason": reason}, follow=True)
    assert "Caution: this looks like a full name" in page.text
    assert "“Jonas Weller” stands in the text." in words(page.text)


def test_once_all_forms_are_in_nothing_is_moved(observation: Observation, observer: Client) -> None:
    for form in observation.evaluations.all():
        hand_in(form)
    page = read(observer, side_by_side(observation))
    assert of_miss(observation) not in page
    assert "each miss stays where it is" in page
    refused = observer.post(of_miss(observation), {"to": REFEREE, "reason": REASON})
    assert "All forms of this observation are in" in refused.text
    assert REASON in refused.text
    back = observer.post(of_miss(observation, back=True), follow=True)
    assert "All forms of this observation are in" in back.text


def test_where_nothing_was_missed_there_is_nothing_to_move(
    observation: Observation, observer: Client
) -> None:
    for number, rule in ((2, SWITCH), (1, "end"), (9, SWITCH), (1, "no-rule")):
        assert observer.get(of_miss(observation, number, rule)).status_code == 404


def test_only_the_observer_of_this_crew_moves_its_misses(
    cast: Cast, observation: Observation
) -> None:
    both = [of_miss(observation), of_miss(observation, back=True)]
    answers = {"to": REFEREE, "reason": REASON}
    for somebody, status in (
        (cast.admin, 403),
        (cast.official, 403),
        (cast.board, 403),
        (cast.other_observer, 404),
        (cast.other_admin, 404),
    ):
        client = signed_in(somebody)
        assert [client.post(address, answers).status_code for address in both] == [status] * 2
    assert not MissMoved.objects.exists()


def test_a_crew_without_a_log_has_no_miss_to_move(cast: Cast, observer: Client) -> None:
    first = crew_of(cast)
    assert first.rubric is not None
    later = game_with(
        first.game.season,
        cast.official,
        cast.other_official,
        plays_at=GAME_AT - timedelta(days=7),
    )
    observation = open_observation(later, cast.observer, first.rubric)
    assert observer.get(of_miss(observation)).status_code == 404
    assert observer.post(of_miss(observation, back=True)).status_code == 404
