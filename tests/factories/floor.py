"""Sketches and marks from film of a logged dead ball, made through the services."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import Any

from evaluations.core.floor.eyes import Facing, Mark
from evaluations.core.floor.presets import Shape, preset
from evaluations.core.floor.sketch import OfficialAt, Point, Sketch
from evaluations.core.mechanics.facts import Source
from evaluations.models import DeadBall, FilmStatement
from evaluations.services.floor import keep_eyes, keep_sketch, state_film
from tests.factories.logs import REFEREE, UMPIRE

SOME_UNSEEN = replace(
    preset(Shape.FREE_THROW, 2),
    officials=(
        OfficialAt(REFEREE, Point(14.0, 0.5), 270.0),
        OfficialAt(UMPIRE, Point(24.0, 1.0), 75.0),
    ),
    source=Source.FILM,
)
"""The referee reports; the umpire, on the table side, doesn't have all players in view."""

GAP = (
    Mark(REFEREE, Facing.NOT_FACING, 0, None),
    Mark(UMPIRE, Facing.FACING, 0, 2_000),
    Mark(UMPIRE, Facing.NOT_FACING, 2_000, 4_500),
)
"""For a report that ended after six seconds: two covered, two and a half not, the rest unknown."""


def from_film(ball: DeadBall, sketch: Sketch = SOME_UNSEEN, marks: Sequence[Mark] = GAP) -> None:
    """Keep a sketch of the report and the marks of ten seconds of film."""
    by, now = ball.log.observation.observer, ball.log.observation.game.plays_at
    statement: dict[str, Any] = {"by": by, "now": now}
    keep_sketch(dead_ball=ball, sketch=sketch, **statement)
    state_film(
        log=ball.log, owner=FilmStatement.Owner.OWN, permission="the league agreed", **statement
    )
    moments = {"whistle_at": 0, "report_ended_at": 6_000, "live_at": 10_000}
    keep_eyes(dead_ball=ball, marks=marks, **(moments | statement))
