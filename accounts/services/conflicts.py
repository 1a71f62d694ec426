"""Declared conflicts: an observer in conflict with an official isn't sent to his or her games."""

from __future__ import annotations

from datetime import datetime

from django.core.exceptions import ValidationError
from django.db import transaction
from django.utils.translation import gettext as _

from accounts.models import Conflict, Membership, Role, User
from accounts.services.audit import record


@transaction.atomic
def declare_conflict(
    *, observer: Membership, official: Membership, reason: str, actor: User, now: datetime
) -> Conflict:
    """Raises ValidationError for a pair that isn't an observer and an official of one
    association, or that is declared already.
    """
    if Role.OBSERVER not in observer.roles:
        raise ValidationError(_("Choose an observer of the association."))
    if Role.OFFICIAL not in official.roles:
        raise ValidationError(_("Choose an official of the association."))
    conflict = Conflict(
        observer=observer, official=official, reason=reason.strip(), declared_at=now
    )
    conflict.full_clean()
    conflict.save()
    _record(conflict, actor, "conflict.declared", now)
    return conflict


@transaction.atomic
def withdraw_conflict(*, conflict: Conflict, actor: User, now: datetime) -> None:
    """The pair is free again; the audit log keeps that it wasn't."""
    _record(conflict, actor, "conflict.withdrawn", now)
    conflict.delete()


def _record(conflict: Conflict, actor: User, action: str, now: datetime) -> None:
    record(
        actor=actor,
        association=conflict.observer.association,
        action=action,
        target=conflict,
        now=now,
        details={"observer": conflict.observer_id, "official": conflict.official_id},
    )
