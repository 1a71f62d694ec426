"""Changes to a membership: its terms, its end, its return."""

from __future__ import annotations

from datetime import datetime

from django.core.exceptions import ValidationError
from django.db import transaction
from django.utils.translation import gettext as _

from accounts.models import Association, Membership, Role, Terms, User
from accounts.queries.people import admins
from accounts.services.audit import record


@transaction.atomic
def change_membership(
    *, membership: Membership, actor: User, terms: Terms, now: datetime
) -> Membership:
    """Put a membership on other terms, from the person's next request on.

    Raises ValidationError when the association would be without an admin.
    """
    kept = _locked(membership)
    before = kept.terms
    kept.set_terms(terms)
    if Role.ADMIN in before.roles and not kept.is_admin and kept.active:
        _refuse_last_admin(kept)
    kept.full_clean()
    kept.save()
    changed = sorted(
        column
        for column in ("new_official", "under_18", "guardian_email", "cleared_until")
        if getattr(before, column) != getattr(kept.terms, column)
    )
    details: dict[str, list[str]] = {
        "roles_before": sorted(role.value for role in before.roles),
        "roles": sorted(role.value for role in kept.terms.roles),
        "changed": changed,
    }
    _record(kept, actor, "membership.changed", now, details)
    return kept


@transaction.atomic
def end_membership(*, membership: Membership, actor: User, now: datetime) -> Membership:
    """End a membership; what the person did stays. Undone by `return_to_membership`."""
    kept = _locked(membership)
    if kept.is_admin and kept.active:
        _refuse_last_admin(kept)
    kept.active = False
    kept.save(update_fields=["active"])
    _record(kept, actor, "membership.ended", now, {})
    return kept


@transaction.atomic
def return_to_membership(*, membership: Membership, actor: User, now: datetime) -> Membership:
    """Open a membership again that had ended, on the terms it had."""
    kept = _locked(membership)
    kept.active = True
    kept.save(update_fields=["active"])
    _record(kept, actor, "membership.returned", now, {})
    return kept


def _locked(membership: Membership) -> Membership:
    """The row as it is now. The association's row is the lock: two admins can't remove each
    other at the same moment.
    """
    Association.objects.select_for_update().get(pk=membership.association_id)
    return Membership.objects.select_related("user", "association").get(pk=membership.pk)


def _refuse_last_admin(membership: Membership) -> None:
    if not admins(membership.association).exclude(pk=membership.pk).exists():
        raise ValidationError(
            _("The association needs an admin. Make somebody else an admin first.")
        )


def _record(
    membership: Membership,
    actor: User,
    action: str,
    now: datetime,
    details: dict[str, list[str]],
) -> None:
    record(
        actor=actor,
        association=membership.association,
        action=action,
        target=membership,
        now=now,
        details=details,
    )
