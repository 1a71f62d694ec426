"""The rubrics' pages: what members read, and what it takes to publish."""

from __future__ import annotations

from datetime import date
from typing import Any

import pytest
from django.test import Client
from django.urls import reverse
from pytest_django import DjangoAssertNumQueries

from evaluations.models import Rubric, Season
from evaluations.services.rubric_edits import set_area_labels
from evaluations.services.rubrics import propose
from evaluations.services.shipped_rubric import add_shipped_rubric
from tests.factories.accounts import NOW, Cast, signed_in
from tests.factories.evaluations import published_rubric, season_of

ALL_MEMBERS = ["admin", "observer", "official", "young_official", "board"]


@pytest.fixture
def season(cast: Cast) -> Season:
    return season_of(cast.association)


@pytest.fixture
def draft(cast: Cast, season: Season) -> Rubric:
    return add_shipped_rubric(season=season, by=cast.admin, now=NOW)


@pytest.fixture
def admin(cast: Cast) -> Client:
    return signed_in(cast.admin)


@pytest.fixture
def second_admin(cast: Cast) -> Client:
    return signed_in(cast.second_admin)


def at(name: str, *args: Any) -> str:
    return reverse(f"evaluations:{name}", args=["rivers", *args])


def text(client: Client, address: str) -> str:
    answer = client.get(address)
    assert answer.status_code == 200
    return " ".join(answer.content.decode().split())


@pytest.mark.parametrize("who", ALL_MEMBERS)
def test_every_member_reads_a_published_rubric_in_full(
    cast: Cast, season: Season, who: str
) -> None:
    rubric = published_rubric(season, cast.admin)
    client = signed_in(getattr(cast, who))
    assert at("rubric", rubric.pk) in text(client, at("rubrics"))
    page = text(client, at("rubric", rubric.pk))
    for part in (
        "Boxing-in coverage",
        "30 % of the total · counts when at least 50 % of it was seen · without it",
        "Both feet are still in the reporting area before every report seen.",
        "A report begins only when both feet are still in the reporting area.",
        "At the next game, stop, take one breath",
        "There is a total when at least 70 % of the form was seen.",
        "3 usually from 55 %",
        "developing from 40",
        "There are no ceilings.",
    ):
        assert part in page
    assert page.count("8.3 % of the total") == 6


def test_a_rubric_is_read_in_either_language(cast: Cast, season: Season) -> None:
    rubric = published_rubric(season, cast.admin)
    client = signed_in(cast.official)
    page = text(client, at("rubric", rubric.pk) + "?language=es")
    assert '<html lang="es">' in page
    assert "Encajonar a los jugadores" in page and "8,3 %" in page
    assert "Boxing-in coverage" in text(client, at("rubric", rubric.pk) + "?language=xx")


def test_a_person_reads_in_the_own_language_first(cast: Cast, season: Season) -> None:
    rubric = published_rubric(season, cast.admin)
    cast.official.user.language = "es"
    cast.official.user.save()
    assert "Encajonar a los jugadores" in text(signed_in(cast.official), at("rubric", rubric.pk))


@pytest.mark.parametrize("who", ALL_MEMBERS[1:])
def test_a_draft_does_not_exist_for_others(cast: Cast, draft: Rubric, who: str) -> None:
    client = signed_in(getattr(cast, who))
    assert client.get(at("rubric", draft.pk)).status_code == 404
    assert "Edition" not in text(client, at("rubrics")).replace("edition", "")
    assert client.get(at("rubric_weights", draft.pk)).status_code == 403


def test_a_rubric_of_another_association_does_not_exist(cast: Cast, draft: Rubric) -> None:
    elsewhere = signed_in(cast.other_admin)
    assert elsewhere.get(at("rubric", draft.pk)).status_code == 404
    for name in ("rubric", "rubric_weights", "rubric_copy", "rubric_publish"):
        address = reverse(f"evaluations:{name}", args=["harbor", draft.pk])
        assert elsewhere.get(address).status_code == 404
    start = reverse("evaluations:rubric_start", args=["harbor", draft.season_id])
    assert elsewhere.post(start).status_code == 404


def test_a_season_begins_with_the_shipped_rubric(admin: Client, season: Season) -> None:
    assert "No rubric yet" in text(admin, at("rubrics"))
    answer = admin.post(at("rubric_start", season.pk))
    rubric = season.rubrics.get()
    assert answer.headers["Location"] == at("rubric_weights", rubric.pk)
    assert "Go on with the draft" in text(admin, at("rubrics"))


def test_a_season_begins_once(admin: Client, draft: Rubric) -> None:
    answer = admin.post(at("rubric_start", draft.season_id), follow=True)
    assert "has a rubric in work already" in answer.content.decode()
    assert draft.season.rubrics.count() == 1


def test_without_a_season_the_page_says_what_comes_first(cast: Cast, admin: Client) -> None:
    assert "Enter the season first" in text(admin, at("rubrics"))
    assert "No rubric is published yet" in text(signed_in(cast.official), at("rubrics"))


def test_last_seasons_rubric_is_copied(cast: Cast, admin: Client, season: Season) -> None:
    source = published_rubric(season, cast.admin)
    following = Season.objects.create(
        association=cast.association,
        name="2027–28",
        starts_on=date(2027, 9, 1),
        ends_on=date(2028, 4, 30),
    )
    address = f"{at('rubric_copy', source.pk)}?season={following.pk}"
    assert address in text(admin, at("rubrics"))
    assert f'<option value="{following.pk}" selected>' in text(admin, address)
    answer = admin.post(address, {"season": following.pk})
    copy = following.rubrics.get()
    assert answer.headers["Location"] == at("rubric_weights", copy.pk)


def test_a_copy_goes_to_no_season_that_has_one_in_work(
    admin: Client, draft: Rubric, cast: Cast
) -> None:
    assert "Every season has a rubric in work" in text(admin, at("rubric_copy", draft.pk))
    answer = admin.post(at("rubric_copy", draft.pk), {"season": draft.season_id})
    assert answer.status_code == 200
    assert Rubric.objects.count() == 1


def test_a_copy_goes_to_no_season_of_another_association(
    cast: Cast, admin: Client, draft: Rubric
) -> None:
    theirs = season_of(cast.other_association)
    assert admin.post(at("rubric_copy", draft.pk), {"season": theirs.pk}).status_code == 200
    assert not theirs.rubrics.exists()


def test_the_page_of_publication_says_what_publishing_does(admin: Client, draft: Rubric) -> None:
    page = text(admin, at("rubric_publish", draft.pk))
    for part in (
        "The edition is locked.",
        "Every member of the association can read and print it",
        "Observations of earlier games are not scored under it.",
        "It takes two admins",
        "Propose for publication",
    ):
        assert part in page
    assert "A second admin is needed" not in page


def test_missing_texts_are_listed_with_a_link_and_stop_the_proposal(
    cast: Cast, admin: Client, draft: Rubric
) -> None:
    set_area_labels(
        rubric=draft,
        version=draft.version,
        area="signals",
        labels={"en": ""},
        by=cast.admin,
        now=NOW,
    )
    page = text(admin, at("rubric_publish", draft.pk))
    assert f'href="{at("rubric_area", draft.pk, "signals")}#id_en"' in page
    assert "Propose for publication" not in page
    answer = admin.post(at("rubric_propose", draft.pk), {"version": 2}, follow=True)
    assert "Texts are missing" in answer.content.decode()
    assert Rubric.objects.get().state == "draft"


def test_one_admin_proposes_and_a_second_publishes(
    admin: Client, second_admin: Client, draft: Rubric
) -> None:
    answer = admin.post(at("rubric_propose", draft.pk), {"version": 1}, follow=True)
    assert "another admin has to approve it" in answer.content.decode()
    own = text(admin, at("rubric_publish", draft.pk))
    assert "You proposed it yourself" in own and "Approve and publish" not in own
    refused = admin.post(at("rubric_approve", draft.pk), {"version": 2}, follow=True)
    assert "A second admin has to approve it" in refused.content.decode()
    assert "Approve and publish" in text(second_admin, at("rubric_publish", draft.pk))
    second_admin.post(at("rubric_approve", draft.pk), {"version": 2})
    assert Rubric.objects.get().state == "published"
    page = text(admin, at("rubric_publish", draft.pk))
    assert "proposed by Ada Moreno, approved by Bela Whitcombe" in page


def test_a_proposal_is_withdrawn(cast: Cast, second_admin: Client, draft: Rubric) -> None:
    propose(rubric=draft, version=1, by=cast.admin, now=NOW)
    second_admin.post(at("rubric_withdraw", draft.pk), {"version": 2})
    assert Rubric.objects.get().state == "draft"


def test_a_step_without_a_version_does_nothing(admin: Client, draft: Rubric) -> None:
    answer = admin.post(at("rubric_propose", draft.pk), follow=True)
    assert "Load the page again" in answer.content.decode()
    assert Rubric.objects.get().state == "draft"


def test_a_single_admin_is_told_to_invite_a_second(
    cast: Cast, admin: Client, draft: Rubric
) -> None:
    cast.second_admin.active = False
    cast.second_admin.save()
    page = text(admin, at("rubric_publish", draft.pk))
    assert "A second admin is needed" in page
    assert reverse("accounts:invite", args=["rivers"]) in page


@pytest.mark.parametrize("name", ["rubric_weights", "rubric_words", "rubric_areas"])
def test_pages_that_edit_lead_to_reading_once_it_is_published(
    cast: Cast, admin: Client, season: Season, name: str
) -> None:
    published = published_rubric(season, cast.admin)
    answer = admin.get(at(name, published.pk))
    assert answer.headers["Location"] == at("rubric", published.pk)


def test_lists_and_reading_take_a_bounded_number_of_queries(
    cast: Cast, season: Season, django_assert_max_num_queries: DjangoAssertNumQueries
) -> None:
    rubric = published_rubric(season, cast.admin)
    client = signed_in(cast.official)
    client.get(at("rubrics"))
    with django_assert_max_num_queries(8):
        client.get(at("rubrics"))
    with django_assert_max_num_queries(22):
        client.get(at("rubric", rubric.pk))
