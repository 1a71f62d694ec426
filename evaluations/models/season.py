"""A season of an association."""

from __future__ import annotations

from django.db import models
from django.db.models import F, Q
from django.utils.translation import gettext_lazy as _

from accounts.models import Association


class Season(models.Model):
    association = models.ForeignKey(Association, on_delete=models.PROTECT, related_name="seasons")
    name = models.CharField(_("name"), max_length=40)
    starts_on = models.DateField(_("first day"))
    ends_on = models.DateField(_("last day"))

    class Meta:
        verbose_name = _("season")
        verbose_name_plural = _("seasons")
        ordering = ["-starts_on", "-pk"]
        constraints = [
            models.UniqueConstraint(fields=["association", "name"], name="one_season_a_name"),
            models.CheckConstraint(
                condition=Q(ends_on__gte=F("starts_on")),
                name="season_ends_after_it_starts",
                violation_error_message=_("A season can't end before it starts."),
            ),
        ]

    def __str__(self) -> str:
        return self.name
