"""A crew side by side with the log that it shares."""

from __future__ import annotations

from django.test import Client
from django.urls import reverse
from pytest_django import DjangoAssertNumQueries

from accounts.models import Role
from evaluations.core.games import CrewPosition
from evaluations.core.mechanics.court import Position, Side
from evaluations.core.mechanics.facts import Kept, Stood
from evaluations.models import Observation, Rubric
from tests.factories.accounts import Cast, member, signed_in
from tests.factories.logs import begun_log, lead_calls, log_with
from tests.factories.releases import crew_of, hand_in, write
from tests.web.crew.pages import (
    EYES,
    MISSES,
    SWITCH,
    UNWATCHED,
    of_miss,
    read,
    side_by_side,
    words,
)


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
