"""Sketches and marks from film as core values, and what they are judged to be."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from fractions import Fraction

from django.db.models import prefetch_related_objects

from evaluations.core.floor.eyes import DeadTime, Facing, Mark
from evaluations.core.floor.sketch import Instant, Sketch
from evaluations.core.floor_rules import Seen, floor_findings
from evaluations.core.games import CrewPosition
from evaluations.core.mechanics.engine import Finding
from evaluations.core.mechanics.facts import Log
from evaluations.core.rubric import FloorRule, Threshold
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


def seen_at(rows: Sequence[DeadBall]) -> dict[int, Seen]:
    """What was drawn and marked, by the dead ball's number; two queries at most."""
    prefetch_related_objects(rows, "sketches", "eyes_marks")
    found = {row.number: _seen(row) for row in rows}
    return {number: one for number, one in found.items() if one.sketches or one.time}


def _seen(row: DeadBall) -> Seen:
    marks = getattr(row, "eyes_marks", None)
    return Seen(
        sketches={Instant(s.instant): sketch_value(s) for s in row.sketches.all()},
        time=None if marks is None else dead_time(marks),
    )


def film_findings(
    value: Log, rows: Sequence[DeadBall], thresholds: Mapping[FloorRule, Fraction]
) -> tuple[Finding, ...]:
    """What film of a log's dead balls is judged to be; without thresholds nothing is read."""
    if not thresholds:
        return ()
    asked = (Threshold(rule, at) for rule, at in thresholds.items())
    return floor_findings(value, seen_at(rows), asked)
