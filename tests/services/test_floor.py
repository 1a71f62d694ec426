"""Sketches of a dead ball are kept by its observer, one for each moment, and written down."""

from __future__ import annotations

from dataclasses import replace

import pytest
from pytest_django import DjangoAssertNumQueries

from accounts.models import AuditEntry
from evaluations.core.floor.eyes import Facing, Mark
from evaluations.core.floor.frames import Frame
from evaluations.core.floor.presets import Shape, preset
from evaluations.core.floor.sketch import Instant
from evaluations.core.mechanics.facts import Source
from evaluations.core.rubric import FloorRule
from evaluations.models import Criterion, DeadBall, FilmStatement, FindingCount, FloorSketch
from evaluations.queries.floor_values import sketch_value
from evaluations.queries.logs import judged, logs_for
from evaluations.services.errors import Refused
from evaluations.services.floor import keep_eyes, keep_sketch, remove_sketch, state_film
from tests.factories.accounts import Cast
from tests.factories.logs import REFEREE, UMPIRE, lead_calls, log_with
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


# --- Counted from film --------------------------------------------------------------------------
def film_counts(ball: DeadBall) -> set[tuple[str, str, int, int]]:
    rows = FindingCount.objects.filter(log=ball.log, rule__in=[rule.value for rule in FloorRule])
    return {(row.rule, row.position, row.met, row.not_met) for row in rows}


def asked_of_film(ball: DeadBall, **thresholds: str) -> None:
    """The rubric in force asks film for these."""
    rubric = ball.log.observation.rubric
    criterion = Criterion.objects.filter(area__rubric=rubric).earliest("pk")
    criterion.thresholds = thresholds
    criterion.save()


def test_a_sketch_from_film_is_counted_as_soon_as_it_is_kept(cast: Cast, ball: DeadBall) -> None:
    asked_of_film(ball, view_kept="0.1", apart="180")
    film = replace(SKETCH, source=Source.FILM)
    row = keep_sketch(dead_ball=ball, sketch=film, by=cast.observer, now=THAT_NIGHT)
    kept = {("view_kept", "umpire", 1, 0), ("apart", "umpire", 0, 1)}
    assert film_counts(ball) == kept
    remove_sketch(sketch=row, by=cast.observer, now=THAT_NIGHT)
    assert film_counts(ball) == set()


def test_a_drawing_that_is_not_from_film_is_counted_nowhere(cast: Cast, ball: DeadBall) -> None:
    asked_of_film(ball, view_kept="0.1", boxed_in="1")
    keep_sketch(dead_ball=ball, sketch=SKETCH, by=cast.observer, now=THAT_NIGHT)
    assert film_counts(ball) == set()


def test_marks_of_who_faced_the_players_are_counted(cast: Cast, ball: DeadBall) -> None:
    asked_of_film(ball, faced="1500")
    own = FilmStatement.Owner.OWN
    state_film(
        log=ball.log, owner=own, permission="the league's consent", by=cast.observer, now=THAT_NIGHT
    )
    keep_eyes(
        dead_ball=ball,
        whistle_at=0,
        report_ended_at=6_000,
        live_at=10_000,
        marks=[Mark(member, Facing.NOT_FACING, 1_000, 3_000) for member in (REFEREE, UMPIRE)],
        by=cast.observer,
        now=THAT_NIGHT,
    )
    assert film_counts(ball) == {("faced", "umpire", 0, 1)}


def test_what_film_is_judged_by_is_read_in_a_few_queries(
    cast: Cast, django_assert_max_num_queries: DjangoAssertNumQueries
) -> None:
    log = log_with(crew_of(cast), [lead_calls(False)] * 6)
    balls = list(log.dead_balls.all())
    asked_of_film(balls[0], view_kept="0.1")
    for ball in balls:
        film = replace(SKETCH, source=Source.FILM)
        keep_sketch(dead_ball=ball, sketch=film, by=cast.observer, now=THAT_NIGHT)
    log = logs_for(cast.observer).get()
    with django_assert_max_num_queries(7):
        found = judged(log)
    assert sum(f.rule == "view_kept" for f in found.findings) == 6
