"""One observer watching one game, live or on video."""

from __future__ import annotations

from django.core.validators import MaxLengthValidator
from django.db import models
from django.db.models import Q
from django.utils.translation import gettext_lazy as _

from accounts.models import Membership
from evaluations.core import games
from evaluations.models.game import Game
from evaluations.models.rubric import Rubric

TEXT_LIMIT = 1000
"""Characters of what was raised, and of the note to the admin."""


class Observation(models.Model):
    """Assigned by an admin, opened by the observer; opening fixes the rubric edition.

    `talk` stays empty until the observer has said whether there was one.
    """

    class Kind(models.TextChoices):
        SCORED = games.Kind.SCORED.value, _("scored")
        COACHING = games.Kind.COACHING.value, _("coaching")

    class Seen(models.TextChoices):
        WHOLE = games.Seen.WHOLE.value, _("the whole game")
        PART = games.Seen.PART.value, _("part of it")

    class Difficulty(models.TextChoices):
        ROUTINE = games.Difficulty.ROUTINE.value, _("routine")
        ORDINARY = games.Difficulty.ORDINARY.value, _("ordinary")
        DEMANDING = games.Difficulty.DEMANDING.value, _("demanding")

    class Talk(models.TextChoices):
        HELD = games.Talk.HELD.value, _("held")
        DECLINED = games.Talk.DECLINED.value, _("declined")
        IMPOSSIBLE = games.Talk.IMPOSSIBLE.value, _("not possible")

    game = models.ForeignKey(Game, on_delete=models.PROTECT, related_name="observations")
    observer = models.ForeignKey(Membership, on_delete=models.PROTECT, related_name="observations")
    kind = models.CharField(_("kind"), max_length=10, choices=Kind.choices, default=Kind.SCORED)
    assigned_at = models.DateTimeField()
    opened_at = models.DateTimeField(null=True, blank=True)
    rubric = models.ForeignKey(
        Rubric, on_delete=models.PROTECT, null=True, blank=True, related_name="observations"
    )
    seen = models.CharField(_("seen"), max_length=8, choices=Seen.choices, default=Seen.WHOLE)
    part = models.CharField(_("which part"), max_length=80, blank=True)
    difficulty = models.CharField(
        _("the game was"), max_length=10, choices=Difficulty.choices, default=Difficulty.ORDINARY
    )
    talk = models.CharField(
        _("talk after the game"), max_length=12, choices=Talk.choices, blank=True
    )
    raised = models.TextField(
        _("what was raised"), blank=True, validators=[MaxLengthValidator(TEXT_LIMIT)]
    )
    note_to_admin = models.TextField(
        _("note to the admin"), blank=True, validators=[MaxLengthValidator(TEXT_LIMIT)]
    )
    due_at = models.DateTimeField(_("due"))
    closed_at = models.DateTimeField(null=True, blank=True)
    closed_reason = models.CharField(_("why it was closed"), max_length=200, blank=True)

    class Meta:
        verbose_name = _("observation")
        verbose_name_plural = _("observations")
        ordering = ["game__plays_at", "pk"]
        constraints = [
            models.UniqueConstraint(fields=["game", "observer"], name="one_observation_a_game"),
            models.CheckConstraint(
                condition=Q(opened_at__isnull=True) | Q(rubric__isnull=False),
                name="open_observation_has_a_rubric",
            ),
            models.CheckConstraint(
                condition=Q(closed_at__isnull=True) | ~Q(closed_reason=""),
                name="closed_observation_has_a_reason",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.game} / {self.observer}"
