"""The observer's word on whose a crew's miss was: it moves the miss, and makes or ends none."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from evaluations.core.games import POSITIONS, CrewPosition
from evaluations.core.mechanics.engine import Finding
from evaluations.core.mechanics.facts import DeadBall, Eyes, Moment
from evaluations.core.mechanics.judging import Verdict
from tests.core.mechanics.crews import (
    ALL_CODES,
    MET,
    NOT_MET,
    REFEREE,
    UMPIRE,
    code,
    findings,
    shooting,
    verdicts,
)
from tests.core.mechanics.dead_balls import dead_balls

MOVABLE = ("force_switch", "eyes_kept")


def moved(ball: DeadBall, whose: CrewPosition | None) -> DeadBall:
    """Both misses that can be moved belong to one, by the observer's word."""
    return replace(ball, switch_whose=whose, eyes=replace(ball.eyes, whose=whose))


def misses(found: Iterable[Finding], rule: str) -> list[CrewPosition | None]:
    """Whose the misses by a rule are, over the whole crew."""
    return [f.member for f in found if f.rule == rule and f.verdict is Verdict.NOT_MET]


@given(st.data(), st.sampled_from(ALL_CODES))
def test_over_the_crew_a_miss_counts_exactly_once_and_for_the_one_it_is_moved_to(
    data: st.DataObject, key: str
) -> None:
    crew = code(key).crews[0]
    ball = data.draw(dead_balls(crew))
    before = findings(ball, key)
    whose = data.draw(st.sampled_from(POSITIONS[crew]))
    after = findings(moved(ball, whose), key)
    for rule in MOVABLE:
        assert len(misses(before, rule)) <= 1
        if misses(before, rule):
            assert misses(after, rule) == [whose]


@given(st.data(), st.sampled_from(ALL_CODES))
def test_moving_changes_no_verdict_but_whose_the_miss_is(data: st.DataObject, key: str) -> None:
    crew = code(key).crews[0]
    ball = data.draw(dead_balls(crew))
    if ball.eyes.kept is False and not misses(findings(ball, key), "eyes_kept"):
        ball = replace(ball, eyes=Eyes())  # not judged until the observer says whose it was
    whose = data.draw(st.sampled_from(POSITIONS[crew]))
    before, after = findings(ball, key), findings(moved(ball, whose), key)
    stays = [f for f in before if f.rule not in MOVABLE]
    assert stays == [f for f in after if f.rule not in MOVABLE]
    for rule in MOVABLE:
        told = [f.verdict for f in before if f.rule == rule]
        assert told == [f.verdict for f in after if f.rule == rule]
        if not misses(before, rule):
            assert [f for f in before if f.rule == rule] == [f for f in after if f.rule == rule]


@pytest.mark.parametrize("whose", [REFEREE, UMPIRE])
def test_a_switch_that_was_done_stays_met_for_the_one_who_had_to_force_it(
    whose: CrewPosition,
) -> None:
    done = shooting(switched=True)
    assert verdicts(findings(done), "force_switch") == {UMPIRE: MET}
    assert findings(moved(done, whose)) == findings(done)


def test_a_missed_switch_becomes_the_callers_and_only_the_callers() -> None:
    missed = shooting(switched=False)
    assert verdicts(findings(missed), "force_switch") == {UMPIRE: NOT_MET}
    assert verdicts(findings(moved(missed, REFEREE)), "force_switch") == {REFEREE: NOT_MET}


@pytest.mark.parametrize("whose", [REFEREE, UMPIRE])
def test_a_miss_that_is_nobodys_is_given_to_one(whose: CrewPosition) -> None:
    after_the_report = shooting(eyes=Eyes(kept=False, lost=Moment.AFTER_REPORT))
    assert verdicts(findings(after_the_report), "eyes_kept") == {None: NOT_MET}
    assert verdicts(findings(moved(after_the_report, whose)), "eyes_kept") == {whose: NOT_MET}
