"""The command that founds an association."""

from __future__ import annotations

from io import StringIO
from urllib.parse import urlsplit

import pytest
from django.core.management import CommandError, call_command
from django.test import Client

from accounts.models import Association, Invitation, Membership, Role
from tests.factories.accounts import PASSWORD, Cast


def found(name: str = "Two Lakes Officials' Association", slug: str = "two-lakes") -> str:
    printed = StringIO()
    call_command(
        "create_association",
        name,
        slug,
        "--admin-name=Ida Roe",
        "--admin-email=ida@example.org",
        "--time-zone=America/Chicago",
        stdout=printed,
    )
    return printed.getvalue().strip()


def test_it_prints_a_link_that_makes_the_first_admin(db: None) -> None:
    path = urlsplit(found()).path
    Client().post(
        path,
        {
            "name": "Ida Roe",
            "language": "en",
            "password": PASSWORD,
            "password_again": PASSWORD,
        },
    )
    membership = Membership.objects.get()
    assert membership.roles == {Role.ADMIN}
    assert membership.association.slug == "two-lakes"


@pytest.mark.parametrize(
    ("name", "slug"),
    [
        ("Three Rivers Officials' Association", "new"),
        ("New", "rivers"),
        ("New", "two words"),
    ],
)
def test_a_name_that_is_taken_or_makes_no_address_founds_nothing(
    cast: Cast, name: str, slug: str
) -> None:
    with pytest.raises(CommandError):
        found(name, slug)
    assert Association.objects.count() == 2
    assert not Invitation.objects.exists()
