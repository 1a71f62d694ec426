"""A person's second step of signing in, as it is stored: for the demo's admins."""

from __future__ import annotations

from allauth.mfa.adapter import get_adapter
from allauth.mfa.models import Authenticator
from allauth.mfa.recovery_codes.internal.auth import RecoveryCodes

from accounts.models import User


def unused_recovery_codes(user: User) -> list[str]:
    """The codes that are still good; none for somebody without a second step."""
    stored = Authenticator.objects.filter(user=user, type=Authenticator.Type.RECOVERY_CODES).first()
    return RecoveryCodes(stored).get_unused_codes() if stored else []


def authenticator_key(user: User) -> str:
    """The key that an authenticator app makes its codes from.

    Raises:
        Authenticator.DoesNotExist: there is no second step.
    """
    stored = Authenticator.objects.get(user=user, type=Authenticator.Type.TOTP)
    return get_adapter().decrypt(stored.data["secret"])
