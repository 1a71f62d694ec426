"""An officials' association: the tenant that everything else belongs to."""

from __future__ import annotations

from datetime import time

from django.conf import settings
from django.core.validators import MaxValueValidator
from django.db import models
from django.utils.translation import gettext_lazy as _

from accounts.models.user import validate_time_zone


class PaperSize(models.TextChoices):
    LETTER = "letter", _("Letter")
    A4 = "a4", _("A4")


class CourtSize(models.TextChoices):
    """The courts that sketches are drawn on, by the keys of `evaluations.core.floor.frames`."""

    FEET_84 = "feet_84", _("84 ft × 50 ft")
    FEET_94 = "feet_94", _("94 ft × 50 ft")
    FIBA = "fiba", _("28 m × 15 m")


# As functions: Django takes a default close to the present hour for a mistake and warns.
def nine_in_the_evening() -> time:
    return time(21)


def eight_in_the_morning() -> time:
    return time(8)


class Association(models.Model):
    """Its name, its paper and clock, and how its letters go out."""

    name = models.CharField(_("name"), max_length=80, unique=True)
    slug = models.SlugField(_("short name in addresses"), max_length=40, unique=True)
    language = models.CharField(
        _("language"), max_length=8, choices=settings.LANGUAGES, default="en"
    )
    time_zone = models.CharField(
        _("time zone"), max_length=64, default="UTC", validators=[validate_time_zone]
    )
    paper_size = models.CharField(
        _("paper size"), max_length=8, choices=PaperSize.choices, default=PaperSize.LETTER
    )
    court = models.CharField(
        _("court"), max_length=8, choices=CourtSize.choices, default=CourtSize.FEET_84
    )
    letter_paragraph = models.CharField(
        _("the association's own paragraph"), max_length=400, blank=True
    )
    show_observer = models.BooleanField(_("letters name the observer"), default=True)
    cool_off_hours = models.PositiveSmallIntegerField(
        _("hours between the game and the letter"), default=12
    )
    quiet_from = models.TimeField(_("no mail from"), default=nine_in_the_evening)
    quiet_until = models.TimeField(_("no mail until"), default=eight_in_the_morning)
    quiet_before_game_hours = models.PositiveSmallIntegerField(
        _("no mail in the hours before the official's next game"), default=6
    )
    respond_days = models.PositiveSmallIntegerField(_("days to respond"), default=14)
    due_hours = models.PositiveSmallIntegerField(
        _("hours after the game until the form is due"), default=48
    )
    coaching_first = models.PositiveSmallIntegerField(
        _("a new official's first observations that are coaching"),
        default=2,
        validators=[MaxValueValidator(10)],
    )

    class Meta:
        verbose_name = _("association")
        verbose_name_plural = _("associations")

    def __str__(self) -> str:
        return self.name
