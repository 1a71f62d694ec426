"""Sketches and eyes ledgers of a log, as core values."""

from __future__ import annotations

from evaluations.core.floor.eyes import DeadTime, Facing, Mark
from evaluations.core.floor.sketch import Sketch
from evaluations.core.games import CrewPosition
from evaluations.core.sketch_document import sketch_of
from evaluations.models import DeadBall, EyesMarks, FloorSketch


def sketch_value(row: FloorSketch) -> Sketch:
    return sketch_of(row.content)


def dead_time(row: EyesMarks) -> DeadTime:
    """The marks of a dead ball, with its crew and who called as the log has them."""
    ball: DeadBall = row.dead_ball
    caller = ball.facts.get("caller")
    return DeadTime(
        crew=ball.log.observation.game.crew_size,
        whistle=row.whistle_at,
        live=row.live_at,
        report_ended=row.report_ended_at,
        caller=None if caller is None else CrewPosition(caller),
        marks=tuple(
            Mark(CrewPosition(member), Facing(facing), start, end)
            for member, facing, start, end in row.marks
        ),
    )
