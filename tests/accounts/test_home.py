"""The first page after signing in."""

from __future__ import annotations

from django.urls import reverse

from accounts.models import Membership, Role
from tests.factories.accounts import Cast, MembershipFactory, signed_in, terms


def test_one_association_opens_at_once(cast: Cast) -> None:
    answer = signed_in(cast.official).get("/")
    assert answer["Location"] == reverse("evaluations:home", args=["rivers"])


def test_several_are_listed_with_the_roles_held_in_each(cast: Cast) -> None:
    MembershipFactory.create(
        association=cast.other_association,
        user=cast.official.user,
        terms=terms(Role.BOARD, Role.OBSERVER),
    )
    page = signed_in(cast.official).get("/").content.decode()
    assert "Three Rivers Officials&#x27; Association" in page
    assert "Salt Harbor Officials&#x27; Association" in page
    assert "observer, board member" in page


def test_none_says_what_to_do(cast: Cast) -> None:
    page = signed_in(cast.stranger).get("/").content.decode()
    assert "You belong to no association now" in page


def test_an_ended_membership_is_not_listed(cast: Cast) -> None:
    assert Membership.objects.filter(user=cast.former_official.user).exists()
    page = signed_in(cast.former_official).get("/").content.decode()
    assert "Three Rivers" not in page


def test_the_header_shows_what_the_roles_allow(cast: Cast) -> None:
    people = reverse("accounts:people", args=["rivers"])
    conflicts = reverse("accounts:conflicts", args=["rivers"])
    observer = signed_in(cast.observer).get(conflicts).content.decode()
    admin = signed_in(cast.admin).get(conflicts).content.decode()
    assert f'href="{people}"' not in observer
    assert f'href="{people}"' in admin
    assert f'href="{conflicts}" aria-current="page"' in observer
