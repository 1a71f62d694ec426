"""One official's ratings from one observation, while they are worked on."""

from __future__ import annotations

from django.core.validators import MaxLengthValidator
from django.db import models
from django.db.models import Q
from django.utils.translation import gettext_lazy as _

from accounts.models import Membership
from evaluations.core import games
from evaluations.core.ratings import COMMENT_LIMIT
from evaluations.core.release import State
from evaluations.models.game import CrewMember
from evaluations.models.observation import Observation
from evaluations.models.rubric import Criterion

# A draft may run over the letter's budgets, which are asked for when it is submitted: until then
# nothing that was typed is refused or cut.
WITHIN_LIMIT = [MaxLengthValidator(COMMENT_LIMIT)]


class Evaluation(models.Model):
    """`version` counts saves; a save that names an older one is refused, never merged."""

    class Stage(models.TextChoices):
        DRAFT = State.DRAFT.value, _("draft")
        SUBMITTED = State.SUBMITTED.value, _("submitted")
        RETURNED = State.RETURNED.value, _("returned")
        RELEASED = State.RELEASED.value, _("released")

    class Kind(models.TextChoices):
        SCORED = games.Kind.SCORED.value, _("scored")
        COACHING = games.Kind.COACHING.value, _("coaching")

    observation = models.ForeignKey(
        Observation, on_delete=models.PROTECT, related_name="evaluations"
    )
    official = models.ForeignKey(Membership, on_delete=models.PROTECT, related_name="evaluations")
    position = models.CharField(_("position"), max_length=12, choices=CrewMember.Position.choices)
    kind = models.CharField(_("kind"), max_length=10, choices=Kind.choices, default=Kind.SCORED)
    state = models.CharField(_("state"), max_length=12, choices=Stage.choices, default=Stage.DRAFT)
    version = models.PositiveIntegerField(default=1)
    saved_at = models.DateTimeField(null=True, blank=True)
    summary = models.TextField(_("in short"), blank=True, validators=WITHIN_LIMIT)
    flagged = models.ForeignKey(
        Criterion, on_delete=models.PROTECT, null=True, blank=True, related_name="+"
    )
    submitted_at = models.DateTimeField(null=True, blank=True)
    returned_note = models.TextField(_("note"), max_length=1000, blank=True)

    class Meta:
        verbose_name = _("evaluation")
        verbose_name_plural = _("evaluations")
        ordering = ["observation__game__plays_at", "position", "pk"]
        indexes = [
            models.Index(fields=["state", "submitted_at"]),
            models.Index(fields=["official", "state"]),
        ]
        constraints = [
            models.UniqueConstraint(
                fields=["observation", "official"], name="one_evaluation_an_official"
            ),
            models.CheckConstraint(
                condition=~Q(state="returned") | ~Q(returned_note=""),
                name="returned_evaluation_says_why",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.official} / {self.observation.game}"


class Rating(models.Model):
    """A level, not seen, or (with neither) not answered; words may be there before a level is."""

    evaluation = models.ForeignKey(Evaluation, on_delete=models.CASCADE, related_name="ratings")
    criterion = models.ForeignKey(Criterion, on_delete=models.PROTECT, related_name="ratings")
    level = models.PositiveSmallIntegerField(_("level"), null=True, blank=True)
    not_seen = models.BooleanField(_("not seen"), default=False)
    comment = models.TextField(_("comment"), blank=True, validators=WITHIN_LIMIT)
    dead_ball = models.PositiveSmallIntegerField(_("dead ball"), null=True, blank=True)
    evidence = models.TextField(_("what was seen"), blank=True, validators=WITHIN_LIMIT)
    reason = models.TextField(_("why not as counted"), blank=True, validators=WITHIN_LIMIT)

    class Meta:
        ordering = ["criterion__area__order", "criterion__order"]
        constraints = [
            models.UniqueConstraint(
                fields=["evaluation", "criterion"], name="one_rating_a_criterion"
            ),
            models.CheckConstraint(
                condition=Q(level__isnull=True) | Q(not_seen=False),
                name="a_level_or_not_seen",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.criterion}: {self.level or '–'}"


class Strength(models.Model):
    """Something that went well, with what was seen."""

    evaluation = models.ForeignKey(Evaluation, on_delete=models.CASCADE, related_name="strengths")
    order = models.PositiveSmallIntegerField()
    criterion = models.ForeignKey(Criterion, on_delete=models.PROTECT, related_name="+")
    seen = models.TextField(_("what was seen"), blank=True, validators=WITHIN_LIMIT)
    dead_ball = models.PositiveSmallIntegerField(_("dead ball"), null=True, blank=True)
    raised = models.BooleanField(_("raised after the game"), default=False)

    class Meta:
        ordering = ["order"]
        constraints = [
            models.UniqueConstraint(
                fields=["evaluation", "criterion"], name="one_strength_a_criterion"
            )
        ]

    def __str__(self) -> str:
        return str(self.criterion)


class NextStep(models.Model):
    """One thing to work on; all parts but the first come from the rubric and may be edited."""

    evaluation = models.ForeignKey(Evaluation, on_delete=models.CASCADE, related_name="next_steps")
    order = models.PositiveSmallIntegerField()
    criterion = models.ForeignKey(Criterion, on_delete=models.PROTECT, related_name="+")
    seen = models.TextField(_("what was seen"), blank=True, validators=WITHIN_LIMIT)
    standard = models.TextField(_("standard"), blank=True, validators=WITHIN_LIMIT)
    why = models.TextField(_("why it matters"), blank=True, validators=WITHIN_LIMIT)
    try_this = models.TextField(_("try this"), blank=True, validators=WITHIN_LIMIT)
    how_we_check = models.TextField(_("how we will check"), blank=True, validators=WITHIN_LIMIT)
    dead_ball = models.PositiveSmallIntegerField(_("dead ball"), null=True, blank=True)
    raised = models.BooleanField(_("raised after the game"), default=False)

    class Meta:
        ordering = ["order"]
        constraints = [
            models.UniqueConstraint(
                fields=["evaluation", "criterion"], name="one_next_step_a_criterion"
            )
        ]

    def __str__(self) -> str:
        return str(self.criterion)
