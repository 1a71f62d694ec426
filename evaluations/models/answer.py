"""What an official says to a letter, and the review by another observer."""

from __future__ import annotations

from django.core.validators import MaxLengthValidator
from django.db import models
from django.db.models import Q
from django.utils.translation import gettext_lazy as _

from accounts.models import Membership
from evaluations.models.release import Release


class Response(models.Model):
    """The official's answer, given once for a release."""

    release = models.OneToOneField(Release, on_delete=models.PROTECT, related_name="response")
    text = models.TextField(_("your answer"), blank=True, validators=[MaxLengthValidator(2000)])
    answered_at = models.DateTimeField()

    def __str__(self) -> str:
        return str(self.release)


class ResponseLine(models.Model):
    """ "This is not what happened", said of one criterion's line."""

    response = models.ForeignKey(Response, on_delete=models.PROTECT, related_name="lines")
    criterion = models.SlugField(max_length=40)
    text = models.TextField(_("what happened"), validators=[MaxLengthValidator(500)])

    class Meta:
        ordering = ["pk"]
        constraints = [
            models.UniqueConstraint(
                fields=["response", "criterion"], name="one_response_line_a_criterion"
            )
        ]

    def __str__(self) -> str:
        return self.criterion


class Review(models.Model):
    """One review by somebody unconflicted, asked for within seven days."""

    release = models.OneToOneField(Release, on_delete=models.PROTECT, related_name="review")
    reason = models.TextField(_("what should be looked at"), validators=[MaxLengthValidator(500)])
    asked_at = models.DateTimeField()
    reviewer = models.ForeignKey(
        Membership, on_delete=models.PROTECT, null=True, blank=True, related_name="reviews"
    )
    assigned_at = models.DateTimeField(null=True, blank=True)
    closed_at = models.DateTimeField(null=True, blank=True)

    class Meta:
        ordering = ["asked_at"]
        constraints = [
            models.CheckConstraint(
                condition=Q(closed_at__isnull=True) | Q(reviewer__isnull=False),
                name="closed_review_has_a_reviewer",
            )
        ]

    def __str__(self) -> str:
        return str(self.release)


class ReviewLine(models.Model):
    """What a review found for one line: it stands, is corrected from film, or is removed."""

    class Outcome(models.TextChoices):
        STANDS = "stands", _("stands")
        CORRECTED = "corrected", _("corrected from film")
        REMOVED = "removed", _("removed for lack of evidence")

    review = models.ForeignKey(Review, on_delete=models.CASCADE, related_name="lines")
    criterion = models.SlugField(max_length=40)
    outcome = models.CharField(max_length=12, choices=Outcome.choices)
    level = models.PositiveSmallIntegerField(_("level"), null=True, blank=True)
    note = models.TextField(_("what the film shows"), validators=[MaxLengthValidator(500)])

    class Meta:
        ordering = ["pk"]
        constraints = [
            models.UniqueConstraint(
                fields=["review", "criterion"], name="one_review_line_a_criterion"
            ),
            models.CheckConstraint(
                condition=Q(outcome="corrected", level__isnull=False)
                | (~Q(outcome="corrected") & Q(level__isnull=True)),
                name="only_a_correction_has_a_level",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.criterion}: {self.outcome}"
