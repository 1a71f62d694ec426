"""The dead-ball log while it is kept: begin it, log a whistle. See `log_edits` for the rest."""

from __future__ import annotations

import uuid
from collections.abc import Sequence
from datetime import datetime
from typing import Any, NotRequired, TypedDict, Unpack

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
from evaluations.services.observations import lock_game


class Terms(TypedDict):
    """How a log is kept, as `DeadBallLog` has it. `agreed` None: nobody asked; `left_end` None:
    not known yet, or a crew of three. `film_rules` is for film only.
    """

    seat: Seat
    kept: facts.Kept
    every_nth: int | None
    source: facts.Source
    focus: Sequence[str]
    agreed: Sequence[str] | None
    left_end: CrewPosition | None
    film_rules: NotRequired[bool]


@transaction.atomic
def begin_log(
    *, observation: Observation, by: Membership, now: datetime, **terms: Unpack[Terms]
) -> DeadBallLog:
    """Begin the log of an opened observation.

    Raises:
        Refused: not the observer's, not opened, closed, all forms are in, or it has a log.
        django.core.exceptions.ValidationError: every n-th without its n.
    """
    lock_game(observation.game)
    observation.refresh_from_db()
    _refuse_unfit(observation, by)
    if DeadBallLog.objects.filter(observation=observation).exists():
        raise Refused(_("This observation has its log already. Go on in that one."))
    log = DeadBallLog(observation=observation, began_at=now)
    keep_terms(log, terms)
    log_step(log, "log.begun", by, now, kept=log.kept, source=log.source)
    return log


def keep_terms(log: DeadBallLog, terms: Terms) -> None:
    """Store how a log is kept."""
    agreed, film = terms["agreed"], terms["source"] is facts.Source.FILM
    log.seat, log.kept, log.every_nth = terms["seat"], terms["kept"], terms["every_nth"]
    log.source, log.focus = terms["source"], list(terms["focus"])
    log.agreed = None if agreed is None else sorted(agreed)
    log.left_end = terms["left_end"] or ""
    log.film_rules = film and terms.get("film_rules", False)
    log.full_clean()
    log.save()


def log_step(log: DeadBallLog, action: str, by: Membership, now: datetime, **details: Any) -> None:
    """Write down what was done to a log."""
    record(
        actor=by.user,
        association=by.association,
        action=action,
        target=log,
        now=now,
        details=details,
    )


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
    keep_row(row)
    check_facts(stored)
    recount(stored)
    return row


def keep_row(row: DeadBall) -> None:
    """Store a row whose facts `facts_document` made; there may be none, where nothing was seen."""
    row.full_clean(exclude={"facts"})
    row.save()


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
        Refused: not the observer's, closed, all forms of the observation are in, or another
            observer was sent and the log is gone.
    """
    if not DeadBallLog.objects.filter(pk=log.pk).update(version=F("version") + 1):
        raise Refused(_("This log was removed, because another observer was sent."))
    claimed = DeadBallLog.objects.select_related(*RELATED).get(pk=log.pk)
    _refuse_unfit(claimed.observation, by)
    return claimed


def _refuse_unfit(observation: Observation, by: Membership) -> None:
    if observation.observer_id != by.pk:
        raise Refused(_("Only the observer keeps the log."))
    if observation.closed_at is not None:
        raise Refused(_("The observation is closed, so that its log stays as it is."))
    if observation.opened_at is None:
        raise Refused(_("Open the observation first."))
    if not observation.evaluations.filter(state__in=IN_WORK).exists():
        raise Refused(_("All forms of this observation are in, so that its log stays as it is."))
