"""Associations: founding one, and its settings."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime
from typing import Any

from django.db import transaction

from accounts.models import Association, PaperSize, User
from accounts.services.audit import record


@transaction.atomic
def create_association(
    *,
    name: str,
    slug: str,
    now: datetime,
    language: str = "en",
    time_zone: str = "UTC",
    paper_size: PaperSize = PaperSize.LETTER,
) -> Association:
    """Found an association. Its first admin is invited next."""
    association = Association(
        name=name, slug=slug, language=language, time_zone=time_zone, paper_size=paper_size
    )
    association.full_clean()
    association.save()
    record(
        actor=None,
        association=association,
        action="association.created",
        target=association,
        now=now,
    )
    return association


@transaction.atomic
def change_settings(
    *, association: Association, actor: User, settings: Mapping[str, Any], now: datetime
) -> Association:
    """Set the columns named in `settings`; the short name in addresses never changes."""
    kept = Association.objects.select_for_update().get(pk=association.pk)
    changed = sorted(name for name, value in settings.items() if getattr(kept, name) != value)
    if "slug" in changed:
        raise ValueError("The short name in addresses never changes.")
    for name in changed:
        setattr(kept, name, settings[name])
    kept.full_clean()
    kept.save()
    record(
        actor=actor,
        association=kept,
        action="association.settings_changed",
        target=kept,
        now=now,
        details={"changed": changed},
    )
    return kept
