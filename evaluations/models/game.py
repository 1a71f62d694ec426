"""A game and its crew."""

from __future__ import annotations

from django.db import models
from django.db.models import Q
from django.utils.translation import gettext_lazy as _

from accounts.models import Membership
from evaluations.core.games import CrewPosition
from evaluations.models.season import Season


class Game(models.Model):
    """One game. Teams, site and level of play are what the association calls them."""

    class CrewSize(models.IntegerChoices):
        TWO = 2, _("two officials")
        THREE = 3, _("three officials")

    season = models.ForeignKey(Season, on_delete=models.PROTECT, related_name="games")
    plays_at = models.DateTimeField(_("date and time"))
    moved_from = models.DateTimeField(_("moved from"), null=True, blank=True)
    cancelled_at = models.DateTimeField(_("cancelled"), null=True, blank=True)
    level_of_play = models.CharField(_("level of play"), max_length=40)
    home = models.CharField(_("home team"), max_length=60)
    visitors = models.CharField(_("visitors"), max_length=60)
    site = models.CharField(_("site"), max_length=80)
    crew_size = models.PositiveSmallIntegerField(
        _("crew"), choices=CrewSize.choices, default=CrewSize.TWO
    )

    class Meta:
        verbose_name = _("game")
        verbose_name_plural = _("games")
        ordering = ["plays_at", "pk"]
        indexes = [models.Index(fields=["season", "plays_at"])]
        constraints = [
            models.CheckConstraint(condition=Q(crew_size__in=[2, 3]), name="crew_of_two_or_three")
        ]

    def __str__(self) -> str:
        return f"{self.home} – {self.visitors}"


class CrewMember(models.Model):
    """An official's place in a game's crew."""

    class Position(models.TextChoices):
        REFEREE = CrewPosition.REFEREE.value, _("referee")
        UMPIRE = CrewPosition.UMPIRE.value, _("umpire")
        UMPIRE_1 = CrewPosition.UMPIRE_1.value, _("umpire 1")
        UMPIRE_2 = CrewPosition.UMPIRE_2.value, _("umpire 2")

    game = models.ForeignKey(Game, on_delete=models.CASCADE, related_name="crew")
    official = models.ForeignKey(Membership, on_delete=models.PROTECT, related_name="crews")
    position = models.CharField(_("position"), max_length=12, choices=Position.choices)

    class Meta:
        ordering = ["position"]
        constraints = [
            models.UniqueConstraint(fields=["game", "official"], name="one_place_an_official"),
            models.UniqueConstraint(fields=["game", "position"], name="one_official_a_place"),
        ]

    def __str__(self) -> str:
        return f"{self.official} ({self.get_position_display()})"
