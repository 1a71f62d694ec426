"""Invitations by link: the only way into an association.

The link holds 32 random bytes and only their SHA-256 is stored, so that whoever reads the
database can't use it. It is good for seven days and once: accepting is one conditional UPDATE,
and of any number of parallel uses one changes a row.
"""

from __future__ import annotations

import hashlib
import secrets
from datetime import datetime, timedelta
from typing import Final

from allauth.account.models import EmailAddress
from django.contrib.auth.password_validation import validate_password
from django.core.exceptions import ValidationError
from django.db import transaction
from django.utils.translation import gettext as _

from accounts.models import Association, Invitation, Membership, Terms, User
from accounts.services.audit import record

GOOD_FOR: Final = timedelta(days=7)
TOKEN_BYTES: Final = 32


class InvitationClosed(Exception):
    """The invitation has been used or revoked, or its time is over."""


class WrongPerson(Exception):
    """The invitation was sent to another address than that of who is signed in."""


def token_hash(token: str) -> str:
    """What is stored of a token. It is random and long: salt and slowness would add nothing."""
    return hashlib.sha256(token.encode()).hexdigest()


@transaction.atomic
def invite(
    *,
    association: Association,
    actor: User | None,
    email: str,
    name: str,
    terms: Terms,
    now: datetime,
) -> tuple[Invitation, str]:
    """Make an invitation and the token of its link, which can't be had again.

    An open invitation to the same address is revoked: its link may be lost. Raises
    ValidationError when the address belongs to a member already.
    """
    Association.objects.select_for_update().get(pk=association.pk)
    email = email.strip().lower()
    if Membership.objects.filter(association=association, user__email=email, active=True).exists():
        raise ValidationError({"email": _("This address belongs to a member already.")})
    for earlier in Invitation.objects.filter(
        association=association, email=email, used_at=None, revoked_at=None
    ):
        revoke_invitation(invitation=earlier, actor=actor, now=now)
    token = secrets.token_urlsafe(TOKEN_BYTES)
    invitation = Invitation(
        association=association,
        email=email,
        name=name.strip(),
        token_hash=token_hash(token),
        invited_by=actor,
        created_at=now,
        expires_at=now + GOOD_FOR,
    )
    invitation.set_terms(terms)
    invitation.full_clean()
    invitation.save()
    _record(invitation, actor, "invitation.sent", now)
    return invitation, token


@transaction.atomic
def revoke_invitation(*, invitation: Invitation, actor: User | None, now: datetime) -> None:
    """Make the link worthless. Raises InvitationClosed when it was used or revoked before."""
    revoked = Invitation.objects.filter(pk=invitation.pk, used_at=None, revoked_at=None).update(
        revoked_at=now
    )
    if not revoked:
        raise InvitationClosed
    _record(invitation, actor, "invitation.revoked", now)


@transaction.atomic
def accept_as_new_person(
    *, invitation: Invitation, name: str, password: str, language: str, now: datetime
) -> Membership:
    """Make the account that the invitation is for, and its membership.

    Raises InvitationClosed, or ValidationError for a password that is too easy to guess and for
    an address that has an account by now.
    """
    association = invitation.association
    _use(invitation, now)
    if User.objects.filter(email=invitation.email).exists():
        raise ValidationError(_("This address has an account. Sign in and open the link again."))
    person = User(
        email=invitation.email,
        name=name.strip(),
        language=language,
        time_zone=association.time_zone,
    )
    try:
        validate_password(password, person)
    except ValidationError as error:
        raise ValidationError({"password": error.messages}) from None
    person = User.objects.create_user(
        person.email,
        password,
        name=person.name,
        language=person.language,
        time_zone=person.time_zone,
    )
    # The link went to this address, so who holds it has shown that it is his or hers.
    EmailAddress.objects.create(user=person, email=person.email, verified=True, primary=True)
    return _join(invitation, person, now)


@transaction.atomic
def accept_as_existing_person(*, invitation: Invitation, user: User, now: datetime) -> Membership:
    """Join with the account that is signed in. Raises InvitationClosed or WrongPerson."""
    if user.email.lower() != invitation.email:
        raise WrongPerson
    _use(invitation, now)
    return _join(invitation, user, now)


def _use(invitation: Invitation, now: datetime) -> None:
    used = Invitation.objects.filter(
        pk=invitation.pk, used_at=None, revoked_at=None, expires_at__gt=now
    ).update(used_at=now)
    if not used:
        raise InvitationClosed


def _join(invitation: Invitation, user: User, now: datetime) -> Membership:
    """Make the membership, or open again one that had ended, on the invitation's terms.

    Who is a member already stays on the terms there are: only an admin changes those.
    """
    membership = Membership.objects.filter(
        association=invitation.association, user=user
    ).first() or Membership(association=invitation.association, user=user, active=False)
    if not membership.active:
        membership.active = True
        membership.set_terms(invitation.terms)
        membership.full_clean()
        membership.save()
    record(
        actor=user,
        association=invitation.association,
        action="invitation.accepted",
        target=membership,
        now=now,
        details={"invitation": invitation.pk, "roles": sorted(membership.roles)},
    )
    return membership


def _record(invitation: Invitation, actor: User | None, action: str, now: datetime) -> None:
    record(
        actor=actor,
        association=invitation.association,
        action=action,
        target=invitation,
        now=now,
        details={"roles": sorted(invitation.terms.roles)},
    )
