"""What the holder of an invitation's link may know."""

from __future__ import annotations

from accounts.models import Invitation, User


def invitation_with(token_hash: str) -> Invitation | None:
    """The invitation whose token has this hash."""
    return (
        Invitation.objects.select_related("association", "invited_by")
        .filter(token_hash=token_hash)
        .first()
    )


def account_exists(email: str) -> bool:
    """Whether the invited address has an account; asked only by who holds the link."""
    return User.objects.filter(email__iexact=email).exists()
