"""A member's first page says what to do next."""

from __future__ import annotations

from datetime import UTC, datetime

import pytest
from django.utils import timezone
from pytest_django import DjangoAssertNumQueries

from accounts.models import Membership
from evaluations.models import Observation
from evaluations.services.answers import acknowledge
from evaluations.services.releases import release_crew
from evaluations.services.rubrics import propose
from evaluations.services.seasons import enter_season
from evaluations.services.shipped_rubric import add_shipped_rubric
from tests.factories.accounts import Cast, signed_in
from tests.factories.evaluations import (
    SEASON_END,
    SEASON_START,
    game_with,
    published_rubric,
    season_of,
)
from tests.factories.releases import (
    OPEN_AT,
    RELEASED_AT,
    crew_of,
    hand_in,
    letter_of,
    released_crew,
    submitted_crew,
)

THEN = datetime(2026, 8, 25, tzinfo=UTC)


@pytest.fixture(autouse=True)
def clock(monkeypatch: pytest.MonkeyPatch) -> None:
    """Two days after the game: its letters are open."""
    monkeypatch.setattr(timezone, "now", lambda: OPEN_AT)


def first_page(member: Membership) -> str:
    answer = signed_in(member).get(f"/a/{member.association.slug}/")
    assert answer.status_code == 200
    return answer.content.decode()


def test_an_admin_begins_with_a_season(cast: Cast) -> None:
    page = first_page(cast.admin)
    assert "Begin with a season" in page
    assert page.count("button primary") == 1


def test_then_with_its_rubric(cast: Cast) -> None:
    season_of(cast.association)
    page = first_page(cast.admin)
    assert 'href="/a/rivers/rubrics/">To the rubrics' in page


def test_a_proposed_rubric_is_the_second_admin_s_next_thing(cast: Cast) -> None:
    season = enter_season(
        association=cast.association,
        name="2026–27",
        starts_on=SEASON_START,
        ends_on=SEASON_END,
        by=cast.admin,
        now=THEN,
    )
    draft = add_shipped_rubric(season=season, by=cast.admin, now=THEN)
    propose(rubric=draft, version=draft.version, by=cast.admin, now=THEN)
    address = f'href="/a/rivers/rubrics/{draft.pk}/publish/"'
    of_second = first_page(cast.second_admin)
    assert f"{address}>Read and approve" in of_second
    assert "Ada Moreno proposed 2026–27, edition 1." in of_second
    assert of_second.count("button primary") == 1
    of_first = first_page(cast.admin)
    assert address in of_first
    assert "another admin has to approve it" in of_first
    assert "button primary" not in of_first


def test_a_season_with_a_rubric_goes_on_with_its_first_game(cast: Cast) -> None:
    season = season_of(cast.association)
    published_rubric(season, cast.admin)
    assert 'href="/a/rivers/games/new/">Enter a game' in first_page(cast.admin)
    game_with(season, cast.official, cast.other_official)
    assert "Enter a game" not in first_page(cast.admin)


def test_an_observer_and_an_official_read_what_will_appear_here(cast: Cast) -> None:
    assert "When an admin sends you to a game, it appears here." in first_page(cast.observer)
    assert "No letter yet." in first_page(cast.official)


def test_a_board_member_is_led_to_what_is_released(cast: Cast) -> None:
    assert 'href="/a/rivers/officials/">Who was seen, and the letters' in first_page(cast.board)


def test_an_observer_finds_what_is_due_and_what_was_handed_in(cast: Cast) -> None:
    observation = crew_of(cast)
    first, _second = observation.evaluations.order_by("pk")
    hand_in(first)
    page = first_page(cast.observer)
    assert f'href="/a/rivers/observations/{observation.pk}/"' in page
    assert "1 form to finish" in page
    assert f'href="/a/rivers/evaluations/{first.pk}/check/"' in page
    assert str(observation.game) not in first_page(cast.other_observer)


def test_a_crew_waits_for_release_once_all_of_it_is_in(cast: Cast) -> None:
    observation = crew_of(cast)
    first, second = observation.evaluations.order_by("pk")
    hand_in(first)
    assert "Nothing waits for release." in first_page(cast.admin)
    hand_in(second)
    assert f'href="/a/rivers/observations/{observation.pk}/read/"' in first_page(cast.admin)


def test_the_next_thing_is_the_one_button(cast: Cast) -> None:
    observation = submitted_crew(cast)
    page = first_page(cast.admin)
    assert f'primary" href="/a/rivers/observations/{observation.pk}/read/"' in page
    assert page.count("button primary") == 1
    release_crew(observation=observation, by=cast.admin, now=RELEASED_AT)
    assert "button primary" not in first_page(cast.admin)
    letter, page = letter_of(cast.official), first_page(cast.official)
    assert f'primary" href="/a/rivers/letters/{letter.pk}/"' in page
    acknowledge(release=letter, by=cast.official, now=OPEN_AT)
    assert "button primary" not in first_page(cast.official)


def test_an_overdue_form_is_on_the_admins_page(cast: Cast) -> None:
    observation = crew_of(cast)
    Observation.objects.update(due_at=THEN)
    page = first_page(cast.admin)
    assert "1 observation is overdue." in page
    whole = signed_in(cast.admin).get("/a/rivers/overdue/").content.decode()
    for each in (page, whole):
        assert f'href="/a/rivers/games/{observation.game.pk}/"' in each
    for member in (cast.observer, cast.official, cast.board):
        assert signed_in(member).get("/a/rivers/overdue/").status_code == 403


def test_a_game_is_on_the_day_of_the_association_s_clock_wherever_its_reader_is(
    cast: Cast,
) -> None:
    released_crew(cast)
    cast.official.user.time_zone = "Pacific/Auckland"  # where it is already the day after
    cast.official.user.save()
    assert "Nov. 10, 2026" in first_page(cast.official)
    assert "Nov. 11, 2026" not in first_page(cast.official)
    season_page = signed_in(cast.official).get("/a/rivers/season/").content.decode()
    assert "Nov. 10, 2026" in season_page
    assert "Nov. 11, 2026" not in season_page


def test_an_official_finds_the_letter_but_no_total_on_the_first_page(cast: Cast) -> None:
    letter, _partners = released_crew(cast)
    page = first_page(cast.official)
    assert f'href="/a/rivers/letters/{letter.pk}/"' in page
    assert f">{letter.total:.0f}<" not in page


def test_a_first_page_costs_a_bounded_number_of_queries(
    cast: Cast, django_assert_max_num_queries: DjangoAssertNumQueries
) -> None:
    released_crew(cast)
    for member in (cast.admin, cast.observer, cast.official, cast.board):
        client = signed_in(member)
        with django_assert_max_num_queries(20):
            client.get("/a/rivers/")
