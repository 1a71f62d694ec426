"""Mail that the accounts send: invitations. Plain text, by the association's language and clock."""

from __future__ import annotations

import logging
from smtplib import SMTPException
from zoneinfo import ZoneInfo

from django.conf import settings
from django.core.mail import send_mail
from django.template.loader import render_to_string
from django.urls import reverse
from django.utils import timezone, translation
from django.utils.translation import gettext as _

from accounts.models import Invitation

logger = logging.getLogger(__name__)


def invitation_link(token: str) -> str:
    """The address that accepts an invitation, below the site's own; no request has a say."""
    return settings.CREWMARK_ADDRESS + reverse("accounts:invitation_accept", args=[token])


def send_invitation(*, invitation: Invitation, token: str) -> bool:
    """Mail the link. False if the mail server refused: the admin can pass the link on."""
    association = invitation.association
    clock = ZoneInfo(association.time_zone)
    with translation.override(association.language), timezone.override(clock):
        body = render_to_string(
            "accounts/mail/invitation.txt",
            {
                "invitation": invitation,
                "association": association,
                "link": invitation_link(token),
            },
        )
        subject = _("Crewmark: invitation from %(association)s") % {
            "association": " ".join(association.name.split())
        }
    try:
        send_mail(subject, body, settings.DEFAULT_FROM_EMAIL, [invitation.email])
    except (SMTPException, OSError):
        logger.exception("The mail for invitation %s was not sent.", invitation.pk)
        return False
    return True
