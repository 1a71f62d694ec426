"""The page of an invitation's link."""

from __future__ import annotations

from concurrent.futures import ThreadPoolExecutor
from datetime import datetime, timedelta

import pytest
from allauth.account.models import EmailAddress
from django.db import connection
from django.test import Client
from django.urls import reverse
from django.utils import timezone

from accounts.models import Invitation, Membership, Role, User
from accounts.services.invitations import (
    InvitationClosed,
    WrongPerson,
    accept_as_existing_person,
    accept_as_new_person,
    invite,
    revoke_invitation,
)
from tests.factories.accounts import NOW, PASSWORD, AssociationFactory, Cast, signed_in, terms

ANSWERS = {
    "name": "Nell Ashby",
    "language": "es",
    "password": PASSWORD,
    "password_again": PASSWORD,
}


def invited(
    cast: Cast, email: str = "nell@example.org", now: datetime | None = None
) -> tuple[Invitation, str]:
    """An invitation as a young official, and the path of its link."""
    invitation, token = invite(
        association=cast.association,
        actor=cast.admin.user,
        email=email,
        name="Nell",
        terms=terms(
            Role.OFFICIAL, under_18=True, guardian_email="parent@example.org", new_official=True
        ),
        now=now or timezone.now(),
    )
    return invitation, reverse("accounts:invitation_accept", args=[token])


def text(answer: object) -> str:
    return answer.content.decode()  # type: ignore[attr-defined, no-any-return]


def test_a_new_person_sets_a_password_and_is_in(cast: Cast) -> None:
    invitation, path = invited(cast)
    client = Client()
    page = text(client.get(path))
    assert "Join Three Rivers Officials&#x27; Association" in page
    assert "nell@example.org" in page
    answer = client.post(path, ANSWERS)
    assert answer["Location"] == reverse("evaluations:home", args=[cast.slug])
    person = User.objects.get(email="nell@example.org")
    assert (person.name, person.language, person.time_zone) == (
        "Nell Ashby",
        "es",
        "America/Chicago",
    )
    membership = person.memberships.get()
    assert membership.terms == invitation.terms
    assert EmailAddress.objects.get(user=person).verified
    assert client.get("/profile/").status_code == 200


def test_only_looking_at_it_uses_nothing(cast: Cast) -> None:
    invitation, path = invited(cast)
    Client().get(path)
    signed_in(cast.official).get(path)
    invitation.refresh_from_db()
    assert invitation.used_at is None
    assert not User.objects.filter(email="nell@example.org").exists()


@pytest.mark.parametrize(
    ("changes", "says"),
    [
        ({"password": "short", "password_again": "short"}, "This password is too short."),
        ({"password_again": PASSWORD + "s"}, "The two passwords differ."),
        (
            {"password": "nell@example.org", "password_again": "nell@example.org"},
            "The password is too similar",
        ),
        ({"name": ""}, "This field is required."),
    ],
)
def test_what_is_wrong_is_said_and_the_invitation_stays_good(
    cast: Cast, changes: dict[str, str], says: str
) -> None:
    invitation, path = invited(cast)
    page = text(Client().post(path, ANSWERS | changes))
    assert says in page
    invitation.refresh_from_db()
    assert invitation.used_at is None
    assert not User.objects.filter(email="nell@example.org").exists()
    assert Client().post(path, ANSWERS).status_code == 302


def test_somebody_with_an_account_signs_in_first(cast: Cast) -> None:
    _invitation, path = invited(cast, cast.other_official_elsewhere.user.email)
    page = text(Client().get(path))
    assert "This address has an account." in page
    assert f"{reverse('account_login')}?next={path}" in page
    assert 'name="password"' not in page


def test_somebody_with_an_account_joins_with_it(cast: Cast) -> None:
    person = cast.other_official_elsewhere.user
    _invitation, path = invited(cast, person.email)
    client = signed_in(person)
    assert "You keep the account" in text(client.get(path))
    answer = client.post(path)
    assert answer["Location"] == reverse("evaluations:home", args=[cast.slug])
    slugs = set(person.memberships.values_list("association__slug", flat=True))
    assert slugs == {"harbor", "rivers"}


def test_an_ended_membership_is_opened_again_on_the_new_terms(cast: Cast) -> None:
    invitation, path = invited(cast, cast.former_official.user.email)
    signed_in(cast.former_official).post(path)
    again = Membership.objects.get(pk=cast.former_official.pk)
    assert again.active
    assert again.terms == invitation.terms


def test_who_is_a_member_already_stays_on_the_terms_there_are(cast: Cast) -> None:
    invitation, path = invited(cast)
    cast.admin.user.email = invitation.email
    cast.admin.user.save()
    assert signed_in(cast.admin).post(path).status_code == 302
    assert Membership.objects.get(pk=cast.admin.pk).roles == {Role.ADMIN}


def test_somebody_else_who_is_signed_in_can_t_take_it(cast: Cast) -> None:
    invitation, path = invited(cast)
    client = signed_in(cast.stranger)
    assert "This invitation is for somebody else" in text(client.get(path))
    answer = client.post(path)
    assert answer.status_code == 403
    assert "nell@example.org" in text(answer)
    with pytest.raises(WrongPerson):
        accept_as_existing_person(invitation=invitation, user=cast.stranger, now=timezone.now())
    invitation.refresh_from_db()
    assert invitation.used_at is None
    assert not cast.stranger.memberships.exists()


def test_a_used_invitation_says_so(cast: Cast) -> None:
    _invitation, path = invited(cast)
    Client().post(path, ANSWERS)
    for method in ("get", "post"):
        answer = getattr(Client(), method)(path, ANSWERS)
        assert answer.status_code == 410
        assert "This invitation has been used" in text(answer)
    assert User.objects.filter(email="nell@example.org").count() == 1


def test_an_expired_invitation_says_so(cast: Cast) -> None:
    _invitation, path = invited(cast, now=timezone.now() - timedelta(days=7))
    answer = Client().post(path, ANSWERS)
    assert answer.status_code == 410
    assert "seven days are over" in text(answer)
    assert not User.objects.filter(email="nell@example.org").exists()


def test_a_revoked_invitation_says_so(cast: Cast) -> None:
    invitation, path = invited(cast)
    revoke_invitation(invitation=invitation, actor=cast.admin.user, now=timezone.now())
    answer = Client().post(path, ANSWERS)
    assert answer.status_code == 410
    assert "This invitation was revoked" in text(answer)
    assert not User.objects.filter(email="nell@example.org").exists()


def test_an_unknown_link_is_no_invitation(cast: Cast) -> None:
    answer = Client().get(reverse("accounts:invitation_accept", args=["A" * 43]))
    assert answer.status_code == 404
    assert "There is no such invitation" in text(answer)


def test_what_is_stored_opens_nothing(cast: Cast) -> None:
    invitation, _path = invited(cast)
    stored = reverse("accounts:invitation_accept", args=[invitation.token_hash])
    assert Client().get(stored).status_code == 404


def test_no_cache_keeps_the_page(cast: Cast) -> None:
    _invitation, path = invited(cast)
    assert "no-store" in Client().get(path)["Cache-Control"]


def test_an_invited_admin_is_led_to_the_second_step(cast: Cast) -> None:
    _invitation, token = invite(
        association=cast.association,
        actor=cast.admin.user,
        email="nell@example.org",
        name="Nell",
        terms=terms(Role.ADMIN),
        now=timezone.now(),
    )
    client = Client()
    client.post(reverse("accounts:invitation_accept", args=[token]), ANSWERS)
    assert client.get("/a/rivers/people/")["Location"] == reverse("mfa_activate_totp")


def twenty_at_once() -> list[str]:
    """What each of twenty parallel uses of one invitation comes to."""
    association = AssociationFactory.create()
    invitation, _token = invite(
        association=association,
        actor=None,
        email="nell@example.org",
        name="Nell",
        terms=terms(Role.OFFICIAL),
        now=NOW,
    )

    def use(number: int) -> str:
        try:
            accept_as_new_person(
                invitation=Invitation.objects.select_related("association").get(pk=invitation.pk),
                name=f"Nell {number}",
                password=PASSWORD,
                language="en",
                now=NOW,
            )
        except InvitationClosed:
            return "closed"
        finally:
            connection.close()
        return "joined"

    with ThreadPoolExecutor(20) as pool:
        return sorted(pool.map(use, range(20)))


def one_account_came_of_it(outcomes: list[str]) -> None:
    assert outcomes == ["closed"] * 19 + ["joined"]
    assert User.objects.filter(email="nell@example.org").count() == 1
    assert Membership.objects.count() == 1


@pytest.mark.usefixtures("own_sqlite")
def test_twenty_parallel_uses_make_one_account() -> None:
    one_account_came_of_it(twenty_at_once())


@pytest.mark.usefixtures("own_postgres")
def test_twenty_parallel_uses_make_one_account_on_postgresql() -> None:
    one_account_came_of_it(twenty_at_once())
