"""What a person is in an association."""

from __future__ import annotations

from datetime import date

from django.conf import settings
from django.db import models
from django.db.models import F, Q
from django.utils.translation import gettext_lazy as _

from accounts.models.association import Association


class Role(models.TextChoices):
    OBSERVER = "observer", _("observer")
    OFFICIAL = "official", _("official")
    ADMIN = "admin", _("admin")
    BOARD = "board", _("board member")


class Membership(models.Model):
    """One person in one association, with every role held there.

    An official under 18 has the mark and a guardian's address, never a birth date.
    """

    association = models.ForeignKey(
        Association, on_delete=models.PROTECT, related_name="memberships"
    )
    user = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="memberships"
    )
    is_observer = models.BooleanField(_("observer"), default=False)
    is_official = models.BooleanField(_("official"), default=False)
    is_admin = models.BooleanField(_("admin"), default=False)
    is_board = models.BooleanField(_("board member (reads only)"), default=False)
    active = models.BooleanField(_("active"), default=True)
    new_official = models.BooleanField(_("new official"), default=False)
    under_18 = models.BooleanField(_("under 18"), default=False)
    guardian_email = models.EmailField(_("guardian's e-mail address"), blank=True)
    cleared_until = models.DateField(_("observer cleared until"), null=True, blank=True)
    joined_at = models.DateTimeField(auto_now_add=True)

    class Meta:
        verbose_name = _("membership")
        verbose_name_plural = _("memberships")
        constraints = [
            models.UniqueConstraint(
                fields=["association", "user"], name="one_membership_an_association"
            ),
            models.CheckConstraint(
                condition=Q(is_observer=True)
                | Q(is_official=True)
                | Q(is_admin=True)
                | Q(is_board=True),
                name="membership_has_a_role",
            ),
            models.CheckConstraint(
                condition=Q(under_18=False) | ~Q(guardian_email=""),
                name="under_18_has_a_guardian",
                violation_error_message=_("An official under 18 needs a guardian's address."),
            ),
        ]

    def __str__(self) -> str:
        return str(self.user)

    @property
    def roles(self) -> frozenset[Role]:
        """The roles held; none when the membership has ended."""
        if not self.active:
            return frozenset()
        held = {
            Role.OBSERVER: self.is_observer,
            Role.OFFICIAL: self.is_official,
            Role.ADMIN: self.is_admin,
            Role.BOARD: self.is_board,
        }
        return frozenset(role for role, has in held.items() if has)

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
    declared_at = models.DateTimeField(auto_now_add=True)

    class Meta:
        verbose_name = _("conflict")
        verbose_name_plural = _("conflicts")
        constraints = [
            models.UniqueConstraint(fields=["observer", "official"], name="one_conflict_a_pair"),
            models.CheckConstraint(
                condition=~Q(observer=F("official")), name="no_conflict_with_oneself"
            ),
        ]

    def __str__(self) -> str:
        return f"{self.observer} / {self.official}"
