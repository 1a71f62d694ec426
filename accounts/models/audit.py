"""The audit log: who did what, when. It holds ids and hashes, never content."""

from __future__ import annotations

from typing import Any, NoReturn

from django.conf import settings
from django.core.serializers.json import DjangoJSONEncoder
from django.db import models
from django.utils.translation import gettext_lazy as _

from accounts.models.association import Association


class AppendOnly(models.QuerySet["AuditEntry"]):
    """Rows can be added and read."""

    def update(self, **kwargs: Any) -> NoReturn:
        raise TypeError("The audit log is append-only.")

    def delete(self) -> NoReturn:
        raise TypeError("The audit log is append-only.")


class AuditEntry(models.Model):
    """One thing done. Written by `accounts.services.audit.record` and by nothing else.

    `object_type` is the model's label (``accounts.membership``) and `object_id` its key, so
    that an entry outlives what it is about.
    """

    association = models.ForeignKey(
        Association, on_delete=models.PROTECT, related_name="audit_entries", null=True, blank=True
    )
    actor = models.ForeignKey(
        settings.AUTH_USER_MODEL,
        on_delete=models.PROTECT,
        related_name="audit_entries",
        null=True,
        blank=True,
    )
    action = models.CharField(_("action"), max_length=60)
    object_type = models.CharField(max_length=60)
    object_id = models.CharField(max_length=60)
    details = models.JSONField(default=dict, blank=True, encoder=DjangoJSONEncoder)
    at = models.DateTimeField()

    objects = AppendOnly.as_manager()

    class Meta:
        verbose_name = _("audit entry")
        verbose_name_plural = _("audit entries")
        ordering = ("id",)
        indexes = [
            models.Index(fields=["association", "at"], name="audit_by_association"),
            models.Index(fields=["object_type", "object_id"], name="audit_by_object"),
        ]

    def __str__(self) -> str:
        return f"{self.action} {self.object_type} {self.object_id}"

    def save(self, *args: Any, **kwargs: Any) -> None:
        if not self._state.adding:
            raise TypeError("The audit log is append-only.")
        super().save(*args, **kwargs)

    def delete(self, *args: Any, **kwargs: Any) -> NoReturn:
        raise TypeError("The audit log is append-only.")
