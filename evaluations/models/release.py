"""The frozen evaluation and its letter. Rows are written once; what becomes of one is an event."""

from __future__ import annotations

from django.db import models
from django.utils.translation import gettext_lazy as _

from accounts.models import Membership
from evaluations.core.release import State
from evaluations.models.evaluation import Evaluation


class Release(models.Model):
    """One release of one evaluation.

    `snapshot` is `core.release.ReleaseSnapshot`, `content` `core.letter.LetterContent`, each as a
    document. `total` (None: no total) and `band` repeat the snapshot for lists. The letter may be
    read from `opens_at` on.
    """

    evaluation = models.ForeignKey(Evaluation, on_delete=models.PROTECT, related_name="releases")
    serial = models.PositiveSmallIntegerField()
    snapshot = models.JSONField()
    content = models.JSONField()
    pdf = models.BinaryField()
    sha256 = models.CharField(max_length=64)
    code = models.CharField(max_length=24, unique=True)
    total = models.DecimalField(max_digits=4, decimal_places=1, null=True, blank=True)
    band = models.CharField(max_length=40, blank=True)
    released_by = models.ForeignKey(Membership, on_delete=models.PROTECT, related_name="+")
    released_at = models.DateTimeField()
    opens_at = models.DateTimeField()
    respond_until = models.DateField()

    class Meta:
        verbose_name = _("release")
        verbose_name_plural = _("releases")
        ordering = ["evaluation", "serial"]
        indexes = [models.Index(fields=["released_at"])]
        constraints = [
            models.UniqueConstraint(fields=["evaluation", "serial"], name="one_release_a_serial")
        ]

    def __str__(self) -> str:
        return self.code


class ReleaseEvent(models.Model):
    """What became of a release: read, answered, superseded, withdrawn."""

    class Kind(models.TextChoices):
        ACKNOWLEDGED = State.ACKNOWLEDGED.value, _("acknowledged")
        RESPONDED = State.RESPONDED.value, _("responded")
        SUPERSEDED = State.SUPERSEDED.value, _("superseded")
        WITHDRAWN = State.WITHDRAWN.value, _("withdrawn")

    release = models.ForeignKey(Release, on_delete=models.PROTECT, related_name="events")
    kind = models.CharField(max_length=12, choices=Kind.choices)
    by = models.ForeignKey(Membership, on_delete=models.PROTECT, related_name="+")
    at = models.DateTimeField()
    reason = models.CharField(_("reason"), max_length=300, blank=True)

    class Meta:
        ordering = ["at", "pk"]
        constraints = [
            models.UniqueConstraint(fields=["release", "kind"], name="one_event_a_kind"),
        ]

    def __str__(self) -> str:
        return f"{self.release}: {self.kind}"
