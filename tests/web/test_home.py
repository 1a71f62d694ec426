"""A member's first page says what to do next."""

from __future__ import annotations

from datetime import UTC, datetime

from accounts.models import Membership
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

THEN = datetime(2026, 8, 25, tzinfo=UTC)


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
