"""What the observer is told of a dead ball just logged: who was due where, and whether it was so.

All codes here are common practice, no source.
"""

from __future__ import annotations

import pytest

from evaluations.core.mechanics.answer import Answer, answer_to
from evaluations.core.mechanics.court import Court, Position, Side, Whistle
from evaluations.core.mechanics.facts import DeadBall, Log, Stood
from evaluations.core.mechanics.judging import Verdict
from evaluations.core.mechanics.switching import Switch
from tests.core.mechanics.crews import (
    DEFAULT,
    REFEREE,
    UMPIRE,
    UMPIRE_1,
    code,
    engine,
    place,
    shooting,
    standing,
)


def told(ball: DeadBall, key: str = DEFAULT, *agreed: str) -> Answer:
    made = engine(key)
    log = Log(made.table.crew, (ball,), agreed=frozenset(agreed))
    return answer_to(ball, made, log, made.findings(log))


@pytest.mark.parametrize(
    ("switched", "verdict"),
    [(True, Verdict.MET), (False, Verdict.NOT_MET), (None, Verdict.NOT_JUDGED)],
)
def test_a_lead_who_calls_a_foul_with_free_throws_is_due_trail_at_the_table(
    switched: bool | None, verdict: Verdict
) -> None:
    found = told(shooting(switched=switched))
    assert found.switch is Switch.SHORT
    assert found.due == {REFEREE: place("trail table"), UMPIRE: place("lead opposite")}
    assert found.verdict is verdict
    assert found.row is not None and code().rows[found.row].after[Position.LEAD].position == "trail"


def test_a_needless_switch_is_not_met() -> None:
    ball = shooting(before=standing(referee="trail opposite"), switched=True)
    assert (told(ball).switch, told(ball).verdict) == (Switch.NONE, Verdict.NOT_MET)


def test_a_back_court_foul_asks_for_a_long_switch() -> None:
    assert told(shooting(court=Court.BACK)).switch is Switch.LONG


def test_the_right_end_on_the_wrong_side_is_not_met() -> None:
    seen = standing(referee="trail opposite", umpire="lead opposite")
    assert told(shooting(after=seen, switched=True)).verdict is Verdict.NOT_MET


def test_what_the_facts_leave_open_is_open() -> None:
    found = told(DeadBall(1))
    assert (found.switch, found.row) == (None, None)
    assert set(found.due.values()) == {None}
    assert found.verdict is Verdict.NOT_JUDGED


def test_an_agreed_option_is_named() -> None:
    ended = {REFEREE: Stood(Position.LEAD, Side.OPPOSITE), UMPIRE: Stood(Position.TRAIL, None)}
    ball = shooting(whistle=Whistle.TECHNICAL, after=ended, heated_bench=True)
    found = told(ball, DEFAULT, "caller_lead_opposite")
    assert (found.verdict, found.option) == (Verdict.MET, "caller_lead_opposite")
    assert told(ball).verdict is Verdict.NOT_MET


def test_in_a_crew_of_three_only_who_was_seen_is_judged() -> None:
    ball = shooting(
        caller=UMPIRE_1,
        before={UMPIRE_1: Stood(Position.LEAD, Side.OPPOSITE)},
        after={UMPIRE_1: Stood(Position.TRAIL, Side.TABLE)},
    )
    found = told(ball, "three_person")
    assert found.due[UMPIRE_1] == place("trail table")
    assert found.verdict is Verdict.MET
