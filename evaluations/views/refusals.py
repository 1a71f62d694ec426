"""What a page does when a service refuses: at the form, or after a single button."""

from __future__ import annotations

from collections.abc import Callable

from django.contrib import messages
from django.core.exceptions import ValidationError

from accounts.http import MemberRequest
from evaluations.services.errors import Refused


def sentences(refusal: Refused | ValidationError) -> list[str]:
    """What a refusal says, as errors of a form."""
    return refusal.messages if isinstance(refusal, ValidationError) else [str(refusal)]


def attempt(request: MemberRequest, write: Callable[[], object], message: str) -> None:
    """Do what a single button asks for; the answer or the refusal is said on the next page."""
    try:
        write()
    except Refused as refusal:
        messages.error(request, str(refusal))
    else:
        messages.success(request, message)
