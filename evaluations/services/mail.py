"""Mail about letters: it says only that something is there, and waits for its hour."""

from __future__ import annotations

import logging
from collections.abc import Iterable
from datetime import datetime
from smtplib import SMTPException

from django.conf import settings
from django.core.mail import send_mail
from django.db import transaction
from django.urls import reverse
from django.utils import translation
from django.utils.translation import gettext as _

from accounts.models import Association, Membership
from evaluations.models import Mail, Release

logger = logging.getLogger(__name__)


def announce_letter(*, release: Release) -> None:
    """Queue the news of a letter to the official and, for one under 18, to the guardian."""
    official = release.evaluation.official
    association = official.association
    link = settings.CREWMARK_ADDRESS + reverse(
        "evaluations:letter", args=[association.slug, release.pk]
    )
    with translation.override(official.user.language):
        _queue(
            association=association,
            key=f"letter-{release.pk}",
            to=[official.user.email],
            subject=_("Something for you from %(association)s"),
            body=_(
                "There is something for you to read on Crewmark. Sign in to read it and to "
                "answer:\n\n%(link)s\n"
            )
            % {"link": link},
            not_before=release.opens_at,
        )
        if official.under_18:
            _queue(
                association=association,
                key=f"letter-{release.pk}-guardian",
                to=[official.guardian_email],
                subject=_("Something for you from %(association)s"),
                body=_(
                    "There is something to read on Crewmark for the young official whose "
                    "guardian you are. Ask the official to show it to you, or ask the "
                    "association for a copy.\n"
                ),
                not_before=release.opens_at,
            )


def tell(*, member: Membership, key: str, path: str, not_before: datetime) -> None:
    """Queue a note to a member that something waits at `path`."""
    with translation.override(member.user.language):
        _queue(
            association=member.association,
            key=key,
            to=[member.user.email],
            subject=_("Something for you from %(association)s"),
            body=_("Something waits for you on Crewmark:\n\n%(link)s\n")
            % {"link": settings.CREWMARK_ADDRESS + path},
            not_before=not_before,
        )


def _queue(
    *,
    association: Association,
    key: str,
    to: Iterable[str],
    subject: str,
    body: str,
    not_before: datetime,
) -> None:
    """Store the mail once; the same key again changes nothing."""
    name = " ".join(association.name.split())
    for address in to:
        Mail.objects.get_or_create(
            key=key,
            defaults={
                "association": association,
                "to": address,
                "subject": subject % {"association": name},
                "body": body,
                "not_before": not_before,
            },
        )


def deliver_due(*, now: datetime) -> tuple[int, int]:
    """Send what is due. Returns how many went out and how many the mail server refused.

    Each mail is marked in the transaction that sends it, so that two of these at once send a
    mail once; one that was refused is tried again the next time.
    """
    sent = refused = 0
    for pk in list(_due(now)):
        with transaction.atomic():
            mail = Mail.objects.select_for_update().get(pk=pk)
            if mail.sent_at is not None:
                continue
            try:
                send_mail(mail.subject, mail.body, settings.DEFAULT_FROM_EMAIL, [mail.to])
            except (SMTPException, OSError):
                logger.exception("Mail %s was not sent.", mail.pk)
                refused += 1
                continue
            mail.sent_at = now
            mail.save(update_fields=["sent_at"])
            sent += 1
    return sent, refused


def _due(now: datetime) -> Iterable[int]:
    due = Mail.objects.filter(sent_at__isnull=True, not_before__lte=now)
    return due.values_list("pk", flat=True)
