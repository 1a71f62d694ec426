"""Sketches of a dead ball are kept by its observer, one for each moment, and written down."""

from __future__ import annotations

from dataclasses import replace

import pytest

from accounts.models import AuditEntry
from evaluations.core.floor.frames import Frame
from evaluations.core.floor.presets import Shape, preset
from evaluations.core.floor.sketch import Instant
from evaluations.models import DeadBall, FloorSketch
from evaluations.queries.floor import sketch_value
from evaluations.services.errors import Refused
from evaluations.services.floor import keep_sketch, remove_sketch
from tests.factories.accounts import Cast
from tests.factories.logs import lead_calls, log_with
from tests.factories.releases import THAT_NIGHT, crew_of, hand_in

SKETCH = preset(Shape.FREE_THROW, 2, Frame.FEET_84)


@pytest.fixture
def ball(cast: Cast) -> DeadBall:
    return log_with(crew_of(cast), [lead_calls(False)]).dead_balls.get()


def test_a_sketch_comes_back_as_it_was_drawn(cast: Cast, ball: DeadBall) -> None:
    row = keep_sketch(dead_ball=ball, sketch=SKETCH, by=cast.observer, now=THAT_NIGHT)
    row.refresh_from_db()
    assert sketch_value(row) == SKETCH
    assert row.drawn_at == THAT_NIGHT


def test_a_moments_next_sketch_takes_the_place_of_the_last(cast: Cast, ball: DeadBall) -> None:
    for sketch in (SKETCH, replace(SKETCH, players=()), replace(SKETCH, instant=Instant.LIVE)):
        keep_sketch(dead_ball=ball, sketch=sketch, by=cast.observer, now=THAT_NIGHT)
    kept = {row.instant: len(sketch_value(row).players) for row in FloorSketch.objects.all()}
    assert kept == {"report": 0, "live": 10}


def test_keeping_and_removing_move_the_log_on_and_are_written_down(
    cast: Cast, ball: DeadBall
) -> None:
    ball.log.refresh_from_db()
    before = ball.log.version
    row = keep_sketch(dead_ball=ball, sketch=SKETCH, by=cast.observer, now=THAT_NIGHT)
    remove_sketch(sketch=row, by=cast.observer, now=THAT_NIGHT)
    ball.log.refresh_from_db()
    assert ball.log.version == before + 2
    done = AuditEntry.objects.filter(action__startswith="sketch.").order_by("pk")
    assert [(entry.action, entry.details["number"]) for entry in done] == [
        ("sketch.kept", 1),
        ("sketch.removed", 1),
    ]
    assert not FloorSketch.objects.exists()


def test_a_sketch_of_a_crew_of_three_is_not_of_this_game(cast: Cast, ball: DeadBall) -> None:
    three = preset(Shape.SPREAD, 3)
    with pytest.raises(Refused, match="another size"):
        keep_sketch(dead_ball=ball, sketch=three, by=cast.observer, now=THAT_NIGHT)


def test_nobody_else_draws_and_a_final_log_stays(cast: Cast, ball: DeadBall) -> None:
    row = keep_sketch(dead_ball=ball, sketch=SKETCH, by=cast.observer, now=THAT_NIGHT)
    with pytest.raises(Refused, match="Only the observer"):
        keep_sketch(dead_ball=ball, sketch=SKETCH, by=cast.other_observer, now=THAT_NIGHT)
    for evaluation in ball.log.observation.evaluations.all():
        hand_in(evaluation)
    with pytest.raises(Refused, match="All forms"):
        keep_sketch(dead_ball=ball, sketch=SKETCH, by=cast.observer, now=THAT_NIGHT)
    with pytest.raises(Refused, match="All forms"):
        remove_sketch(sketch=row, by=cast.observer, now=THAT_NIGHT)
    assert FloorSketch.objects.count() == 1
