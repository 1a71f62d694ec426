"""An invitation by link. Only a hash of its token is stored."""

from __future__ import annotations

from django.conf import settings
from django.db import models
from django.utils.translation import gettext_lazy as _

from accounts.models.association import Association


class Invitation(models.Model):
    """Good once and for seven days; what the membership will be is fixed when it is sent."""

    association = models.ForeignKey(
        Association, on_delete=models.PROTECT, related_name="invitations"
    )
    email = models.EmailField(_("e-mail address"))
    name = models.CharField(_("name"), max_length=80)
    is_observer = models.BooleanField(_("observer"), default=False)
    is_official = models.BooleanField(_("official"), default=False)
    is_admin = models.BooleanField(_("admin"), default=False)
    is_board = models.BooleanField(_("board member (reads only)"), default=False)
    new_official = models.BooleanField(_("new official"), default=False)
    under_18 = models.BooleanField(_("under 18"), default=False)
    guardian_email = models.EmailField(_("guardian's e-mail address"), blank=True)
    cleared_until = models.DateField(_("observer cleared until"), null=True, blank=True)
    token_hash = models.CharField(max_length=64, unique=True)
    invited_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="invitations_sent"
    )
    created_at = models.DateTimeField()
    expires_at = models.DateTimeField()
    used_at = models.DateTimeField(null=True, blank=True)
    revoked_at = models.DateTimeField(null=True, blank=True)

    class Meta:
        verbose_name = _("invitation")
        verbose_name_plural = _("invitations")

    def __str__(self) -> str:
        return self.email
