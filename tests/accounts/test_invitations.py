"""Inviting somebody, and taking an invitation back."""

from __future__ import annotations

import hashlib
import re
from datetime import date, timedelta
from smtplib import SMTPException
from unittest.mock import patch

import pytest
from django.core import mail
from django.core.exceptions import ValidationError
from django.urls import reverse

from accounts.models import Invitation, InvitationState, Role
from accounts.services.invitations import InvitationClosed, invite, revoke_invitation
from tests.factories.accounts import NOW, Cast, signed_in, terms

NEW = {"name": "Nell Ashby", "email": "Nell.Ashby@example.org", "roles": ["official"]}


def send(cast: Cast, **changes: object) -> tuple[str, Invitation | None]:
    """The page after the form is sent, and the invitation that it made."""
    address = reverse("accounts:invite", args=[cast.slug])
    page = signed_in(cast.admin).post(address, NEW | changes).content.decode()
    return page, Invitation.objects.order_by("-pk").first()


def test_an_invitation_shows_its_link_once_and_stores_a_hash(cast: Cast) -> None:
    page, invitation = send(cast)
    found = re.search(r'value="http://127\.0\.0\.1:8000/invitation/([\w-]{43})/"', page)
    assert found is not None and invitation is not None
    assert invitation.token_hash == hashlib.sha256(found[1].encode()).hexdigest()
    assert found[1] not in signed_in(cast.admin).get("/a/rivers/people/").content.decode()


def test_it_is_good_for_seven_days(cast: Cast) -> None:
    _page, invitation = send(cast)
    assert invitation is not None
    assert invitation.expires_at - invitation.created_at == timedelta(days=7)
    assert invitation.state(invitation.expires_at - timedelta(seconds=1)) == InvitationState.OPEN
    assert invitation.state(invitation.expires_at) == InvitationState.EXPIRED


def test_the_mail_holds_the_link_and_nothing_about_marks(cast: Cast) -> None:
    page, _invitation = send(cast, under_18="on", guardian_email="parent@example.org")
    [message] = mail.outbox
    assert message.to == ["nell.ashby@example.org"]
    assert message.subject == "Crewmark: invitation from Three Rivers Officials' Association"
    link = re.search(r"http://\S+/invitation/\S+", str(message.body))
    assert link is not None and link[0] in page
    assert "18" not in str(message.body).replace(link[0], "").split("good once")[0]
    assert "parent@example.org" not in str(message.body)


def test_the_mail_speaks_the_association_s_language(cast: Cast) -> None:
    cast.association.language = "es"
    cast.association.save()
    send(cast)
    with patch("accounts.services.mail.translation.override") as override:
        send(cast)
    override.assert_called_with("es")


def test_a_mail_server_that_refuses_is_said_and_the_link_is_there(cast: Cast) -> None:
    with patch("accounts.services.mail.send_mail", side_effect=SMTPException("no")):
        page, invitation = send(cast)
    assert "The mail could not be sent" in page
    assert "/invitation/" in page
    assert invitation is not None


def test_roles_marks_and_clearance_come_along(cast: Cast) -> None:
    send(
        cast,
        roles=["official", "observer"],
        new_official="on",
        under_18="on",
        guardian_email="Parent@Example.org",
        cleared_until="2027-06-30",
    )
    invitation = Invitation.objects.get()
    assert invitation.terms == terms(
        Role.OFFICIAL,
        Role.OBSERVER,
        new_official=True,
        under_18=True,
        guardian_email="parent@example.org",
        cleared_until=date(2027, 6, 30),
    )


@pytest.mark.parametrize(
    ("changes", "says"),
    [
        ({"roles": []}, "Choose at least one role."),
        ({"under_18": "on"}, "An official under 18 needs a guardian&#x27;s address."),
        (
            {"under_18": "on", "guardian_email": "p@example.org", "roles": ["observer"]},
            "The mark for under 18 is for officials only.",
        ),
        ({"email": "nico.vale@example.org"}, "This address belongs to a member already."),
        ({"email": "not an address"}, "Enter a valid email address."),
        ({"name": " "}, "This field is required."),
    ],
)
def test_what_makes_no_sense_is_said_and_sends_nothing(
    cast: Cast, changes: dict[str, object], says: str
) -> None:
    page, invitation = send(cast, **changes)
    assert says in page
    assert invitation is None
    assert mail.outbox == []


def test_a_new_invitation_to_the_same_address_replaces_the_open_one(cast: Cast) -> None:
    send(cast)
    send(cast)
    states = [invitation.revoked_at is None for invitation in Invitation.objects.order_by("pk")]
    assert states == [False, True]


def test_two_associations_may_invite_the_same_person(cast: Cast) -> None:
    for membership in (cast.admin, cast.other_admin):
        invite(
            association=membership.association,
            actor=membership.user,
            email="nell@example.org",
            name="Nell",
            terms=terms(Role.OFFICIAL),
            now=NOW,
        )
    assert Invitation.objects.filter(revoked_at=None).count() == 2


def test_the_database_refuses_an_invitation_without_a_guardian(cast: Cast) -> None:
    with pytest.raises(ValidationError, match="guardian"):
        invite(
            association=cast.association,
            actor=cast.admin.user,
            email="kit@example.org",
            name="Kit",
            terms=terms(Role.OFFICIAL, under_18=True),
            now=NOW,
        )


def test_revoking_takes_it_from_the_list(cast: Cast) -> None:
    _page, invitation = send(cast)
    assert invitation is not None
    client = signed_in(cast.admin)
    assert "Nell Ashby" in client.get("/a/rivers/people/").content.decode()
    address = reverse("accounts:invitation_revoke", args=[cast.slug, invitation.pk])
    assert client.post(address).status_code == 302
    invitation.refresh_from_db()
    assert invitation.revoked_at is not None
    people = client.get("/a/rivers/people/").content.decode()
    assert "The invitation to nell.ashby@example.org is revoked." in people
    assert "Nell Ashby" not in people


def test_revoking_twice_is_refused(cast: Cast) -> None:
    _page, invitation = send(cast)
    assert invitation is not None
    revoke_invitation(invitation=invitation, actor=cast.admin.user, now=NOW)
    with pytest.raises(InvitationClosed):
        revoke_invitation(invitation=invitation, actor=cast.admin.user, now=NOW)


def test_another_association_s_invitation_can_t_be_revoked(cast: Cast) -> None:
    _page, invitation = send(cast)
    assert invitation is not None
    for slug in ("rivers", "harbor"):
        address = reverse("accounts:invitation_revoke", args=[slug, invitation.pk])
        assert signed_in(cast.other_admin).post(address).status_code == 404
    invitation.refresh_from_db()
    assert invitation.revoked_at is None
