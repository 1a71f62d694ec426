"""Sketches and ledgers from film: met or not met once a dead ball, by the rubric's threshold."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from fractions import Fraction

import pytest

from evaluations.core.floor.eyes import DeadTime, Facing, Mark
from evaluations.core.floor.sketch import Instant, OfficialAt, Point, Sketch
from evaluations.core.floor_rules import Seen, floor_findings
from evaluations.core.games import POSITIONS, CrewPosition
from evaluations.core.mechanics.counts import count
from evaluations.core.mechanics.court import Whistle
from evaluations.core.mechanics.engine import Finding
from evaluations.core.mechanics.facts import DeadBall, Kept, Log, Source
from evaluations.core.mechanics.judging import Verdict
from evaluations.core.rubric import FloorRule, Threshold
from tests.core.floor.sketches import REFEREE, UMPIRE, players, two

MET, NOT_MET, NOT_JUDGED = Verdict.MET, Verdict.NOT_MET, Verdict.NOT_JUDGED
FOUR = players((8, 7), (10, 9), (12, 5), (18, 7))
"""Three of them between the officials of `two`; the last one stands behind the umpire."""
FOUL = DeadBall(number=1, whistle=Whistle.COMMON, caller=REFEREE)


def found(
    rule: FloorRule,
    at: str,
    *sketches: Sketch,
    ball: DeadBall = FOUL,
    time: DeadTime | None = None,
    source: Source = Source.FILM,
) -> dict[CrewPosition | None, Verdict]:
    """What a referee's foul is judged to be by one rule, by whose duty it was."""
    drawn = {sketch.instant: replace(sketch, source=source) for sketch in sketches}
    log = Log(crew=sketches[0].crew if sketches else 2, dead_balls=(ball,))
    asked = [Threshold(rule, Fraction(at))]
    findings = floor_findings(log, {1: Seen(drawn, time)}, asked)
    assert {(f.dead_ball, f.rule) for f in findings} <= {(1, rule.value)}
    return {f.member: f.verdict for f in findings}


# --- Own view -----------------------------------------------------------------------------------
@pytest.mark.parametrize(("at", "verdict"), [("3/4", MET), ("0.76", NOT_MET), ("1", NOT_MET)])
def test_the_one_who_does_not_report_holds_enough_players_in_the_own_view(
    at: str, verdict: Verdict
) -> None:
    assert found(FloorRule.VIEW_KEPT, at, two(players=FOUR)) == {UMPIRE: verdict}


def test_the_partners_view_is_no_part_of_it() -> None:
    away = two(players=FOUR, facing=(180.0, 180.0))
    assert found(FloorRule.VIEW_KEPT, "3/4", away) == {UMPIRE: MET}


def test_of_three_each_of_the_two_who_do_not_report_has_a_view_of_the_own() -> None:
    referee, first, second = POSITIONS[3]
    sketch = Sketch(
        crew=3,
        officials=(
            OfficialAt(referee, Point(5, 2), 0.0),
            OfficialAt(first, Point(5, 7), 0.0),
            OfficialAt(second, Point(20, 7), 0.0),
        ),
        players=FOUR,
    )
    ball = replace(FOUL, caller=referee)
    views = found(FloorRule.VIEW_KEPT, "1/2", sketch, ball=ball)
    assert views == {first: MET, second: NOT_MET}


@pytest.mark.parametrize(
    "sketch", [two(), two(players=FOUR, officials=())], ids=["no players", "no officials"]
)
def test_without_players_or_without_the_official_a_view_is_not_judged(sketch: Sketch) -> None:
    assert found(FloorRule.VIEW_KEPT, "3/4", sketch) == {UMPIRE: NOT_JUDGED}


# --- Around the players -------------------------------------------------------------------------
@pytest.mark.parametrize(("at", "verdict"), [("3/4", MET), ("4/5", NOT_MET)])
def test_while_one_reports_the_other_boxes_the_players_in(at: str, verdict: Verdict) -> None:
    assert found(FloorRule.BOXED_IN, at, two(players=FOUR)) == {UMPIRE: verdict}


def test_opposite_is_an_angle_around_the_players() -> None:
    # Their centre is at (12, 7), on the line between the officials.
    assert found(FloorRule.APART, "180", two(players=FOUR)) == {UMPIRE: MET}
    beside = two(players=players((10, 12)))
    assert found(FloorRule.APART, "120", beside) == {UMPIRE: NOT_MET}


@pytest.mark.parametrize("rule", [FloorRule.BOXED_IN, FloorRule.APART])
@pytest.mark.parametrize(("at", "verdict"), [("1/4", MET), ("1", NOT_MET)])
def test_once_the_ball_is_live_it_is_nobodys_met_as_well_as_missed(
    rule: FloorRule, at: str, verdict: Verdict
) -> None:
    at = str(Fraction(at) * (179 if rule is FloorRule.APART else 1))
    live = two(players=players((10, 9), (18, 7)), instant=Instant.LIVE)
    assert found(rule, at, live) == {None: verdict}


def test_a_dead_ball_with_both_moments_is_judged_by_the_report() -> None:
    report, live = two(players=FOUR), two(players=FOUR[:3], instant=Instant.LIVE)
    assert found(FloorRule.BOXED_IN, "1", report, live) == {UMPIRE: NOT_MET}


@pytest.mark.parametrize("rule", [FloorRule.BOXED_IN, FloorRule.APART])
def test_officials_on_one_spot_are_not_judged(rule: FloorRule) -> None:
    spot = tuple(OfficialAt(m, Point(12, 7), 0.0) for m in (REFEREE, UMPIRE))
    assert found(rule, "1/2", two(players=FOUR, officials=spot)) == {UMPIRE: NOT_JUDGED}


# --- The way to report --------------------------------------------------------------------------
AROUND = (Point(5, 0.5), Point(22, 0.5))
THROUGH = (Point(5, 7), Point(22, 7))


@pytest.mark.parametrize(
    ("route", "at", "verdict"),
    [(AROUND, "0", MET), (THROUGH, "0", NOT_MET), (THROUGH, "15", MET), ((), "0", NOT_JUDGED)],
)
def test_the_way_to_report_is_the_callers(
    route: tuple[Point, ...], at: str, verdict: Verdict
) -> None:
    sketch = two(players=FOUR, route=route)
    assert found(FloorRule.ROUTE_CLEAR, at, sketch) == {REFEREE: verdict}


# --- Faced --------------------------------------------------------------------------------------
def marked(*facing: tuple[CrewPosition, Facing, int, int], **changes: object) -> DeadTime:
    """Ten seconds, the report over after six."""
    time = DeadTime(2, 0, 10_000, 6_000, REFEREE, tuple(Mark(*one) for one in facing))
    return replace(time, **changes)  # type: ignore[arg-type]


AWAY = (REFEREE, Facing.NOT_FACING, 0, 10_000)


@pytest.mark.parametrize(("at", "verdict"), [("2000", MET), ("1999", NOT_MET)])
def test_a_gap_is_measured_to_the_millisecond(at: str, verdict: Verdict) -> None:
    time = marked(
        AWAY,
        (UMPIRE, Facing.FACING, 0, 6_000),
        (UMPIRE, Facing.NOT_FACING, 1_000, 3_000),
    )
    assert found(FloorRule.FACED, at, time=time) == {UMPIRE: verdict}


def test_after_the_report_a_gap_is_no_longer_the_others_alone() -> None:
    time = marked(
        AWAY, (UMPIRE, Facing.FACING, 0, 6_000), (UMPIRE, Facing.NOT_FACING, 6_000, 10_000)
    )
    assert found(FloorRule.FACED, "0", time=time) == {UMPIRE: MET}


def test_what_nobody_can_tell_is_neither_met_nor_missed_where_it_may_hide_a_gap() -> None:
    open_end = marked(AWAY, (UMPIRE, Facing.FACING, 0, 4_000))
    assert found(FloorRule.FACED, "1500", time=open_end) == {UMPIRE: NOT_JUDGED}
    assert found(FloorRule.FACED, "2000", time=open_end) == {UMPIRE: MET}
    missed = marked(AWAY, (UMPIRE, Facing.NOT_FACING, 0, 1_600))
    assert found(FloorRule.FACED, "1500", time=missed) == {UMPIRE: NOT_MET}


@pytest.mark.parametrize("open_end", ["live", "report_ended"])
def test_a_time_without_its_ends_is_not_judged(open_end: str) -> None:
    time = marked(AWAY, (UMPIRE, Facing.NOT_FACING, 0, 10_000), **{open_end: None})
    assert found(FloorRule.FACED, "0", time=time) == {UMPIRE: NOT_JUDGED}


# --- Film only, and what there is no duty at ------------------------------------------------------
@pytest.mark.parametrize("source", [Source.LIVE, Source.MEMORY])
@pytest.mark.parametrize("rule", list(FloorRule)[:4])
def test_a_drawing_that_is_not_from_film_gives_no_finding(rule: FloorRule, source: Source) -> None:
    sketch = two(players=FOUR, route=THROUGH)
    assert found(rule, "1", sketch, source=source) == {}


@pytest.mark.parametrize("rule", [FloorRule.VIEW_KEPT, FloorRule.ROUTE_CLEAR, FloorRule.FACED])
@pytest.mark.parametrize("changes", [{"caller": None}, {"whistle": Whistle.VIOLATION}])
def test_without_a_report_there_is_no_duty_beside_it(
    rule: FloorRule, changes: Mapping[str, object]
) -> None:
    ball = replace(FOUL, **changes)  # type: ignore[arg-type]
    assert found(rule, "1", two(players=FOUR, route=THROUGH), ball=ball, time=marked(AWAY)) == {}


def test_who_reports_is_the_logs_caller_whoever_the_sketch_says() -> None:
    sketch = two(players=FOUR, reporter=UMPIRE)
    assert found(FloorRule.VIEW_KEPT, "3/4", sketch) == {UMPIRE: MET}


# --- Counting -----------------------------------------------------------------------------------
def test_a_dead_ball_counts_once_however_many_rules_it_is_judged_by() -> None:
    balls = tuple(replace(FOUL, number=n) for n in range(1, 7))
    film = Seen({Instant.REPORT: two(players=FOUR, source=Source.FILM)})
    asked = [
        Threshold(FloorRule.VIEW_KEPT, Fraction(3, 4)),
        Threshold(FloorRule.BOXED_IN, Fraction(1)),
    ]
    seen = dict.fromkeys(range(1, 6), film)
    findings: tuple[Finding, ...] = floor_findings(Log(2, balls), seen, asked)
    one = count(findings, UMPIRE, ["view_kept"], Kept.EVERY_FOUL)
    assert (one.met, one.not_met, one.not_judged) == (5, 0, 0)
    both = count(findings, UMPIRE, ["view_kept", "boxed_in"], Kept.EVERY_FOUL)
    assert (both.met, both.not_met, both.dead_balls) == (0, 5, (1, 2, 3, 4, 5))
    assert count(findings, REFEREE, ["view_kept", "boxed_in"], Kept.EVERY_FOUL).judged == 0
