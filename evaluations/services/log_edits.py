"""A dead-ball log at the table: its terms, one dead ball, officials mixed up, the final whistle."""

from __future__ import annotations

from datetime import datetime
from typing import TypedDict, Unpack

from django.db import transaction
from django.utils.translation import gettext as _

from accounts.models import Membership
from evaluations.core.games import POSITIONS, CrewPosition
from evaluations.core.log_document import read_dead_ball
from evaluations.core.mechanics import facts
from evaluations.core.mechanics.exchange import exchange_members
from evaluations.models import DeadBall, DeadBallLog
from evaluations.queries.log_pages import facts_mark
from evaluations.services.errors import Refused, StaleVersion
from evaluations.services.log_rows import recount
from evaluations.services.logs import (
    Terms,
    check_facts,
    claim,
    facts_document,
    keep_row,
    keep_terms,
    log_step,
)


class Exchange(TypedDict):
    """Two officials of a crew who were mixed up from dead ball `since` on."""

    since: int
    first: CrewPosition
    second: CrewPosition


@transaction.atomic
def change_terms(
    *, log: DeadBallLog, by: Membership, now: datetime, **terms: Unpack[Terms]
) -> DeadBallLog:
    """Keep the log differently from now on; what is logged is judged anew by the new terms.

    Raises:
        Refused: as `claim`.
        django.core.exceptions.ValidationError: every n-th without its n.
    """
    stored = claim(log, by)
    keep_terms(stored, terms)
    recount(stored)
    log_step(stored, "log.terms_changed", by, now, kept=stored.kept, source=stored.source)
    return stored


@transaction.atomic
def change_dead_ball(
    *, dead_ball: DeadBall, mark: str, ball: facts.DeadBall, by: Membership, now: datetime
) -> DeadBall:
    """Put other facts in the place of those that `mark` stands for; the number stays.

    Where the caller was tapped on the floor no longer holds when the facts say otherwise.

    Raises:
        StaleVersion: it was changed in between.
        Refused: as `claim`, it was removed, or facts that contradict each other or the crew.
    """
    log = claim(dead_ball.log, by)
    stored = log.dead_balls.get(pk=dead_ball.pk)
    if stored.removed_at is not None:
        raise Refused(_("This dead ball was removed. Put it back first."))
    if facts_mark(stored) != mark:
        raise StaleVersion(
            _("This dead ball was changed in between. Look at it again; saving now keeps yours.")
        )
    before, document = stored.facts, facts_document(ball)
    if any(before.get(name) != document.get(name) for name in ("before", "basket", "court")):
        stored.zone, stored.back_court = "", False
    stored.facts = document
    _store(log, stored, "dead_ball.changed", by, now)
    return stored


@transaction.atomic
def remove_dead_ball(*, dead_ball: DeadBall, by: Membership, now: datetime) -> DeadBall:
    """Take a dead ball out of the log; `restore_dead_ball` puts it back under its number.

    Raises:
        Refused: as `claim`.
    """
    log = claim(dead_ball.log, by)
    stored = log.dead_balls.get(pk=dead_ball.pk)
    if stored.removed_at is None:
        stored.removed_at = now
        _store(log, stored, "dead_ball.removed", by, now)
    return stored


@transaction.atomic
def restore_dead_ball(*, dead_ball: DeadBall, by: Membership, now: datetime) -> DeadBall:
    """Put a removed dead ball back; its number was given to no other.

    Raises:
        Refused: as `claim`.
    """
    log = claim(dead_ball.log, by)
    stored = log.dead_balls.get(pk=dead_ball.pk)
    if stored.removed_at is not None:
        stored.removed_at = None
        _store(log, stored, "dead_ball.restored", by, now)
    return stored


@transaction.atomic
def exchange_officials(
    *,
    log: DeadBallLog,
    version: int,
    by: Membership,
    now: datetime,
    **exchange: Unpack[Exchange],
) -> DeadBallLog:
    """What was said of one of the two from dead ball `since` on was meant of the other.

    Doing it again undoes it. Removed dead balls and the observer's word on whose a miss was change
    along; so does who began at the left end, when the two were mixed up from the first one on.

    Raises:
        StaleVersion: the log was changed in between, so that a second press undoes nothing.
        Refused: as `claim`, nobody to exchange, or no dead ball from there on.
    """
    stored = claim(log, by)
    if stored.version != version + 1:
        raise StaleVersion(_("The log was changed in between. Look at it and choose again."))
    since, first, second = exchange["since"], exchange["first"], exchange["second"]
    crew = POSITIONS[stored.observation.game.crew_size]
    if first is second or not {first, second} <= set(crew):
        raise Refused(_("Choose two officials of this crew."))
    rows = list(stored.dead_balls.filter(number__gte=since).prefetch_related("moved"))
    if not rows:
        raise Refused(_("There is no dead ball from that number on."))
    for row in rows:
        _exchange(row, first, second)
    if not stored.dead_balls.filter(number__lt=since).exists():
        stored.left_end = _other(stored.left_end, first, second)
        stored.save()
    check_facts(stored)
    recount(stored)
    log_step(stored, "log.exchanged", by, now, since=since, first=first, second=second)
    return stored


@transaction.atomic
def end_log(*, log: DeadBallLog, by: Membership, now: datetime) -> DeadBallLog:
    """The final whistle; what is logged can still be changed. A second time changes nothing.

    Raises:
        Refused: as `claim`.
    """
    stored = claim(log, by)
    if stored.ended_at is None:
        stored.ended_at = now
        stored.save()
        log_step(stored, "log.ended", by, now)
    return stored


@transaction.atomic
def resume_log(*, log: DeadBallLog, by: Membership, now: datetime) -> DeadBallLog:
    """Take the final whistle back.

    Raises:
        Refused: as `claim`.
    """
    stored = claim(log, by)
    if stored.ended_at is not None:
        stored.ended_at = None
        stored.save()
        log_step(stored, "log.resumed", by, now)
    return stored


def _store(log: DeadBallLog, row: DeadBall, action: str, by: Membership, now: datetime) -> None:
    keep_row(row)
    check_facts(log)
    recount(log)
    log_step(log, action, by, now, number=row.number)


def _exchange(row: DeadBall, first: CrewPosition, second: CrewPosition) -> None:
    ball = read_dead_ball(row.facts, row.number)
    row.facts = facts_document(exchange_members(ball, first, second))
    keep_row(row)
    for moved in row.moved.all():
        moved.position = _other(moved.position, first, second)
        moved.save()


def _other(position: str, first: CrewPosition, second: CrewPosition) -> str:
    return {first.value: second.value, second.value: first.value}.get(position, position)
