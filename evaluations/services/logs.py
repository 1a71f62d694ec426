"""The dead-ball log while it is kept: begin it, log a whistle."""

from __future__ import annotations

import uuid
from collections.abc import Sequence
from datetime import datetime

from django.db import transaction
from django.db.models import F, Max
from django.utils.translation import gettext as _

from accounts.models import Membership
from accounts.services.audit import record
from evaluations.core.documents import DocumentError
from evaluations.core.games import CrewPosition
from evaluations.core.log_document import dead_ball_document, read_dead_ball
from evaluations.core.mechanics import facts
from evaluations.core.mechanics.zones import Seat, Zone
from evaluations.models import DeadBall, DeadBallLog, Observation
from evaluations.queries.logs import RELATED, log_value
from evaluations.queries.observations import IN_WORK
from evaluations.services.errors import Refused
from evaluations.services.log_rows import recount


@transaction.atomic
def begin_log(
    *,
    observation: Observation,
    seat: Seat,
    kept: facts.Kept,
    every_nth: int | None,
    source: facts.Source,
    focus: Sequence[str],
    agreed: Sequence[str] | None,
    left_end: CrewPosition | None,
    by: Membership,
    now: datetime,
) -> DeadBallLog:
    """Begin the log of an opened observation.

    Raises:
        Refused: not the observer's, not opened, all forms are in, or it has a log.
        django.core.exceptions.ValidationError: every n-th without its n.
    """
    _refuse_unfit(observation, by)
    if DeadBallLog.objects.filter(observation=observation).exists():
        raise Refused(_("This observation has its log already. Go on in that one."))
    log = DeadBallLog(
        observation=observation,
        source=source,
        seat=seat,
        kept=kept,
        every_nth=every_nth,
        focus=list(focus),
        agreed=None if agreed is None else sorted(agreed),
        left_end=left_end or "",
        began_at=now,
    )
    log.full_clean()
    log.save()
    record(
        actor=by.user,
        association=by.association,
        action="log.begun",
        target=log,
        now=now,
        details={"kept": log.kept, "source": log.source},
    )
    return log


@transaction.atomic
def log_dead_ball(
    *,
    log: DeadBallLog,
    ball: facts.DeadBall,
    by: Membership,
    now: datetime,
    zone: Zone | None = None,
    back_court: bool = False,
    client_id: uuid.UUID | None = None,
) -> DeadBall:
    """Store one whistle under the next free number; the number of `ball` is not looked at.

    The same `client_id` again gives back what is stored and changes nothing.

    Raises:
        Refused: as `begin_log`, or facts that contradict each other or the crew.
    """
    stored = claim(log, by)
    sent = stored.dead_balls.filter(client_id=client_id).first() if client_id else None
    if sent is not None:
        return sent
    highest = stored.dead_balls.aggregate(highest=Max("number"))["highest"]
    number = (highest or 0) + 1
    row = DeadBall(
        log=stored,
        number=number,
        client_id=client_id or uuid.uuid4(),
        zone=zone or "",
        back_court=back_court,
        facts=facts_document(ball),
        made_at=now,
    )
    row.full_clean()
    row.save()
    check_facts(stored)
    recount(stored)
    return row


def facts_document(ball: facts.DeadBall) -> dict[str, object]:
    """What a row keeps of a dead ball: all but its number, checked as a document is.

    Raises:
        Refused: facts that contradict each other.
    """
    document = dead_ball_document(ball)
    number = document.pop("number")
    try:
        read_dead_ball(document, number)
    except DocumentError as error:
        raise Refused(_("This can't be logged: %(reason)s.") % {"reason": error}) from error
    return document


def check_facts(log: DeadBallLog) -> None:
    """Refuse facts that don't fit the crew or contradict each other."""
    try:
        log_value(log)
    except facts.LogError as error:
        raise Refused(_("This can't be logged: %(reason)s.") % {"reason": error}) from error


def claim(log: DeadBallLog, by: Membership) -> DeadBallLog:
    """Lock a log and move its version on; whoever writes next waits.

    Raises:
        Refused: not the observer's, or all forms of the observation are in.
    """
    _refuse_unfit(log.observation, by)
    DeadBallLog.objects.filter(pk=log.pk).update(version=F("version") + 1)
    return DeadBallLog.objects.select_related(*RELATED).get(pk=log.pk)


def _refuse_unfit(observation: Observation, by: Membership) -> None:
    if observation.observer_id != by.pk:
        raise Refused(_("Only the observer keeps the log."))
    if observation.opened_at is None:
        raise Refused(_("Open the observation first."))
    if not observation.evaluations.filter(state__in=IN_WORK).exists():
        raise Refused(_("All forms of this observation are in, so that its log stays as it is."))
