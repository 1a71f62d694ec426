"""The second step of signing in, set up without its page: for the demo's admin."""

from __future__ import annotations

from datetime import datetime

from allauth.mfa.recovery_codes.internal.auth import RecoveryCodes
from allauth.mfa.totp.internal.auth import TOTP, generate_totp_secret
from django.db import transaction

from accounts.models import User
from accounts.services.audit import record


@transaction.atomic
def enrol_authenticator(*, user: User, now: datetime) -> tuple[str, list[str]]:
    """Give `user` an authenticator; its secret and ten recovery codes, each good once."""
    secret = generate_totp_secret()
    TOTP.activate(user, secret)
    codes = RecoveryCodes.activate(user).get_unused_codes()
    record(actor=user, association=None, action="authenticator.enrolled", target=user, now=now)
    return secret, codes
