"""Whistles as they are tapped while the game is on: logged, taken back, put back, noted.

Each is named by the id that the device gave it, so that what is sent twice is done once.
"""

from __future__ import annotations

import uuid
from dataclasses import replace
from datetime import datetime

from django.db import transaction
from django.utils.translation import gettext as _

from accounts.models import Membership
from evaluations.core.log_document import read_dead_ball
from evaluations.core.mechanics.taps import Tap, ball_of
from evaluations.models import DeadBall, DeadBallLog
from evaluations.queries.log_pages import facts_mark
from evaluations.services.errors import Refused
from evaluations.services.log_edits import change_dead_ball, remove_dead_ball, restore_dead_ball
from evaluations.services.logs import log_dead_ball


def log_tap(
    *, log: DeadBallLog, tap: Tap, client_id: uuid.UUID, by: Membership, now: datetime
) -> DeadBall:
    """Store the facts that the taps say.

    Raises:
        Refused: as `evaluations.services.logs.log_dead_ball`.
        django.core.exceptions.ValidationError: the id is another log's.
    """
    return log_dead_ball(
        log=log,
        ball=ball_of(tap, log.observation.game.crew_size),
        by=by,
        now=now,
        zone=tap.zone,
        back_court=tap.back_court,
        client_id=client_id,
    )


def take_back(*, log: DeadBallLog, client_id: uuid.UUID, by: Membership, now: datetime) -> DeadBall:
    """Remove a whistle; one that is removed already stays so.

    Raises:
        Refused: as `remove_dead_ball`, or it is no whistle of this log.
    """
    return remove_dead_ball(dead_ball=_tapped(log, client_id), by=by, now=now)


def put_back(*, log: DeadBallLog, client_id: uuid.UUID, by: Membership, now: datetime) -> DeadBall:
    """Put a whistle that was taken back into the log again.

    Raises:
        Refused: as `restore_dead_ball`, or it is no whistle of this log.
    """
    return restore_dead_ball(dead_ball=_tapped(log, client_id), by=by, now=now)


@transaction.atomic
def note(
    *, log: DeadBallLog, client_id: uuid.UUID, text: str, by: Membership, now: datetime
) -> DeadBall:
    """Write a note to a whistle, in the place of the one it had.

    Raises:
        Refused: as `change_dead_ball`, or it is no whistle of this log.
    """
    row = _tapped(log, client_id)
    ball = replace(read_dead_ball(row.facts, row.number), note=text)
    return change_dead_ball(dead_ball=row, mark=facts_mark(row), ball=ball, by=by, now=now)


def _tapped(log: DeadBallLog, client_id: uuid.UUID) -> DeadBall:
    row = log.dead_balls.filter(client_id=client_id).first()
    if row is None:
        raise Refused(_("This whistle isn't in the log."))
    return row
