"""Mail about letters: it says only that something is there, and waits for its hour."""

from __future__ import annotations

import logging
from collections.abc import Callable
from datetime import datetime, timedelta
from smtplib import SMTPException

from django.conf import settings
from django.core.mail import send_mail
from django.urls import reverse
from django.utils import translation
from django.utils.translation import gettext as _

from accounts.models import Membership
from evaluations.models import Mail, Release
from evaluations.queries.openings import mail_time

logger = logging.getLogger(__name__)

TRY_AGAIN_AFTER = timedelta(minutes=10)

Progress = Callable[[int, int], None]


def announce_letter(*, release: Release) -> None:
    """Queue the news of a letter for the hour at which it opens."""
    official = release.evaluation.official
    path = reverse("evaluations:letter", args=[official.association.slug, release.pk])
    _tell_at(official, f"letter-{release.pk}", path, release.opens_at)


def tell(*, member: Membership, key: str, path: str, now: datetime) -> None:
    """Queue a note to a member that something waits at `path`; the same key again is no news.

    It goes out at once or after the member's quiet hours and next game. Of an official under 18
    the guardian is told as well, so that nothing reaches the official alone.
    """
    _tell_at(member, key, path, mail_time(member, now))


def _tell_at(member: Membership, key: str, path: str, not_before: datetime) -> None:
    if not member.active:
        return  # whoever has left can't sign in to read it
    link = settings.CREWMARK_ADDRESS + path
    with translation.override(member.user.language):
        body = _("There is something for you on Crewmark. Sign in to read it:\n\n%(link)s\n")
        _queue(member, key, member.user.email, body % {"link": link}, not_before)
        if member.under_18:
            body = _(
                "There is something to read on Crewmark for the young official whose guardian "
                "you are. Ask the official to show it to you, or ask the association for a copy.\n"
            )
            _queue(member, f"{key}-guardian", member.guardian_email, body, not_before)


def _queue(member: Membership, key: str, to: str, body: str, not_before: datetime) -> None:
    name = " ".join(member.association.name.split())
    Mail.objects.get_or_create(
        key=key,
        defaults={
            "member": member,
            "to": to,
            "subject": _("Something for you from %(association)s") % {"association": name},
            "body": body,
            "not_before": not_before,
        },
    )


def deliver_due(*, now: datetime, progress: Progress | None = None) -> tuple[int, int]:
    """Send what is due. Returns how many went out and how many the mail server refused.

    `progress` is told after each mail how many of how many were looked at.
    Each mail is claimed before it is sent, by moving its hour on: two of these at once send a
    mail once, nothing is locked while the server answers, and what was refused or cut off is
    tried again later. The rules on quiet hours and games are asked again: this may run late, and
    a game may have been entered or moved since the mail was queued.
    """
    due, outcomes = _due(now), []
    for number, mail in enumerate(due, start=1):
        if _claim(mail, now):
            outcomes.append(_send(mail, now))
        if progress is not None:
            progress(number, len(due))
    return outcomes.count(True), outcomes.count(False)


def _send(mail: Mail, now: datetime) -> bool:
    """Whether the mail server took it."""
    try:
        send_mail(mail.subject, mail.body, settings.DEFAULT_FROM_EMAIL, [mail.to])
    except (SMTPException, OSError):
        logger.exception("Mail %s was not sent.", mail.pk)
        return False
    Mail.objects.filter(pk=mail.pk).update(sent_at=now)
    return True


def _due(now: datetime) -> list[Mail]:
    waiting = Mail.objects.filter(sent_at__isnull=True, not_before__lte=now)
    due = waiting.select_related("member__association", "member__user")
    return [mail for mail in due if mail_time(mail.member, now) <= now]


def _claim(mail: Mail, now: datetime) -> bool:
    """Whether this run may send it: nobody else moved its hour on since it was read."""
    still_due = Mail.objects.filter(pk=mail.pk, sent_at__isnull=True, not_before=mail.not_before)
    return bool(still_due.update(not_before=now + TRY_AGAIN_AFTER))
