"""The pages of the seasons."""

from __future__ import annotations

from datetime import date

from django.test import Client
from django.urls import reverse

from evaluations.models import Season
from tests.factories.accounts import Cast, signed_in
from tests.factories.evaluations import game_with, season_of

DAYS = {"name": "2026–27", "starts_on": "2026-09-01", "ends_on": "2027-04-30"}


def browser(cast: Cast) -> Client:
    return signed_in(cast.admin)


def test_without_a_season_the_list_says_to_begin_one(cast: Cast) -> None:
    page = browser(cast).get(reverse("evaluations:season_list", args=[cast.slug]))
    assert "No season yet" in page.text
    assert reverse("evaluations:season_new", args=[cast.slug]) in page.text


def test_an_admin_begins_a_season(cast: Cast) -> None:
    client = browser(cast)
    page = client.post(reverse("evaluations:season_new", args=[cast.slug]), DAYS, follow=True)
    season = Season.objects.get()
    assert (season.association, season.starts_on) == (cast.association, date(2026, 9, 1))
    assert "The season is entered." in page.text
    assert "2026–27" in page.text


def test_a_season_that_ends_before_it_starts_is_refused_and_kept_on_the_page(cast: Cast) -> None:
    address = reverse("evaluations:season_new", args=[cast.slug])
    page = browser(cast).post(address, {**DAYS, "ends_on": "2026-08-31"})
    assert "A season can&#x27;t end before it starts." in page.text
    assert 'value="2026–27"' in page.text
    assert not Season.objects.exists()


def test_a_second_season_of_the_same_name_is_refused(cast: Cast) -> None:
    season_of(cast.association)
    page = browser(cast).post(reverse("evaluations:season_new", args=[cast.slug]), DAYS)
    assert "There is a season of this name already." in page.text


def test_a_season_is_changed_unless_a_game_would_fall_out_of_it(cast: Cast) -> None:
    season = season_of(cast.association)
    game_with(season, cast.official, cast.other_official)
    address = reverse("evaluations:season_edit", args=[cast.slug, season.pk])
    page = browser(cast).post(address, {**DAYS, "name": "Next", "ends_on": "2026-10-31"})
    assert "1 game of the season would be outside" in page.text
    assert "Change 2026–27" in page.text
    page = browser(cast).post(address, {**DAYS, "name": "Winter"}, follow=True)
    assert "The season is changed." in page.text
    season.refresh_from_db()
    assert season.name == "Winter"


def test_a_season_of_another_association_does_not_exist(cast: Cast) -> None:
    season = season_of(cast.other_association)
    address = reverse("evaluations:season_edit", args=[cast.slug, season.pk])
    assert browser(cast).get(address).status_code == 404
    assert browser(cast).post(address, DAYS).status_code == 404


def test_only_admins_open_the_pages_of_seasons(cast: Cast) -> None:
    season = season_of(cast.association)
    addresses = [
        reverse("evaluations:season_list", args=[cast.slug]),
        reverse("evaluations:season_new", args=[cast.slug]),
        reverse("evaluations:season_edit", args=[cast.slug, season.pk]),
    ]
    for who in (cast.observer, cast.official, cast.board):
        assert {signed_in(who).get(address).status_code for address in addresses} == {403}
