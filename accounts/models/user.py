"""A person who signs in with an email address."""

from __future__ import annotations

from typing import Any, ClassVar
from zoneinfo import available_timezones

from django.conf import settings
from django.contrib.auth.base_user import AbstractBaseUser, BaseUserManager
from django.contrib.auth.models import PermissionsMixin
from django.core.exceptions import ValidationError
from django.db import models
from django.db.models.functions import Lower
from django.utils.translation import gettext_lazy as _


def validate_time_zone(name: str) -> None:
    if name not in available_timezones():
        raise ValidationError(_("Choose a time zone from the list."))


class UserManager(BaseUserManager["User"]):
    """Makes people; addresses are stored in lower case, so that one person has one account."""

    def create_user(self, email: str, password: str | None = None, **fields: Any) -> User:
        user = self.model(email=email.strip().lower(), **fields)
        user.set_password(password)
        user.full_clean()
        user.save(using=self._db)
        return user

    def create_superuser(self, email: str, password: str | None = None, **fields: Any) -> User:
        return self.create_user(email, password, is_staff=True, is_superuser=True, **fields)


class User(AbstractBaseUser, PermissionsMixin):
    """A person. What he or she may do hangs on memberships, never on this row."""

    email = models.EmailField(_("email address"), unique=True)
    name = models.CharField(_("name"), max_length=80)
    pronouns = models.CharField(_("pronouns"), max_length=40, blank=True)
    language = models.CharField(
        _("language"), max_length=8, choices=settings.LANGUAGES, default="en"
    )
    time_zone = models.CharField(
        _("time zone"), max_length=64, default="UTC", validators=[validate_time_zone]
    )
    is_active = models.BooleanField(_("active"), default=True)
    is_staff = models.BooleanField(_("may use the database pages"), default=False)
    joined_at = models.DateTimeField(auto_now_add=True)

    objects = UserManager()

    USERNAME_FIELD = "email"
    EMAIL_FIELD = "email"
    REQUIRED_FIELDS: ClassVar[list[str]] = ["name"]

    class Meta:
        verbose_name = _("person")
        verbose_name_plural = _("people")
        constraints = [
            models.UniqueConstraint(Lower("email"), name="one_account_an_address"),
        ]

    def __str__(self) -> str:
        return self.name or self.email

    def get_full_name(self) -> str:
        return self.name

    def get_short_name(self) -> str:
        return self.name
