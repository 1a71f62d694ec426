"""Mechanics codes of an association: data that says who goes where, in editions."""

from __future__ import annotations

from django.db import models
from django.db.models import Q
from django.utils.translation import gettext
from django.utils.translation import gettext_lazy as _

from accounts.models import Association
from evaluations.models.game import Game


class CodeEdition(models.Model):
    """One edition of the code for crews of two or of three.

    `content` is a `core.mechanics.code.MechanicsCode` as a document; while in work it may have
    gaps. `base` is the key of the shipped code that it began as, `answers` those to the plain
    questions that chose it (None: copied). `version` counts saves; a save that names an older one
    is refused. `undo` holds the content as it was before a step took something away.

    An edition that a published rubric uses is locked. `corrects` is the edition whose place this
    one takes from `in_force_at` on, also for what was observed before; `reason` says why.
    """

    association = models.ForeignKey(Association, on_delete=models.PROTECT, related_name="codes")
    crew_size = models.PositiveSmallIntegerField(_("crew"), choices=Game.CrewSize.choices)
    edition = models.PositiveSmallIntegerField(_("edition"))
    base = models.SlugField(max_length=60)
    answers = models.JSONField(null=True, blank=True)
    content = models.JSONField()
    version = models.PositiveIntegerField(default=1)
    undo = models.JSONField(null=True, blank=True)
    made_at = models.DateTimeField()
    corrects = models.ForeignKey(
        "self", on_delete=models.PROTECT, null=True, blank=True, related_name="corrections"
    )
    in_force_at = models.DateTimeField(null=True, blank=True)
    reason = models.CharField(_("why it was corrected"), max_length=300, blank=True)

    class Meta:
        verbose_name = _("mechanics code")
        verbose_name_plural = _("mechanics codes")
        ordering = ["crew_size", "-edition"]
        constraints = [
            models.UniqueConstraint(
                fields=["association", "crew_size", "edition"], name="one_code_an_edition"
            ),
            models.CheckConstraint(condition=Q(crew_size__in=[2, 3]), name="code_for_two_or_three"),
            models.UniqueConstraint(
                fields=["corrects"],
                condition=Q(in_force_at__isnull=False),
                name="one_correction_in_force",
            ),
            models.CheckConstraint(
                condition=Q(in_force_at__isnull=True) | Q(corrects__isnull=False) & ~Q(reason=""),
                name="correction_in_force_says_why",
            ),
        ]

    def __str__(self) -> str:
        return gettext("%(crew)s, edition %(edition)s") % {
            "crew": self.get_crew_size_display(),
            "edition": self.edition,
        }
