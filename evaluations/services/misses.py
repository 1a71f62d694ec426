"""The observer's word on whose a crew's miss was, and its taking back."""

from __future__ import annotations

from datetime import datetime

from django.db import transaction
from django.utils.translation import gettext as _

from accounts.models import Membership
from accounts.services.audit import record
from evaluations.core.games import CrewPosition
from evaluations.models import DeadBallLog, MissMoved
from evaluations.queries.misses import Miss, miss_at
from evaluations.services.errors import Refused
from evaluations.services.log_rows import recount
from evaluations.services.logs import check_facts, claim


@transaction.atomic
def move_miss(
    *,
    log: DeadBallLog,
    number: int,
    rule: str,
    to: CrewPosition,
    reason: str,
    by: Membership,
    now: datetime,
) -> MissMoved:
    """Make a miss that is the crew's, or another's, the one of `to`; moving again replaces that.

    Raises:
        Refused: as `evaluations.services.logs.claim`; no reason; no such miss; nobody of this
            crew; or whose it is already.
        django.core.exceptions.ValidationError: a reason of more than 300 characters.
    """
    stored = claim(log, by)
    miss = _movable(stored, number, rule)
    if not reason.strip():
        raise Refused(_("Say why the miss is moved. You and the admins read it."))
    if to is miss.whose:
        raise Refused(_("The miss belongs to this official already."))
    if miss.moved is not None and to is miss.by_code:
        raise Refused(_("Without the move it is this official's. Take the move back instead."))
    moved = miss.moved or MissMoved(dead_ball=miss.row, rule=rule)
    moved.position, moved.reason, moved.by, moved.at = to, reason.strip(), by, now
    moved.full_clean()
    moved.save()
    check_facts(stored)
    _counted_anew(stored, miss, "miss.moved", to, by, now)
    return moved


@transaction.atomic
def take_back(
    *, log: DeadBallLog, number: int, rule: str, by: Membership, now: datetime
) -> DeadBallLog:
    """Let a moved miss belong again to whom it belonged before.

    Raises:
        Refused: as `evaluations.services.logs.claim`; no such miss, or it was not moved.
    """
    stored = claim(log, by)
    miss = _movable(stored, number, rule)
    if miss.moved is None:
        raise Refused(_("This miss was not moved."))
    miss.moved.delete()
    _counted_anew(stored, miss, "miss.taken_back", miss.by_code, by, now)
    return stored


def _movable(log: DeadBallLog, number: int, rule: str) -> Miss:
    miss = miss_at(log, number, rule)
    if miss is None:
        raise Refused(_("There is no such miss any more. Look at the dead ball again."))
    return miss


def _counted_anew(
    log: DeadBallLog,
    miss: Miss,
    action: str,
    to: CrewPosition | None,
    by: Membership,
    now: datetime,
) -> None:
    recount(log)
    record(
        actor=by.user,
        association=by.association,
        action=action,
        target=log,
        now=now,
        details={
            "dead_ball": miss.row.number,
            "rule": miss.rule,
            "from": miss.whose or "",
            "to": to or "",
        },
    )
