"""Facts that leave several rows open are judged only where all of them say the same."""

from __future__ import annotations

from dataclasses import replace

import pytest

from evaluations.core.mechanics.court import Resumes, Whistle
from evaluations.core.mechanics.engine import Engine
from evaluations.core.mechanics.facts import Report
from evaluations.core.mechanics.judging import Judgement, agree
from tests.core.mechanics.crews import (
    MET,
    NOT_JUDGED,
    NOT_MET,
    code,
    engine,
    findings,
    log,
    shooting,
    verdicts,
)

BY_OPTION = Judgement(MET, "stay")
IN_ANOTHER_WAY = Judgement(MET, "wait")


@pytest.mark.parametrize(
    ("cases", "said"),
    [
        ([], Judgement(NOT_JUDGED)),
        ([Judgement(MET)], Judgement(MET)),
        ([Judgement(NOT_MET), Judgement(NOT_MET)], Judgement(NOT_MET)),
        ([BY_OPTION, BY_OPTION], BY_OPTION),
        # Met in any case, but the option may not have been used.
        ([BY_OPTION, Judgement(MET)], Judgement(MET)),
        ([BY_OPTION, IN_ANOTHER_WAY], Judgement(MET)),
        ([Judgement(MET), Judgement(NOT_MET)], Judgement(NOT_JUDGED)),
        ([Judgement(NOT_MET), Judgement(NOT_JUDGED)], Judgement(NOT_JUDGED)),
        # In one of the cases there was no such duty.
        ([Judgement(MET), None], Judgement(NOT_JUDGED)),
        ([None, Judgement(NOT_MET)], Judgement(NOT_JUDGED)),
        ([None, None], Judgement(NOT_JUDGED)),
    ],
)
def test_what_all_cases_agree_on(cases: list[Judgement | None], said: Judgement) -> None:
    assert agree(cases) == said


def test_switched_is_no_position_while_the_direction_is_not_known() -> None:
    assert engine().board(shooting(flip=None, switched=True)).after == {}
    assert engine().board(shooting(flip=False, switched=True)).after != {}


def test_switched_says_nothing_where_a_code_in_work_has_a_gap() -> None:
    made = Engine(replace(code(), rows=code().rows[4:]), 2)
    found = made.findings(log(shooting(switched=True)))
    assert set(verdicts(found, "end").values()) == {NOT_JUDGED}
    assert verdicts(found, "force_switch") == {}


def test_a_switch_that_was_done_is_nobodys_duty_while_the_caller_is_not_known() -> None:
    """At a throw-in in the front court both a lead and a trail who call have to switch."""
    ball = shooting(caller=None, whistle=Whistle.COMMON, resumes=Resumes.SIDE_LINE, switched=True)
    assert verdicts(findings(ball), "force_switch") == {}


def test_a_ball_put_in_play_early_is_nobodys_while_the_caller_is_not_known() -> None:
    ball = shooting(caller=None, report=Report(ended_before_live=False))
    assert verdicts(findings(ball), "live_after_report") == {}
