"""What a person is in an association."""

from __future__ import annotations

from datetime import date

from django.conf import settings
from django.core.exceptions import ValidationError
from django.db import models
from django.db.models import F, Q
from django.utils.translation import gettext_lazy as _

from accounts.models.association import Association
from accounts.models.terms import HoldsTerms, Role


class Membership(HoldsTerms):
    """One person in one association, with every role held there."""

    association = models.ForeignKey(
        Association, on_delete=models.PROTECT, related_name="memberships"
    )
    user = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="memberships"
    )
    active = models.BooleanField(_("active"), default=True)
    joined_at = models.DateTimeField(auto_now_add=True)

    class Meta(HoldsTerms.Meta):
        verbose_name = _("membership")
        verbose_name_plural = _("memberships")
        constraints = [
            *HoldsTerms.Meta.constraints,
            models.UniqueConstraint(
                fields=["association", "user"], name="one_membership_an_association"
            ),
        ]

    def __str__(self) -> str:
        return str(self.user)

    @property
    def roles(self) -> frozenset[Role]:
        """The roles held; none when the membership has ended."""
        return self.terms.roles if self.active else frozenset()

    def cleared_on(self, day: date) -> bool:
        """Whether this observer may be sent to a game on `day`."""
        return self.cleared_until is not None and day <= self.cleared_until


class Conflict(models.Model):
    """An observer's declared conflict with an official; it holds both ways."""

    observer = models.ForeignKey(
        Membership, on_delete=models.CASCADE, related_name="declared_conflicts"
    )
    official = models.ForeignKey(
        Membership, on_delete=models.CASCADE, related_name="conflicts_about"
    )
    reason = models.CharField(_("reason"), max_length=200, blank=True)
    declared_at = models.DateTimeField()

    class Meta:
        verbose_name = _("conflict")
        verbose_name_plural = _("conflicts")
        constraints = [
            models.UniqueConstraint(
                fields=["observer", "official"],
                name="one_conflict_a_pair",
                violation_error_message=_("This conflict is declared already."),
            ),
            models.CheckConstraint(
                condition=~Q(observer=F("official")),
                name="no_conflict_with_oneself",
                violation_error_message=_("Nobody can be in conflict with himself or herself."),
            ),
        ]

    def __str__(self) -> str:
        return f"{self.observer} / {self.official}"

    def clean(self) -> None:
        """Both belong to one association."""
        if self.observer.association_id != self.official.association_id:
            raise ValidationError(_("Observer and official belong to different associations."))
