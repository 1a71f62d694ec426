"""What a person says about himself or herself."""

from __future__ import annotations

from datetime import datetime

from django.db import transaction

from accounts.models import User
from accounts.services.audit import record


@transaction.atomic
def update_profile(
    *, user: User, name: str, pronouns: str, language: str, time_zone: str, now: datetime
) -> User:
    """Change one's own name, pronouns, language and clock, alike in every association."""
    kept = User.objects.select_for_update().get(pk=user.pk)
    kept.name = name.strip()
    kept.pronouns = pronouns.strip()
    kept.language = language
    kept.time_zone = time_zone
    kept.full_clean()
    kept.save(update_fields=["name", "pronouns", "language", "time_zone"])
    record(actor=kept, association=None, action="profile.changed", target=kept, now=now)
    return kept
