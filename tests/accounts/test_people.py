"""The list of people."""

from __future__ import annotations

import pytest
from django.urls import reverse

from accounts.models import Role
from accounts.views.people import PEOPLE_A_PAGE
from tests.factories.accounts import Cast, member, signed_in

PEOPLE = "/a/rivers/people/"


def names_shown(cast: Cast, query: str = "") -> str:
    page = signed_in(cast.admin).get(f"{PEOPLE}{query}").content.decode()
    return page.partition('<h2 id="members">')[2]


def test_it_shows_the_association_s_people_and_nobody_else(cast: Cast) -> None:
    page = names_shown(cast)
    for shown in (cast.admin, cast.observer, cast.official, cast.board):
        assert shown.user.name in page
    for hidden in (cast.other_admin, cast.other_official_elsewhere, cast.former_official):
        assert hidden.user.name not in page


@pytest.mark.parametrize("search", ["vale", "NICO", "nico.vale@example"])
def test_a_search_looks_into_names_and_addresses(cast: Cast, search: str) -> None:
    page = names_shown(cast, f"?search={search}")
    assert "Nico Vale" in page
    assert "Mara Odell" not in page


def test_the_list_can_be_narrowed_to_a_role(cast: Cast) -> None:
    page = names_shown(cast, "?role=observer")
    assert "Tess Rowan" in page
    assert "Nico Vale" not in page


def test_ended_memberships_are_a_list_of_their_own(cast: Cast) -> None:
    page = names_shown(cast, "?ended=on")
    assert "Finn Stone" in page
    assert "Nico Vale" not in page


def test_nobody_found_says_what_to_do(cast: Cast) -> None:
    assert "Nobody is found" in names_shown(cast, "?search=zzz")


def test_a_question_that_makes_no_sense_shows_everybody(cast: Cast) -> None:
    assert "Nico Vale" in names_shown(cast, "?role=king&page=x")


def test_marks_are_words(cast: Cast) -> None:
    page = names_shown(cast)
    assert "under 18." in page
    assert "cleared until June 30, 2099." in page
    assert "guardian@example.org" not in page


def test_a_long_list_has_pages_and_as_many_queries_as_a_short_one(
    cast: Cast, django_assert_max_num_queries: pytest.FixtureRequest
) -> None:
    for number in range(PEOPLE_A_PAGE):
        member(cast.association, f"Person {number}", Role.OFFICIAL)
    client = signed_in(cast.admin)
    client.get(PEOPLE)
    with django_assert_max_num_queries(8):  # type: ignore[operator]
        page = client.get(PEOPLE).content.decode()
    assert "Page 1 of 2" in page
    assert "Tess Rowan" in names_shown(cast, "?page=2")


def test_each_row_leads_to_the_person(cast: Cast) -> None:
    address = reverse("accounts:person", args=["rivers", cast.official.pk])
    assert f'<a href="{address}">Nico Vale</a>' in names_shown(cast)
