"""Mail that waits for its hour: it says only that something is there."""

from __future__ import annotations

from django.db import models
from django.utils.translation import gettext_lazy as _

from accounts.models import Membership


class Mail(models.Model):
    """One message to one address, not sent before `not_before`; `key` makes it unique.

    `member` is whom it concerns: `to` is that person's address, or the guardian's.
    """

    member = models.ForeignKey(Membership, on_delete=models.PROTECT, related_name="mails")
    key = models.CharField(max_length=120, unique=True)
    to = models.EmailField()
    subject = models.CharField(max_length=120)
    body = models.TextField()
    not_before = models.DateTimeField()
    sent_at = models.DateTimeField(null=True, blank=True)

    class Meta:
        verbose_name = _("mail")
        verbose_name_plural = _("mails")
        ordering = ["not_before", "pk"]
        indexes = [models.Index(fields=["sent_at", "not_before"])]

    def __str__(self) -> str:
        return self.subject
