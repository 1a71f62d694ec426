"""What every step on a rubric has in common: who may, one save at a time, still usable after it."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from datetime import datetime
from typing import Any

import msgspec
from django.db import transaction
from django.db.models import F
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from accounts.models import Membership, Role
from accounts.services.audit import record
from evaluations.core.rubric import RubricError
from evaluations.models import Rubric, Season
from evaluations.queries.rubrics import rubric_content, rubric_spec
from evaluations.services.errors import Refused, StaleVersion

# What to do about a value that core refuses, by the last word of the field that core names if it
# is here, else by the first.
REASONS = {
    "areas": gettext_lazy("A rubric needs at least one area."),
    "area": gettext_lazy(
        "Every area needs a weight above 0, a share to be seen above 0 % and at most 100 %, and at "
        "least one criterion."
    ),
    "criterion": gettext_lazy("Every criterion needs a weight above 0."),
    "bands": gettext_lazy(
        "The lowest band begins at 0; every other one begins higher than the band below it and "
        "below 100."
    ),
    "band": gettext_lazy("Two bands have the same name."),
    "ceiling": gettext_lazy("A ceiling is from 0 to 100."),
    "levels": gettext_lazy("A rubric has from 2 to 7 levels."),
    "target_level": gettext_lazy("The target level must be above the lowest level."),
    "minimum_seen": gettext_lazy("The share that must be seen is from 0 % to 100 %."),
    "cut_points": gettext_lazy(
        "The shares from which a count reaches a level must rise, above 0 % and up to 100 %."
    ),
    "minimum_count": gettext_lazy("At least one finding must be judged for a count."),
    "thresholds": gettext_lazy(
        "A threshold for film is above 0 and within its unit, and the same wherever a rubric asks "
        "for it."
    ),
}


@contextmanager
def editing(
    *,
    rubric: Rubric,
    version: int,
    by: Membership,
    action: str,
    now: datetime,
    removing: str | None = None,
) -> Iterator[Rubric]:
    """One step on a draft in one transaction; yields the rubric as stored, claimed for this save.

    `removing` names what the step takes away: the rubric as it was is kept for an undo.

    Raises:
        StaleVersion: somebody saved after `version`.
        Refused: not a draft, not an admin's, or the step would leave the rubric unusable.
    """
    with transaction.atomic():
        draft = claim(rubric=rubric, version=version, by=by, before=Rubric.State.DRAFT)
        draft.undo = None if removing is None else _kept(draft, removing)
        draft.save(update_fields=["undo"])
        yield draft
        check(draft)
        record_step(draft, by, action, now)


def claim(
    *, rubric: Rubric, version: int, by: Membership, before: Rubric.State, **changes: Any
) -> Rubric:
    """Move the version on, with `changes`, in one conditional update; the second is refused."""
    require_admin(by, rubric.season)
    won = Rubric.objects.filter(pk=rubric.pk, version=version, state=before).update(
        version=F("version") + 1, **changes
    )
    stored = Rubric.objects.select_related("season__association").get(pk=rubric.pk)
    if won:
        return stored
    if stored.state != before:
        raise Refused(_state_refusal(Rubric.State(stored.state)))
    raise StaleVersion(
        _(
            "Somebody saved this rubric after you opened the page, so nothing was saved now. What "
            "you typed is kept here. Compare it with what is stored and save again."
        )
    )


def require_admin(by: Membership, season: Season) -> None:
    """Rubrics are the work of the association's admins."""
    if Role.ADMIN not in by.roles or by.association_id != season.association_id:
        raise Refused(_("Only an admin of the association works on its rubrics."))


def check(rubric: Rubric) -> None:
    """Refuse what the arithmetic can't use."""
    try:
        rubric_spec(rubric)
    except RubricError as error:
        first, last = error.field.partition("[")[0].partition(".")[0], error.field.split(".")[-1]
        raise Refused(str(REASONS.get(last) or REASONS[first])) from error


def record_step(rubric: Rubric, by: Membership, action: str, now: datetime) -> None:
    """The step's audit entry: which version and state it led to, never what was written."""
    record(
        actor=by.user,
        association=by.association,
        action=action,
        target=rubric,
        now=now,
        details={"version": rubric.version, "state": rubric.state},
    )


def _kept(rubric: Rubric, removing: str) -> dict[str, Any]:
    return {"removed": removing, "content": msgspec.to_builtins(rubric_content(rubric))}


def _state_refusal(state: Rubric.State) -> str:
    return {
        Rubric.State.DRAFT: _("This rubric is a draft again; nobody proposes it now."),
        Rubric.State.PROPOSED: _(
            "This rubric waits for a second admin. Withdraw the proposal to change it."
        ),
        Rubric.State.PUBLISHED: _(
            "This edition is published and locked. Copy it to make a new edition."
        ),
    }[state]
