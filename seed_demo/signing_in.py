"""The sign-ins that the command prints. They guard nothing: everybody may know them."""

from __future__ import annotations

from collections.abc import Iterator

from accounts.models import User
from accounts.queries.authenticators import authenticator_key, unused_recovery_codes
from seed_demo.people import PASSWORD, SignIn, sign_ins


def lines() -> Iterator[str]:
    """What is printed, line by line; the admins' codes as they are stored now."""
    yield "Sign-ins of the demo. Everybody is invented, and these guard nothing."
    yield f"Everybody's password: {PASSWORD}"
    for sign_in in sign_ins():
        yield ""
        yield f"{sign_in.role}: {sign_in.person.email}  ({sign_in.note})"
        if sign_in.second_step:
            yield from _second_step(sign_in)


def _second_step(sign_in: SignIn) -> Iterator[str]:
    user = User.objects.get(email=sign_in.person.email)
    codes = unused_recovery_codes(user)
    yield f"  Recovery codes, each good once: {' '.join(codes) or 'all used'}"
    yield f"  Or add this key to an authenticator app: {authenticator_key(user)}"
