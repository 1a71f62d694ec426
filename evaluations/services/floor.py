"""Sketches and eyes ledgers of a dead ball: kept by the observer while the log may change."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime

from django.db import transaction
from django.utils.translation import gettext as _

from accounts.models import Membership
from evaluations.core.floor.eyes import LedgerError, Mark
from evaluations.core.floor.sketch import Sketch
from evaluations.core.sketch_document import sketch_document
from evaluations.models import DeadBall, DeadBallLog, EyesMarks, FilmStatement, FloorSketch
from evaluations.queries.floor_values import dead_time
from evaluations.services.errors import Refused
from evaluations.services.log_rows import recount
from evaluations.services.logs import claim, log_step


@transaction.atomic
def keep_sketch(
    *, dead_ball: DeadBall, sketch: Sketch, by: Membership, now: datetime
) -> FloorSketch:
    """Store a sketch in place of the one of the same moment, if there was one.

    Raises:
        Refused: as `services.logs.claim` does, or a sketch of another crew size.
    """
    log = claim(dead_ball.log, by)
    if sketch.crew != log.observation.game.crew_size:
        raise Refused(_("This sketch is of a crew of another size."))
    row = FloorSketch.objects.filter(dead_ball=dead_ball, instant=sketch.instant).first()
    row = row or FloorSketch(dead_ball=dead_ball, instant=sketch.instant)
    row.content, row.drawn_at = sketch_document(sketch), now
    row.full_clean()
    row.save()
    recount(log)
    log_step(log, "sketch.kept", by, now, number=dead_ball.number, instant=row.instant)
    return row


@transaction.atomic
def remove_sketch(*, sketch: FloorSketch, by: Membership, now: datetime) -> None:
    """Take a sketch away.

    Raises:
        Refused: as `services.logs.claim` does.
    """
    log = claim(sketch.dead_ball.log, by)
    log_step(log, "sketch.removed", by, now, number=sketch.dead_ball.number)
    sketch.delete()
    recount(log)


@transaction.atomic
def state_film(
    *,
    log: DeadBallLog,
    owner: FilmStatement.Owner,
    permission: str,
    by: Membership,
    now: datetime,
) -> FilmStatement:
    """Say whose film it is and with what permission, before it is opened.

    Raises:
        Refused: as `services.logs.claim` does.
        django.core.exceptions.ValidationError: no permission given.
    """
    log = claim(log, by)
    statement = FilmStatement.objects.filter(log=log).first() or FilmStatement(log=log)
    statement.owner, statement.permission, statement.stated_at = owner, permission.strip(), now
    statement.full_clean()
    statement.save()
    log_step(log, "film.stated", by, now, owner=owner)
    return statement


@transaction.atomic
def keep_eyes(
    *,
    dead_ball: DeadBall,
    whistle_at: int,
    report_ended_at: int | None,
    live_at: int | None,
    marks: Sequence[Mark],
    by: Membership,
    now: datetime,
) -> EyesMarks:
    """Store what was marked on film, in milliseconds, in place of what was there.

    Raises:
        Refused: as `services.logs.claim` does, nobody said whose film it is, or times that can't
            be right.
    """
    log = claim(dead_ball.log, by)
    if not FilmStatement.objects.filter(log=log).exists():
        raise Refused(_("Say first whose film it is and with what permission you look at it."))
    row = EyesMarks.objects.filter(dead_ball=dead_ball).first() or EyesMarks(dead_ball=dead_ball)
    row.whistle_at, row.report_ended_at, row.live_at = whistle_at, report_ended_at, live_at
    row.marks = [[m.member.value, m.facing.value, m.start, m.end] for m in marks]
    row.marked_at = now
    try:
        dead_time(row)
    except LedgerError as error:
        raise Refused(_("These times can't be right: %(reason)s.") % {"reason": error}) from error
    row.full_clean()
    row.save()
    recount(log)
    log_step(log, "eyes.kept", by, now, number=dead_ball.number)
    return row
