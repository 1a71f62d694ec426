"""An official's own season: all own letters, a line of totals with its margin, areas over time."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import UTC, datetime, timedelta

import pytest
from django.utils import timezone
from pytest_django import DjangoAssertNumQueries

from accounts.models import Membership
from evaluations.models import Release
from evaluations.services.releases import release_crew
from evaluations.services.seasons import enter_season
from tests.factories.accounts import Cast, signed_in
from tests.factories.evaluations import (
    GAME_AT,
    SEASON_END,
    game_with,
    open_observation,
    published_rubric,
    season_of,
)
from tests.factories.releases import OPEN_AT, RELEASED_AT, hand_in

ADDRESS = "/a/rivers/season/"


@pytest.fixture(autouse=True)
def clock(monkeypatch: pytest.MonkeyPatch) -> None:
    """Two days after the last game: its letters are open, whatever day the tests are run on."""
    monkeypatch.setattr(timezone, "now", lambda: OPEN_AT)


def season_page(member: Membership) -> str:
    answer = signed_in(member).get(ADDRESS)
    assert answer.status_code == 200
    return answer.content.decode()


def seen_times(cast: Cast, levels: Sequence[int]) -> list[Release]:
    """The official is seen day after day, each time with the given level on one criterion."""
    season = season_of(cast.association)
    rubric = published_rubric(season, cast.admin)
    letters = []
    for day, level in enumerate(levels, start=1):
        played = GAME_AT - timedelta(days=len(levels) - day)
        game = game_with(season, cast.official, cast.other_official, plays_at=played)
        observation = open_observation(game, cast.observer, rubric)
        for evaluation in observation.evaluations.all():
            hand_in(evaluation, {"players-before-ball": level})
        released = release_crew(observation=observation, by=cast.admin, now=RELEASED_AT)
        letters += [r for r in released if r.evaluation.official == cast.official]
    return letters


def next_season(cast: Cast) -> None:
    """From the day after the first one ends."""
    enter_season(
        association=cast.association,
        name="2027",
        starts_on=SEASON_END + timedelta(days=1),
        ends_on=SEASON_END + timedelta(days=90),
        by=cast.admin,
        now=RELEASED_AT,
    )


def test_before_the_first_letter_the_page_says_when_one_comes(cast: Cast) -> None:
    season_of(cast.association)
    assert "No letter yet" in season_page(cast.official)


def test_all_own_letters_are_there_and_nobody_elses(cast: Cast) -> None:
    letters = seen_times(cast, [3, 4])
    page = season_page(cast.official)
    for letter in Release.objects.all():
        linked = f'href="/a/rivers/letters/{letter.pk}/"' in page
        assert linked == (letter in letters)


def test_two_observations_make_no_season_value(cast: Cast) -> None:
    seen_times(cast, [3, 4])
    page = season_page(cast.official)
    assert "one or two are no season" in page
    assert "give or take" not in page


def test_from_the_third_on_the_mean_stands_with_its_margin_marked_uncorrected(cast: Cast) -> None:
    letters = seen_times(cast, [2, 3, 4])
    page = season_page(cast.official)
    mean = sum(float(letter.total or 0) for letter in letters) / 3
    assert f"{mean:.1f}, give or take" in page
    assert "Uncorrected" in page


def test_every_total_is_in_the_pictures_words_and_in_the_table(cast: Cast) -> None:
    letters = seen_times(cast, [1, 5])
    page = season_page(cast.official)
    assert "Totals of your season: " in page
    for letter in letters:
        assert page.count(f"{letter.total:.0f}") >= 2


def test_once_an_official_is_marked_as_under_18_no_total_is_shown_of_letters_before(
    cast: Cast,
) -> None:
    totals = [f"{letter.total:.0f}" for letter in seen_times(cast, [1, 3, 5])]
    cast.official.under_18, cast.official.guardian_email = True, "guardian@example.org"
    cast.official.save()
    page = season_page(cast.official)
    assert page.count("no total") == 3
    assert "Areas over time" not in page
    assert "give or take" not in page
    assert [total for total in totals if f">{total}<" in page] == []


def test_the_season_is_the_one_under_way_where_the_association_is(
    cast: Cast, monkeypatch: pytest.MonkeyPatch
) -> None:
    last_evening = datetime(2027, 5, 1, 2, tzinfo=UTC)  # in Chicago still April 30
    season_of(cast.association)
    next_season(cast)
    monkeypatch.setattr(timezone, "now", lambda: last_evening)
    assert '<p class="soft">2026–27</p>' in season_page(cast.official)
    monkeypatch.setattr(timezone, "now", lambda: last_evening + timedelta(hours=3))
    assert '<p class="soft">2027</p>' in season_page(cast.official)


def test_an_observer_or_admin_has_no_own_season(cast: Cast) -> None:
    assert signed_in(cast.observer).get(ADDRESS).status_code == 403
    assert signed_in(cast.admin).get(ADDRESS).status_code == 403
    assert signed_in(cast.other_admin).get(ADDRESS).status_code == 404


@pytest.mark.parametrize("asked", ["", "0", "x", "999999"])
def test_an_unknown_season_gives_the_current_one(cast: Cast, asked: str) -> None:
    season = season_of(cast.association)
    answer = signed_in(cast.official).get(ADDRESS, {"season": asked})
    assert season.name in answer.content.decode()


def test_a_longer_season_costs_no_more_queries(
    cast: Cast, django_assert_max_num_queries: DjangoAssertNumQueries
) -> None:
    seen_times(cast, [2, 3, 4, 5])
    client = signed_in(cast.official)
    with django_assert_max_num_queries(14):
        client.get(ADDRESS)
