"""Dead-ball logs of an opened observation, made through the services."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from datetime import timedelta
from typing import Any

from evaluations.core.games import POSITIONS, CrewPosition
from evaluations.core.mechanics.court import Court, End, Position, Resumes, Side, Whistle
from evaluations.core.mechanics.facts import DeadBall, Kept, Report, Source, Stood
from evaluations.core.mechanics.zones import Seat
from evaluations.models import DeadBallLog, Observation
from evaluations.services.logs import begin_log, log_dead_ball

REFEREE, UMPIRE = POSITIONS[2]


def begun_log(observation: Observation, **changes: Any) -> DeadBallLog:
    """A live log of every foul, kept from the table side; nothing special was agreed."""
    terms: Mapping[str, Any] = {
        "seat": Seat.TABLE,
        "kept": Kept.EVERY_FOUL,
        "every_nth": None,
        "source": Source.LIVE,
        "focus": (),
        "agreed": (),
        "left_end": REFEREE,
    }
    return begin_log(
        observation=observation,
        by=observation.observer,
        now=observation.game.plays_at,
        **{**terms, **changes},
    )


def log_with(observation: Observation, balls: Iterable[DeadBall], **changes: Any) -> DeadBallLog:
    """A log that holds these dead balls, one every two minutes."""
    log = begun_log(observation, **changes)
    for minute, ball in enumerate(balls):
        now = observation.game.plays_at + timedelta(minutes=2 * minute)
        log_dead_ball(log=log, ball=ball, by=observation.observer, now=now)
    return log


def lead_calls(switched: bool | None, caller: CrewPosition = REFEREE, **changes: Any) -> DeadBall:
    """A lead's foul with free throws in the front court: the shipped code asks for a switch."""
    values: dict[str, Any] = {
        "number": 1,
        "whistle": Whistle.SHOOTING,
        "caller": caller,
        "resumes": Resumes.FREE_THROWS,
        "court": Court.FRONT,
        "flip": False,
        "basket": End.LEFT,
        "before": {caller: Stood(Position.LEAD, Side.TABLE)},
        "switched": switched,
    }
    return DeadBall(**{**values, **changes})


def full_stops(
    met: int, not_met: int, not_judged: int = 0, caller: CrewPosition = REFEREE
) -> list[DeadBall]:
    """Fouls before whose report the caller stood still; then those without; then those not seen."""
    seen = [True] * met + [False] * not_met + [None] * not_judged
    return [
        lead_calls(switched=None, caller=caller, report=Report(full_stop=stopped))
        for stopped in seen
    ]
