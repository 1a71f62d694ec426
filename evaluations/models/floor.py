"""What the players' side of a dead ball looked like: a sketch, and seconds from film."""

from __future__ import annotations

from django.db import models
from django.db.models import Q
from django.utils.translation import gettext_lazy as _

from evaluations.core.floor.sketch import Instant
from evaluations.models.log import DeadBall, DeadBallLog


class FilmStatement(models.Model):
    """Whose film the observer looked at, and with what permission: asked before it is opened.

    The film itself never leaves the observer's device; nothing of it is stored.
    """

    class Owner(models.TextChoices):
        OWN = "own", _("my own")
        ASSOCIATION = "association", _("the association's")
        SCHOOL = "school", _("a school's or team's")
        LEAGUE = "league", _("the league's")

    log = models.OneToOneField(DeadBallLog, on_delete=models.CASCADE, related_name="film")
    owner = models.CharField(_("whose film"), max_length=12, choices=Owner.choices)
    permission = models.CharField(_("with what permission"), max_length=200)
    stated_at = models.DateTimeField()

    class Meta:
        constraints = [
            models.CheckConstraint(condition=~Q(permission=""), name="film_has_its_permission")
        ]

    def __str__(self) -> str:
        return self.get_owner_display()


class FloorSketch(models.Model):
    """Officials and players at one moment of a dead ball; `content` is a sketch document."""

    class Moment(models.TextChoices):
        REPORT = Instant.REPORT.value, _("while the foul is reported")
        LIVE = Instant.LIVE.value, _("when the ball becomes live")

    dead_ball = models.ForeignKey(DeadBall, on_delete=models.CASCADE, related_name="sketches")
    instant = models.CharField(_("moment"), max_length=8, choices=Moment.choices)
    content = models.JSONField()
    drawn_at = models.DateTimeField()

    class Meta:
        ordering = ["dead_ball__number", "-instant"]
        constraints = [
            models.UniqueConstraint(
                fields=["dead_ball", "instant"], name="one_sketch_a_dead_ball_and_moment"
            )
        ]

    def __str__(self) -> str:
        return f"{self.dead_ball}, {self.get_instant_display()}"


class EyesMarks(models.Model):
    """What was marked on film about who faced the players, in whole milliseconds of the film.

    `marks` are lists of member, facing, start and end (None: never ended), in the order in which
    they were made. `live_at` None: the ball never became live on this film.
    """

    dead_ball = models.OneToOneField(DeadBall, on_delete=models.CASCADE, related_name="eyes_marks")
    whistle_at = models.PositiveIntegerField()
    report_ended_at = models.PositiveIntegerField(null=True, blank=True)
    live_at = models.PositiveIntegerField(null=True, blank=True)
    marks = models.JSONField(default=list, blank=True)
    marked_at = models.DateTimeField()

    class Meta:
        constraints = [
            models.CheckConstraint(
                condition=Q(live_at__isnull=True) | Q(live_at__gte=models.F("whistle_at")),
                name="live_after_the_whistle",
            )
        ]

    def __str__(self) -> str:
        return str(self.dead_ball)
