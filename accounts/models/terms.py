"""On what terms a person belongs to an association: roles, marks and clearance."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import Final

from django.db import models
from django.db.models import Q
from django.utils.translation import gettext_lazy as _


class Role(models.TextChoices):
    OBSERVER = "observer", _("observer")
    OFFICIAL = "official", _("official")
    ADMIN = "admin", _("admin")
    BOARD = "board", _("board member")


# The column that says whether a role is held.
ROLE_COLUMNS: Final = {
    Role.OBSERVER: "is_observer",
    Role.OFFICIAL: "is_official",
    Role.ADMIN: "is_admin",
    Role.BOARD: "is_board",
}


@dataclass(frozen=True, kw_only=True)
class Terms:
    """What an invitation promises and a membership holds, as one value."""

    roles: frozenset[Role]
    new_official: bool = False
    under_18: bool = False
    guardian_email: str = ""
    cleared_until: date | None = None

    @property
    def ordered_roles(self) -> list[Role]:
        """The roles in the order in which they are listed everywhere."""
        return [role for role in Role if role in self.roles]


class HoldsTerms(models.Model):
    """The columns that an invitation and the membership made from it share.

    An official under 18 has the mark and a guardian's address, never a birth date.
    """

    is_observer = models.BooleanField(_("observer"), default=False)
    is_official = models.BooleanField(_("official"), default=False)
    is_admin = models.BooleanField(_("admin"), default=False)
    is_board = models.BooleanField(_("board member (reads only)"), default=False)
    new_official = models.BooleanField(_("new official"), default=False)
    under_18 = models.BooleanField(_("under 18"), default=False)
    guardian_email = models.EmailField(_("guardian's email address"), blank=True)
    cleared_until = models.DateField(_("observer cleared until"), null=True, blank=True)

    class Meta:
        abstract = True
        constraints = [
            models.CheckConstraint(
                condition=Q(is_observer=True)
                | Q(is_official=True)
                | Q(is_admin=True)
                | Q(is_board=True),
                name="%(class)s_has_a_role",
                violation_error_message=_("Choose at least one role."),
            ),
            models.CheckConstraint(
                condition=Q(under_18=False) | ~Q(guardian_email=""),
                name="%(class)s_under_18_has_a_guardian",
                violation_error_message=_("An official under 18 needs a guardian's address."),
            ),
            models.CheckConstraint(
                condition=Q(under_18=False) | Q(is_official=True),
                name="%(class)s_under_18_is_an_official",
                violation_error_message=_("The mark for under 18 is for officials only."),
            ),
        ]

    @property
    def terms(self) -> Terms:
        """The columns as one value."""
        return Terms(
            roles=frozenset(role for role, column in ROLE_COLUMNS.items() if getattr(self, column)),
            new_official=self.new_official,
            under_18=self.under_18,
            guardian_email=self.guardian_email,
            cleared_until=self.cleared_until,
        )

    def set_terms(self, terms: Terms) -> None:
        """Put `terms` into the columns, unsaved.

        A guardian's address is kept only with the mark for under 18, a clearance only for an
        observer and the mark for a new official only for an official: nothing is stored
        about a person that nothing needs.
        """
        for role, column in ROLE_COLUMNS.items():
            setattr(self, column, role in terms.roles)
        self.new_official = terms.new_official and self.is_official
        self.under_18 = terms.under_18
        self.guardian_email = terms.guardian_email.strip().lower() if terms.under_18 else ""
        self.cleared_until = terms.cleared_until if self.is_observer else None
