"""Where signing in differs from allauth's way: no sign-up, our QR code, our mail."""

from __future__ import annotations

from typing import Any

import segno
from allauth.account.adapter import DefaultAccountAdapter
from allauth.mfa.adapter import DefaultMFAAdapter
from django.http import HttpRequest
from django.utils import translation
from django.utils.encoding import force_str

from accounts.models import User


class AccountAdapter(DefaultAccountAdapter):
    """Accounts are made by accepting an invitation, and in no other way."""

    def is_open_for_signup(self, request: HttpRequest) -> bool:
        return False

    def format_email_subject(self, subject: str) -> str:
        return f"Crewmark: {force_str(subject)}"

    def send_mail(self, template_prefix: str, email: str, context: dict[str, Any]) -> None:
        """In the language of the person the mail is for, whoever's browser asked for it."""
        person = context.get("user")
        language = person.language if isinstance(person, User) else translation.get_language()
        with translation.override(language):
            super().send_mail(template_prefix, email, context)


class MFAAdapter(DefaultMFAAdapter):
    """The second step of signing in."""

    def build_totp_svg(self, url: str) -> str:
        """A QR code that can stand in the page: no style, and dark on white in every mode."""
        return segno.make(url).svg_inline(scale=5, light="#fff", svgclass="qr", lineclass=None)
