"""Who belongs where."""

from __future__ import annotations

from datetime import datetime

from django.db.models import Q, QuerySet

from accounts.models import Association, Conflict, Invitation, Membership, Role, User
from accounts.models.terms import ROLE_COLUMNS


def membership_for(user: User, slug: str) -> Membership | None:
    """The person's running membership in the association with this short name, if any."""
    return (
        Membership.objects.select_related("user", "association")
        .filter(user=user, association__slug=slug, active=True)
        .first()
    )


def memberships_of(user: User) -> QuerySet[Membership]:
    """The person's running memberships, by the association's name."""
    return (
        Membership.objects.select_related("association")
        .filter(user=user, active=True)
        .order_by("association__name")
    )


def people(
    asker: Membership, *, search: str = "", role: Role | None = None, ended: bool = False
) -> QuerySet[Membership]:
    """The memberships of the asker's association, by name.

    `search` looks into names and addresses; `ended` asks for those that have ended instead.
    """
    found = (
        Membership.objects.select_related("user", "association")
        .filter(association=asker.association, active=not ended)
        .order_by("user__name", "pk")
    )
    if search:
        found = found.filter(Q(user__name__icontains=search) | Q(user__email__icontains=search))
    return with_role(found, role) if role else found


def everybody(asker: Membership) -> QuerySet[Membership]:
    """All memberships of the asker's association, ended ones included."""
    return Membership.objects.select_related("user", "association").filter(
        association=asker.association
    )


def with_role(memberships: QuerySet[Membership], role: Role) -> QuerySet[Membership]:
    return memberships.filter(**{ROLE_COLUMNS[role]: True})


def admins(association: Association) -> QuerySet[Membership]:
    """Who runs the association now."""
    return Membership.objects.filter(association=association, active=True, is_admin=True)


def open_invitations(asker: Membership, *, now: datetime) -> QuerySet[Invitation]:
    """Invitations of the asker's association that can still be accepted, newest first."""
    return Invitation.objects.filter(
        association=asker.association, used_at=None, revoked_at=None, expires_at__gt=now
    ).order_by("-created_at")


def conflicts(asker: Membership) -> QuerySet[Conflict]:
    """What an observer declared; an admin sees every observer's."""
    found = (
        Conflict.objects.select_related("observer__user", "official__user")
        .filter(observer__association=asker.association)
        .order_by("observer__user__name", "official__user__name")
    )
    return found if Role.ADMIN in asker.roles else found.filter(observer=asker)
