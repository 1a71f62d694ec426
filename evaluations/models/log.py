"""The dead-ball log of an observation: raw facts, and what they add up to."""

from __future__ import annotations

import uuid

from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models
from django.db.models import Q
from django.utils.translation import gettext_lazy as _

from accounts.models import Membership
from evaluations.core.mechanics import facts
from evaluations.core.mechanics.zones import Seat as CoreSeat
from evaluations.core.mechanics.zones import Zone
from evaluations.models.game import CrewMember
from evaluations.models.observation import Observation


class DeadBallLog(models.Model):
    """How one log is kept.

    `focus` has the keys of the one or two rules that get a quick mark tonight; `agreed` the keys
    of the code's options that the crew agreed on before the game (None: nobody asked).
    `left_end` is the official who was nearer to the left end, as seen from the table, when the log
    began. `film_rules` adds the rules for what can't be seen from the stand. `version` counts
    saves.
    """

    class Source(models.TextChoices):
        LIVE = facts.Source.LIVE.value, _("live, from the stand")
        FILM = facts.Source.FILM.value, _("film")
        MEMORY = facts.Source.MEMORY.value, _("memory")

    class Seat(models.TextChoices):
        TABLE = CoreSeat.TABLE.value, _("on the side of the table")
        OPPOSITE = CoreSeat.OPPOSITE.value, _("opposite the table")
        LEFT_END = CoreSeat.LEFT_END.value, _("behind the basket that the table has on its left")
        RIGHT_END = CoreSeat.RIGHT_END.value, _("behind the basket that the table has on its right")

    class Kept(models.TextChoices):
        EVERY_FOUL = facts.Kept.EVERY_FOUL.value, _("every foul")
        EVERY_NTH = facts.Kept.EVERY_NTH.value, _("every n-th foul")
        ONE_DUTY = facts.Kept.ONE_DUTY.value, _("one duty a quarter")
        STRIKING = facts.Kept.STRIKING.value, _("only what struck me")

    observation = models.OneToOneField(Observation, on_delete=models.CASCADE, related_name="log")
    source = models.CharField(
        _("logged from"), max_length=8, choices=Source.choices, default=Source.LIVE
    )
    seat = models.CharField(
        _("where you sit"), max_length=10, choices=Seat.choices, default=Seat.TABLE
    )
    kept = models.CharField(
        _("what you log"), max_length=12, choices=Kept.choices, default=Kept.EVERY_FOUL
    )
    every_nth = models.PositiveSmallIntegerField(
        _("one foul in"),
        null=True,
        blank=True,
        validators=[MinValueValidator(2), MaxValueValidator(10)],
    )
    focus = models.JSONField(_("tonight's focus"), default=list, blank=True)
    agreed = models.JSONField(_("agreed before the game"), null=True, blank=True)
    left_end = models.CharField(
        _("at the left end"), max_length=12, choices=CrewMember.Position.choices, blank=True
    )
    film_rules = models.BooleanField(_("judge what only film shows"), default=False)
    began_at = models.DateTimeField()
    ended_at = models.DateTimeField(null=True, blank=True)
    version = models.PositiveIntegerField(default=1)

    class Meta:
        verbose_name = _("dead-ball log")
        verbose_name_plural = _("dead-ball logs")
        constraints = [
            models.CheckConstraint(
                condition=Q(kept="every_nth", every_nth__isnull=False)
                | ~Q(kept="every_nth") & Q(every_nth__isnull=True),
                name="every_nth_says_which",
            ),
        ]

    def __str__(self) -> str:
        return str(self.observation)


class DeadBall(models.Model):
    """One whistle. `facts` is a dead ball of the log document, without its number.

    `zone` and `back_court` are what was tapped on the floor, "" when it was entered otherwise.
    `client_id` comes from the device, so that a whistle that is sent twice is stored once. A
    removed one keeps its row, so that it can be put back.
    """

    class FloorZone(models.TextChoices):
        """Column 1 is at the left end as seen from the table."""

        T1 = Zone.T1.value, _("table side, left end")
        T2 = Zone.T2.value, _("table side, left of the middle")
        T3 = Zone.T3.value, _("table side, right of the middle")
        T4 = Zone.T4.value, _("table side, right end")
        O1 = Zone.O1.value, _("opposite, left end")
        O2 = Zone.O2.value, _("opposite, left of the middle")
        O3 = Zone.O3.value, _("opposite, right of the middle")
        O4 = Zone.O4.value, _("opposite, right end")

    log = models.ForeignKey(DeadBallLog, on_delete=models.CASCADE, related_name="dead_balls")
    number = models.PositiveSmallIntegerField(_("number"), validators=[MinValueValidator(1)])
    client_id = models.UUIDField(default=uuid.uuid4, unique=True, editable=False)
    zone = models.CharField(_("zone"), max_length=2, choices=FloorZone.choices, blank=True)
    back_court = models.BooleanField(_("back court"), default=False)
    facts = models.JSONField()
    made_at = models.DateTimeField()
    removed_at = models.DateTimeField(null=True, blank=True)

    class Meta:
        verbose_name = _("dead ball")
        verbose_name_plural = _("dead balls")
        ordering = ["number"]
        constraints = [
            models.UniqueConstraint(
                fields=["log", "number"],
                condition=Q(removed_at__isnull=True),
                name="one_dead_ball_a_number",
            )
        ]

    def __str__(self) -> str:
        return str(self.number)


class MissMoved(models.Model):
    """The observer's word, with a reason, on whose duty a crew's miss was."""

    dead_ball = models.ForeignKey(DeadBall, on_delete=models.CASCADE, related_name="moved")
    rule = models.SlugField(max_length=40)
    position = models.CharField(
        _("whose duty it was"), max_length=12, choices=CrewMember.Position.choices
    )
    reason = models.CharField(_("reason"), max_length=300)
    by = models.ForeignKey(Membership, on_delete=models.PROTECT, related_name="+")
    at = models.DateTimeField()

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["dead_ball", "rule"], name="one_move_a_miss"),
            models.CheckConstraint(condition=~Q(reason=""), name="moved_miss_says_why"),
        ]

    def __str__(self) -> str:
        return f"{self.dead_ball} / {self.rule}"


class FindingCount(models.Model):
    """What a log's findings add up to by rule and position, kept beside the raw facts for lists.

    `position` is "" for what is nobody's in particular. Written anew with every change of the log
    and when a corrected code comes into force.
    """

    log = models.ForeignKey(DeadBallLog, on_delete=models.CASCADE, related_name="counts")
    rule = models.SlugField(max_length=40)
    position = models.CharField(max_length=12, choices=CrewMember.Position.choices, blank=True)
    met = models.PositiveSmallIntegerField()
    not_met = models.PositiveSmallIntegerField()
    not_judged = models.PositiveSmallIntegerField()
    by_option = models.PositiveSmallIntegerField()

    class Meta:
        constraints = [
            models.UniqueConstraint(
                fields=["log", "rule", "position"], name="one_count_a_rule_and_position"
            )
        ]

    def __str__(self) -> str:
        return f"{self.rule}: {self.met} / {self.met + self.not_met}"
