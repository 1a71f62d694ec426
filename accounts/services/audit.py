"""The one way into the audit log."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime
from typing import Any

from django.db import models

from accounts.models import Association, AuditEntry, User


def record(
    *,
    actor: User | None,
    association: Association | None,
    action: str,
    target: models.Model,
    now: datetime,
    details: Mapping[str, Any] | None = None,
) -> AuditEntry:
    """Write down that `actor` did `action` to `target`.

    `details` holds ids, hashes, states and names of columns, never what somebody wrote. The
    caller has a transaction open, so that the deed and its entry stand or fall together.
    `actor` is None for what a command or a clock did.
    """
    entry = AuditEntry(
        association=association,
        actor=actor,
        action=action,
        object_type=target._meta.label_lower,
        object_id=str(target.pk),
        details=dict(details or {}),
        at=now,
    )
    entry.full_clean()
    entry.save(force_insert=True)
    return entry
