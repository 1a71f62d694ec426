"""An invitation by link. Only a hash of its token is stored."""

from __future__ import annotations

from datetime import datetime

from django.conf import settings
from django.db import models
from django.db.models import Q
from django.utils.translation import gettext_lazy as _

from accounts.models.association import Association
from accounts.models.terms import HoldsTerms


class InvitationState(models.TextChoices):
    OPEN = "open", _("open")
    USED = "used", _("used")
    REVOKED = "revoked", _("revoked")
    EXPIRED = "expired", _("expired")


class Invitation(HoldsTerms):
    """Good once and for seven days; what the membership will be is fixed when it is sent.

    `invited_by` is empty for the first admin of an association, who is invited from the
    command line.
    """

    association = models.ForeignKey(
        Association, on_delete=models.PROTECT, related_name="invitations"
    )
    email = models.EmailField(_("email address"))
    name = models.CharField(_("name"), max_length=80)
    token_hash = models.CharField(max_length=64, unique=True)
    invited_by = models.ForeignKey(
        settings.AUTH_USER_MODEL,
        on_delete=models.PROTECT,
        related_name="invitations_sent",
        null=True,
        blank=True,
    )
    created_at = models.DateTimeField()
    expires_at = models.DateTimeField()
    used_at = models.DateTimeField(null=True, blank=True)
    revoked_at = models.DateTimeField(null=True, blank=True)

    class Meta(HoldsTerms.Meta):
        verbose_name = _("invitation")
        verbose_name_plural = _("invitations")
        constraints = [
            *HoldsTerms.Meta.constraints,
            models.UniqueConstraint(
                fields=["association", "email"],
                condition=Q(used_at=None, revoked_at=None),
                name="one_open_invitation_an_address",
            ),
        ]

    def __str__(self) -> str:
        return self.email

    def state(self, now: datetime) -> InvitationState:
        """What the invitation is good for at `now`."""
        if self.used_at is not None:
            return InvitationState.USED
        if self.revoked_at is not None:
            return InvitationState.REVOKED
        return InvitationState.OPEN if now < self.expires_at else InvitationState.EXPIRED
