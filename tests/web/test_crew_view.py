"""A crew side by side with its log, and a miss moved to another of the crew."""

from __future__ import annotations

import re
from datetime import timedelta

import pytest
from django.test import Client
from django.urls import reverse
from pytest_django import DjangoAssertNumQueries

from accounts.models import Role
from evaluations.core.games import CrewPosition
from evaluations.core.mechanics.court import Position, Side
from evaluations.core.mechanics.facts import Eyes, Kept, Moment, Stood
from evaluations.models import MissMoved, Observation, Rubric
from evaluations.services.observations import close_observation
from tests.factories.accounts import Cast, member, signed_in
from tests.factories.evaluations import GAME_AT, game_with, open_observation
from tests.factories.logs import REFEREE, UMPIRE, begun_log, lead_calls, log_with
from tests.factories.releases import crew_of, hand_in, write
from tests.web.reading import text_in

SWITCH, EYES = "force_switch", "eyes_kept"
REASON = "The caller waved the partner off."
UNWATCHED = Eyes(kept=False, lost=Moment.AFTER_REPORT)
MISSES = [lead_calls(False), lead_calls(True), lead_calls(None, eyes=UNWATCHED)]
"""Dead ball 1: the umpire's switch. 3: the players, nobody's in particular."""


@pytest.fixture(autouse=True)
def clock(monkeypatch: pytest.MonkeyPatch) -> None:
    """It is the night after the game."""
    monkeypatch.setattr("django.utils.timezone.now", lambda: GAME_AT + timedelta(hours=3))


@pytest.fixture
def observation(cast: Cast) -> Observation:
    """Nico Vale is the referee, Mara Odell the umpire; Orla Finch kept a log."""
    found = crew_of(cast)
    log_with(found, MISSES)
    return found


@pytest.fixture
def observer(cast: Cast) -> Client:
    return signed_in(cast.observer)


def side_by_side(observation: Observation) -> str:
    slug = observation.game.season.association.slug
    return reverse("evaluations:crew_view", args=[slug, observation.pk])


def of_miss(
    observation: Observation, number: int = 1, rule: str = SWITCH, *, back: bool = False
) -> str:
    slug = observation.game.season.association.slug
    name = "evaluations:miss_take_back" if back else "evaluations:miss_move"
    return reverse(name, args=[slug, observation.pk, number, rule])


def read(client: Client, address: str) -> str:
    answer = client.get(address)
    assert answer.status_code == 200
    return answer.text


def words(page: str) -> str:
    """The page's text in one line, as it is read."""
    return re.sub(r"\s+", " ", text_in(page, ""))


# --- The crew side by side -----------------------------------------------------------------------
def test_levels_counts_and_reasons_stand_in_a_column_for_each_official(
    observation: Observation, observer: Client
) -> None:
    nico, mara = observation.evaluations.order_by("position")
    write(nico, {"non-caller-starts-switch": 2})
    write(mara, {"non-caller-starts-switch": 5})
    page = read(observer, side_by_side(observation))
    assert "Nico Vale, referee" in page and "Mara Odell, umpire" in page
    said = words(page)
    assert "2 at times" in said and "5 every time" in said
    assert "not seen" in said
    assert "Not enough seen:" in said


def test_the_reason_for_another_level_than_counted_stands_beside_it(
    cast: Cast, observer: Client
) -> None:
    observation = crew_of(cast)
    log_with(observation, [lead_calls(False)] * 6)
    _nico, mara = observation.evaluations.order_by("position")
    write(mara)
    mara.ratings.filter(criterion__findings=[SWITCH]).update(reason="She was held up twice.")
    said = words(read(observer, side_by_side(observation)))
    assert "0 of 6" in said
    assert "Why not as counted: She was held up twice." in said


def test_each_miss_is_there_once_with_whose_it_is(
    observation: Observation, observer: Client
) -> None:
    said = words(read(observer, side_by_side(observation)))
    assert said.count("Force the switch before the ball is live.") == 2  # read out with its link
    assert "belongs to Mara Odell (umpire)" in said
    assert "belongs to Nico Vale" not in said
    assert "nobody's in particular 1 miss" in said and "in all 2" in said
    assert "Dead ball 2" not in said


def test_crews_of_three_have_three_columns(cast: Cast, observer: Client) -> None:
    third = member(cast.association, "Remy Ash", Role.OFFICIAL)
    observation = crew_of(cast, cast.official, cast.other_official, third)
    lead, trail = Stood(Position.LEAD, Side.TABLE), Stood(Position.TRAIL, Side.OPPOSITE)
    before = {CrewPosition.REFEREE: lead, CrewPosition.UMPIRE_1: trail}
    log_with(observation, [lead_calls(None, before=before, eyes=UNWATCHED)])
    page = read(observer, side_by_side(observation))
    for name in ("Nico Vale, referee", "Mara Odell, umpire 1", "Remy Ash, umpire 2"):
        assert name in page
    form = read(observer, of_miss(observation, 1, EYES))
    assert form.count('name="to"') == 3


def test_a_log_of_what_struck_the_observer_gives_examples_and_no_share(
    cast: Cast, observer: Client
) -> None:
    observation = crew_of(cast)
    log_with(observation, [lead_calls(False)] * 6, kept=Kept.STRIKING)
    said = words(read(observer, side_by_side(observation)))
    assert "only what struck the observer: examples, and no shares" in said
    assert "0 of 6" not in said and "0 %" not in said


def test_without_a_log_a_miss_or_a_code_the_page_says_so(cast: Cast, observer: Client) -> None:
    observation = crew_of(cast)
    assert "No dead ball of this game was logged." in read(observer, side_by_side(observation))
    begun_log(observation)
    assert "No miss is in the log." in read(observer, side_by_side(observation))
    Rubric.objects.update(code_of_two=None)
    assert "names no mechanics code" in read(observer, side_by_side(observation))


def test_the_page_costs_the_same_whatever_the_log_holds(
    cast: Cast, observer: Client, django_assert_max_num_queries: DjangoAssertNumQueries
) -> None:
    observation = crew_of(cast)
    log_with(observation, [lead_calls(False)] * 20)
    with django_assert_max_num_queries(40):
        read(observer, side_by_side(observation))


def test_the_observation_and_the_letters_to_release_lead_there(
    cast: Cast, observation: Observation, observer: Client
) -> None:
    for form in observation.evaluations.all():
        hand_in(form)
    link = f'href="{side_by_side(observation)}"'
    page = reverse("evaluations:observation", args=[cast.slug, observation.pk])
    letters = reverse("evaluations:crew_read", args=[cast.slug, observation.pk])
    assert link in read(observer, page)
    assert link in read(signed_in(cast.admin), letters)


# --- Who reads it --------------------------------------------------------------------------------
def test_an_admin_reads_no_form_that_was_never_submitted(
    cast: Cast, observation: Observation
) -> None:
    nico, mara = observation.evaluations.order_by("position")
    hand_in(nico)
    write(mara)
    page = read(signed_in(cast.admin), side_by_side(observation))
    assert "The form about Mara Odell was not submitted yet" in page
    assert "Nico Vale, referee" in page and "Mara Odell, umpire<" not in page
    assert "belongs to Mara Odell (umpire)" in words(page)
    assert of_miss(observation) not in page


def test_nobody_else_reads_it(cast: Cast, observation: Observation) -> None:
    address = side_by_side(observation)
    for somebody in (cast.official, cast.other_official, cast.board):
        assert signed_in(somebody).get(address).status_code == 403
    for somebody in (cast.other_observer, cast.observer_and_official, cast.other_admin):
        assert signed_in(somebody).get(address).status_code == 404


def test_an_admin_who_belongs_to_the_crew_does_not_find_it(cast: Cast) -> None:
    referee = member(cast.association, "Remy Ash", Role.OFFICIAL, Role.ADMIN)
    observation = crew_of(cast, referee, cast.other_official)
    log_with(observation, MISSES)
    assert signed_in(referee).get(side_by_side(observation)).status_code == 404
    assert signed_in(cast.admin).get(side_by_side(observation)).status_code == 200


# --- Moving a miss -------------------------------------------------------------------------------
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
    for number, rule in ((2, SWITCH), (1, "place"), (9, SWITCH), (1, "no-rule")):
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
