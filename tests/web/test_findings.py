"""The page of a season's findings: what to train next."""

from __future__ import annotations

import re
from datetime import timedelta

import pytest
from django.urls import reverse
from pytest_django import DjangoAssertNumQueries

from accounts.models import Membership
from evaluations.core.mechanics.facts import Kept
from tests.factories.accounts import Cast, signed_in
from tests.factories.evaluations import GAME_AT, season_of
from tests.factories.findings import NAMES, logged, new_rubric, season_of_switches, switches
from tests.web.reading import text_in

ADDRESS = "/a/rivers/findings/"


@pytest.fixture(autouse=True)
def clock(monkeypatch: pytest.MonkeyPatch) -> None:
    """It is a week after the last game."""
    monkeypatch.setattr("django.utils.timezone.now", lambda: GAME_AT + timedelta(days=7))


def page_of(member: Membership, question: str = "") -> str:
    answer = signed_in(member).get(ADDRESS + question)
    assert answer.status_code == 200
    return answer.text


def words(page: str) -> str:
    """The page's text in one line, as it is read."""
    return re.sub(r"\s+", " ", text_in(page, ""))


def test_the_weakest_rule_stands_first_with_its_figures_and_an_exercise(cast: Cast) -> None:
    season_of_switches(cast, new_rubric(cast))
    for reader in (cast.admin, cast.board):
        said = words(page_of(reader))
        assert "The next training topics Switch forced before the ball is live 60 %" in said
        assert "met: 18 of 30 judged, in 6 observations. 95 % interval" in said
        assert "Try this: When a report begins, set off at once" in said


def test_share_and_interval_are_drawn_and_stand_beside_the_drawing(cast: Cast) -> None:
    """Of both rules that have findings: the forced switch, and the end that it leads to."""
    season_of_switches(cast, new_rubric(cast))
    page = page_of(cast.admin)
    table = text_in(page, "ruled")
    assert re.search(r"Switch forced before the ball is live 60 % \d+ to \d+ % 18 of 30 0 6", table)
    assert page.count('<svg xmlns="http://www.w3.org/2000/svg" class="figure"') == 2
    assert 'aria-hidden="true"' in page


def test_no_official_is_named(cast: Cast) -> None:
    season_of_switches(cast, new_rubric(cast))
    page = page_of(cast.board)
    assert [name for name in NAMES if name in page] == []


def test_the_page_says_what_counts_and_how_far_to_trust_it(cast: Cast) -> None:
    rubric = new_rubric(cast)
    season_of_switches(cast, rubric)
    crew = (cast.official, cast.other_official)
    logged(cast, rubric, crew, switches(0, 3), days=7, kept=Kept.STRIKING)
    logged(cast, rubric, crew, switches(0, 3), days=8, finished=False)
    said = words(page_of(cast.admin))
    assert "1 log is left out, because a form is still written." in said
    assert "they give examples, and no shares. That is 1 log." in said
    assert "Dead balls of one game are not independent" in said
    assert "rough guide" in said
    assert "met: 18 of 30 judged" in said


def test_what_few_were_judged_by_has_no_figures_and_is_said(cast: Cast) -> None:
    rubric = new_rubric(cast)
    crew = (cast.official, cast.other_official)
    logged(cast, rubric, crew, switches(0, 4))
    said = words(page_of(cast.admin))
    assert "Too little is logged for figures" in said
    assert "0 %" not in said and "0 of 4" not in said
    assert "Too few yet:" in said and "switch forced before the ball is live" in said


def test_a_question_narrows_the_findings_down_and_stays_in_the_form(cast: Cast) -> None:
    season_of_switches(cast, new_rubric(cast))
    page = page_of(cast.admin, "?crew_size=2&level_of_play=Varsity&kept=every_foul")
    assert "met: 18 of 30 judged" in words(page)
    assert '<option value="Varsity" selected>' in page
    export = reverse("evaluations:findings_export", args=[cast.slug])
    assert f'href="{export}?crew_size=2&amp;level_of_play=Varsity&amp;kept=every_foul"' in page
    assert "Too little is logged" in page_of(cast.admin, "?crew_size=3")
    assert "Too little is logged" in page_of(cast.admin, "?kept=one_duty")


@pytest.mark.parametrize(
    "question", ["?crew_size=5", "?level_of_play=Nowhere", "?kept=striking", "?season=x"]
)
def test_a_question_that_makes_no_sense_is_refused_at_its_field(cast: Cast, question: str) -> None:
    season_of_switches(cast, new_rubric(cast))
    answer = signed_in(cast.admin).get(ADDRESS + question)
    assert answer.status_code == 200
    assert "Select a valid choice" in answer.text
    assert "judged" not in words(answer.text)


def test_before_the_first_season_and_the_first_log_the_page_says_what_comes_first(
    cast: Cast,
) -> None:
    assert "No season yet." in page_of(cast.admin)
    season_of(cast.association)
    assert "Too little is logged for figures" in page_of(cast.admin)


def test_observers_and_officials_do_not_open_it_nor_anybody_of_elsewhere(cast: Cast) -> None:
    export = reverse("evaluations:findings_export", args=[cast.slug])
    for somebody in (cast.observer, cast.official):
        client = signed_in(somebody)
        assert [client.get(address).status_code for address in (ADDRESS, export)] == [403, 403]
    client = signed_in(cast.other_admin)
    assert [client.get(address).status_code for address in (ADDRESS, export)] == [404, 404]


def test_another_associations_season_is_no_choice(cast: Cast) -> None:
    season_of_switches(cast, new_rubric(cast))
    foreign = season_of(cast.other_association)
    answer = signed_in(cast.admin).get(f"{ADDRESS}?season={foreign.pk}")
    assert "Select a valid choice" in answer.text


def test_admins_and_the_board_are_led_there(cast: Cast) -> None:
    for reader in (cast.admin, cast.board):
        assert f'href="{ADDRESS}"' in signed_in(reader).get("/a/rivers/").text
    assert f'href="{ADDRESS}"' not in signed_in(cast.observer).get("/a/rivers/").text


def test_the_page_takes_few_queries(
    cast: Cast, django_assert_max_num_queries: DjangoAssertNumQueries
) -> None:
    season_of_switches(cast, new_rubric(cast))
    client = signed_in(cast.admin)
    with django_assert_max_num_queries(25):
        client.get(ADDRESS)
